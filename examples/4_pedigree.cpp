// SPDX-License-Identifier: MIT
// A pedigree for a buyer as text: three generations, blanks said as blanks, and what the figure rests on.
//
//   > animal: Campion, born 2024-03-22
//   >   sire (50 %): Rowan, born 2016-03-11
//   >     sire: Oak, born 2012
//   >     dam: Bramble, born 2013
//   >   sire (50 %): Larch, born 2021-03-02
//   >     sire: Rowan, born 2016-03-11
//   >     dam: Bryony, born 2017-03-02
//   >   dam: Thistle, born 2022
//   >     sire: not recorded
//   >     dam: Gorse, born not recorded
//   > inbreeding 0.00 %; 7 of 14 ancestors to three generations are known
#include <cstdio>
#include <string>

#include <doewright/herdbook/read.hpp>
#include <doewright/kinship/kinship.hpp>

namespace {

using namespace doewright;

void print(const Herd& herd, const std::string& role, Animal animal, int depth) {
  std::printf("%*s%s: %s, born %s\n", 2 * depth, "", role.c_str(), display_name(herd, animal).c_str(),
              herd.animals.born[animal.position].known() ? to_text(herd.animals.born[animal.position]).c_str()
                                                         : "not recorded");
  if (depth == 2) return;
  const auto sires = herd.pedigree.possible_sires(animal);
  if (sires.empty()) std::printf("%*ssire: not recorded\n", 2 * depth + 2, "");
  for (const SireChance& chance : sires) {
    const bool sure = sires.size() == 1;
    print(herd, sure ? "sire" : "sire (" + std::to_string(int(100 * chance.probability)) + " %)", chance.sire, depth + 1);
  }
  if (const auto dam = herd.pedigree.dam(animal)) {
    print(herd, "dam", *dam, depth + 1);
  } else {
    std::printf("%*sdam: not recorded\n", 2 * depth + 2, "");
  }
}

}  // namespace

int main(int, char** argv) {
  const auto book = read_herd_book(argv[1], {.as_of = {}, .today = {}});
  const Herd& herd = *book.herd;
  const Animal campion = herd.ids.find("Campion").value();
  print(herd, "animal", campion, 0);
  const Kinship kinship(herd.pedigree);
  const Known known = kinship.known(campion);
  std::printf("inbreeding %.2f %%; %.0f of 14 ancestors to three generations are known\n",
              100 * kinship.inbreeding()[campion.position], known.places[0] + known.places[1] + known.places[2]);
}
