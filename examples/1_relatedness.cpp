// SPDX-License-Identifier: MIT
// Before hiring a sire: how close is he to each doe, as recorded and as a prudent keeper counts?
//
//   > Comfrey    recorded  6.25 %, count on 10.31 %, at worst  9.38 %
//   > Tansy      recorded  6.25 %, count on 10.31 %, at worst 12.50 %
//   > Sorrel     recorded  3.12 %, count on  7.19 %, at worst  6.25 %
//   > Yarrow     recorded  3.12 %, count on  7.19 %, at worst  7.81 %
#include <cstdio>
#include <string>

#include <doewright/herdbook/read.hpp>
#include <doewright/kinship/kinship.hpp>

int main(int, char** argv) {
  const auto book = doewright::read_herd_book(argv[1], {.as_of = {}, .today = {}});
  const doewright::Herd& herd = *book.herd;
  const doewright::Kinship kinship(herd.pedigree, doewright::unknown_parents(herd));
  const doewright::Animal alder = herd.ids.find("Alder").value();
  for (const doewright::DoeForward& doe : herd.does) {
    const auto kid = kinship.kid({.sire = alder, .doe = doe.doe});
    if (kid.as_recorded == 0.0) continue;
    std::printf("%-10s recorded %5.2f %%, count on %5.2f %%, at worst %5.2f %%\n",
                std::string(herd.ids[doe.doe]).c_str(), 100 * kid.as_recorded, 100 * kid.used,
                100 * kid.worst);
  }
}
