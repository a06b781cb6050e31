// SPDX-License-Identifier: MIT
// Ranking the sires on offer for each doe: the first two, and the reason for the first. Simpler: 1_relatedness.
//
//   > Bryony: Alder (caution), then Sedge
//   > Hazel: Alder (caution), then Sedge
//   > Comfrey: Alder (caution), then Larch
//   > Tansy: Larch (caution), then Sedge
//   > Mallow: Alder (caution), then Sedge
//   > Poppy: Alder (caution), then Sedge
//   > Yarrow: Sedge (caution), then Bracken
//   > Campion: Alder (caution), then Sedge
//   > Willow: Alder (caution), then Sedge
//   > Teasel: Alder (caution), then Sedge
//   > Vetch: Alder (caution), then Sedge
//   > Nettle: Larch (go), then Alder
#include <cstdio>
#include <string>

#include <doewright/herdbook/read.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/report/words.hpp>

int main(int, char** argv) {
  const auto book = doewright::read_herd_book(argv[1], {.as_of = {}, .today = {}});
  const doewright::Herd& herd = *book.herd;
  const doewright::Genetics genetics = doewright::genetics_of(herd);
  const doewright::PairingTable table = doewright::score(herd, genetics);
  for (const doewright::DoeAccount& doe : table.does) {
    if (doe.fitness.on_hold()) continue;
    const doewright::PairingAccount& first = doe.sires.front();
    std::printf("%s: %s (%s), then %s\n", std::string(herd.ids[doe.doe.doe]).c_str(),
                std::string(herd.ids[first.pairing.sire]).c_str(),
                std::string(word(first.verdict)).c_str(),
                std::string(herd.ids[doe.sires[1].pairing.sire]).c_str());
  }
}
