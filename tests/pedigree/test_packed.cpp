// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/pedigree/offspring.hpp>

#include "pedigree/random_pedigree.hpp"

using namespace doewright;
using namespace doewright::testing;

TEST_CASE("packed arrays that cannot be a pedigree are the caller's mistake") {
  constexpr auto none = Pedigree::none;
  CHECK_NOTHROW(Pedigree({none, 0}, {none, none}));
  CHECK_THROWS_AS(Pedigree({none}, {none, none}), UsageError);
  CHECK_THROWS_AS(Pedigree({1, none}, {none, none}), UsageError);           // parent after kid
  CHECK_THROWS_AS(Pedigree({none, 1}, {none, none}), UsageError);           // own parent
  CHECK_THROWS_AS(Pedigree({Pedigree::stand_in_bit}, {none}), UsageError);  // no such stand-in
  const std::vector<SireChance> both = {{Animal{0}, 0.5}, {Animal{1}, 0.5}};
  CHECK_NOTHROW(Pedigree({none, none, Pedigree::stand_in_bit}, {none, none, none}, {both}));
  CHECK_THROWS_AS(Pedigree({none, Pedigree::stand_in_bit, none}, {none, none, none}, {both}), UsageError);
  CHECK_THROWS_AS(Pedigree({none, none, Pedigree::stand_in_bit}, {none, none, none},
                           {{{Animal{0}, 0.7}, {Animal{1}, 0.7}}}), UsageError);
  CHECK_THROWS_AS(Pedigree({none, none, none}, {none, none, none}).sire(Animal{3}), UsageError);
}

TEST_CASE("kids by parent are those that name the parent") {
  const Pedigree pedigree = built_from(random_rows(11, 250, true)).pedigree;
  const Offspring offspring(pedigree);
  for (std::uint32_t p = 0; p < pedigree.size(); ++p) {
    std::vector<Animal> expected;
    for (std::uint32_t k = 0; k < pedigree.size(); ++k) {
      if (pedigree.sire(Animal{k}) == Animal{p} || pedigree.dam(Animal{k}) == Animal{p}) expected.push_back(Animal{k});
    }
    const auto kids = offspring.of(Animal{p});
    CHECK(std::vector<Animal>(kids.begin(), kids.end()) == expected);
    for (const std::uint32_t s : offspring.stand_ins_of(Animal{p})) {
      bool listed = false;
      for (const SireChance& chance : pedigree.stand_in(s)) listed = listed || chance.sire == Animal{p};
      CHECK(listed);
    }
  }
}

TEST_CASE("looking upward gives the same in the ancestors alone") {
  const Pedigree pedigree = built_from(random_rows(5, 200, true)).pedigree;
  const std::array asked = {Animal{199}, Animal{150}};
  const AncestorPedigree part = ancestors_only(pedigree, asked);
  CHECK(part.original[part.asked[0].position] == asked[0]);
  for (std::uint32_t i = 0; i < part.pedigree.size(); ++i) {
    const auto whole = pedigree.possible_sires(part.original[i]), here = part.pedigree.possible_sires(Animal{i});
    REQUIRE(whole.size() == here.size());
    for (std::size_t k = 0; k < whole.size(); ++k) CHECK(part.original[here[k].sire.position] == whole[k].sire);
    const auto dam = part.pedigree.dam(Animal{i});
    CHECK((dam ? std::optional(part.original[dam->position]) : std::nullopt) == pedigree.dam(part.original[i]));
  }
}
