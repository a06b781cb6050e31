// SPDX-License-Identifier: MIT
// Writes a seeded random pedigree and what kinship/ makes of it, for twins_matrix.py to work out
// again.
//
//   kinship_dump SEED ANIMALS UNSURE     UNSURE: percent of kids whose sire is not certain
//
// One thing a line, numbers as they are: animal SIRE DAM (-1 unknown, -2 - s stand-in s); list BUCK
// CHANCE ...; f F ...; k ROW ... (lower triangle); inverse ROW COLUMN VALUE; own D ...
#include <cstdlib>
#include <string>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/inverse.hpp>
#include <doewright/kinship/kinship.hpp>

#include "kinship/twins.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

std::int64_t told(std::uint32_t slot) {
  if (slot == Pedigree::none) return -1;
  if (Pedigree::is_stand_in(slot)) return -2 - std::int64_t{Pedigree::stand_in_of(slot)};
  return slot;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) return 2;
  const auto number = [&](int i) { return static_cast<std::uint32_t>(std::atoi(argv[i])); };
  Dice dice(number(1));
  const std::uint32_t n = number(2);
  const Pedigree pedigree = random_pedigree(dice, {.animals = n,
                                                   .founders = std::max(2u, n / 10),
                                                   .blank = 10,
                                                   .unsure = number(3),
                                                   .most_unsure = n,
                                                   .reach = 4 + number(1) % 20});
  for (std::uint32_t i = 0; i < n; ++i) {
    fmt::print("animal {} {}\n", told(pedigree.sire_slots()[i]), told(pedigree.dam_slots()[i]));
  }
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    fmt::print("list");
    for (const SireChance& chance : pedigree.stand_in(s)) {
      fmt::print(" {} {}", chance.sire.position, chance.probability);
    }
    fmt::print("\n");
  }
  const auto f = inbreeding(pedigree);
  fmt::print("f {}\n", fmt::join(f, " "));
  const Kinship kinship(pedigree);
  for (std::uint32_t i = 0; i < n; ++i) {
    const auto row = kinship.row(Animal{i});
    fmt::print("k {}\n", fmt::join(row.begin(), row.begin() + i + 1, " "));
  }
  const SparseMatrix inverse = relationship_inverse(pedigree, f);
  for (std::size_t r = 0; r + 1 < inverse.first.size(); ++r) {
    for (auto e = inverse.first[r]; e < inverse.first[r + 1]; ++e) {
      fmt::print("inverse {} {} {}\n", r, inverse.columns[e], inverse.values[e]);
    }
  }
  fmt::print("own {}\n", fmt::join(sampling_variances(pedigree, f), " "));
}
