// SPDX-License-Identifier: MIT
// Reading 2 by breed and birth year beside its slow twin (class_twin.hpp), and what it promises.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <vector>

#include <doewright/kinship/kinship.hpp>

#include "kinship/class_twin.hpp"
#include "kinship/classes.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

/// Years that rise with position, some not recorded; up to `breeds` breeds, 0 among them.
UnknownParents random_classes(Dice& dice, const Pedigree& pedigree, std::uint32_t breeds,
                              std::uint32_t undated) {
  UnknownParents unknowns;
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
    const bool is_dated = !dice.in_hundred(undated);
    unknowns.birth_year.push_back(is_dated ? static_cast<std::int16_t>(2000 + i / 4)
                                           : std::int16_t{0});
    unknowns.breed_class.push_back(static_cast<std::uint16_t>(dice.below(breeds)));
    if (undated % 2 == 0) unknowns.breed_inbreeding_of.push_back(dice.below(80) / 1000.0);
  }
  return unknowns;
}

RandomShape class_shape(std::uint64_t seed) {
  return {.animals = 25 + static_cast<std::uint32_t>(seed % 40),
          .founders = 3 + static_cast<std::uint32_t>(seed % 4),
          .blank = 10 + static_cast<std::uint32_t>(seed % 3) * 10,
          .unsure = seed % 2 == 0 ? 0u : 30u,
          .most_unsure = 5,
          .reach = 2 + static_cast<std::uint32_t>(seed % 6)};
}

}  // namespace

TEST_CASE("reading 2 by breed and birth year, both engines, beside its twin on 120 pedigrees") {
  std::size_t risen = 0, with_lists = 0;
  for (std::uint64_t seed = 1; seed <= 120; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 131);
    const Pedigree pedigree = random_pedigree(dice, class_shape(seed));
    const UnknownParents unknowns =
        random_classes(dice, pedigree, static_cast<std::uint32_t>(1 + seed % 3),
                       static_cast<std::uint32_t>(seed % 4 * 7));
    ClassTwin twin(pedigree, unknowns);
    const Matrix table = twin.solve();
    const Kinship kinship(pedigree, unknowns);
    const auto n = static_cast<std::uint32_t>(pedigree.size());
    with_lists += pedigree.stand_ins() > 0 ? 1u : 0u;

    const Family family(pedigree);
    const auto classed = classed_book(family, unknowns, {});
    REQUIRE(classed.has_value());
    CHECK(classed->last_change <= 1e-12);
    for (const BreedYear& each : classed->classes) {
      CHECK(std::abs(each.mean - twin.mean({each.breed, each.year})) <= 1e-9);
    }
    const auto& grouped = classed->book.grouped();
    const NodeInbreeding other = sire_wise_inbreeding(grouped.family, {}, &classed->book.between());
    for (std::uint32_t node = 0; node < grouped.family.size(); ++node) {
      CHECK(std::abs(other.f[node] - classed->book.nodes().f[node]) <= 1e-12);
    }
    for (std::uint32_t s = 0; s < grouped.family.stand_ins(); ++s) {
      CHECK(std::abs(other.stand_in_own[s] - classed->book.nodes().stand_in_own[s]) <= 1e-12);
    }
    for (std::uint32_t i = 0; i < n; ++i) {
      const double f = 2.0 * table[twin.at(i)][twin.at(i)] - 1.0;
      CHECK(std::abs(classed->book.f_of(family.node_of(Animal{i})) - f) <= 1e-9);
    }
    for (int k = 0; k < 12; ++k) {
      const Animal a{dice.below(n)}, b{dice.below(n)};
      CAPTURE(a.position);
      CAPTURE(b.position);
      const KidInbreeding kid = kinship.kid({a, b});
      CHECK(kid.unknowns_by == UnknownsBy::breed_and_years);
      CHECK(std::abs(kid.unknowns_as_breed - table[twin.at(a.position)][twin.at(b.position)]) <=
            1e-9);
      CHECK(kid.unknowns_as_breed >= kid.as_recorded);
      CHECK(kinship.kid_of(a, b).unknowns_as_breed == kid.unknowns_as_breed);
      risen += kid.unknowns_as_breed > kid.as_recorded + 1e-6 ? 1u : 0u;
    }
  }
  CHECK(risen > 500);
  CHECK(with_lists > 40);
}

TEST_CASE("in one breed a half-known kid has the inbreeding of its breed and year") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 53);
    RandomShape shape = class_shape(seed * 2);  // certain sires
    shape.animals = 60;
    const Pedigree pedigree = random_pedigree(dice, shape);
    UnknownParents unknowns = random_classes(dice, pedigree, 1, 0);
    for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
      unknowns.birth_year[i] = static_cast<std::int16_t>(1960 + i);
    }
    const Family family(pedigree);
    const auto classed = classed_book(family, unknowns, {});
    REQUIRE(classed.has_value());
    CHECK(classed->rounds <= pedigree.size() + 1);  // one a year, if so many
    CHECK(classed->last_change <= 1e-12);
    std::size_t found = 0;
    for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
      if ((family.sire(i) == Family::none) == (family.dam(i) == Family::none)) continue;
      ++found;
      CHECK(std::abs(classed->book.f_of(i) - classed->classes[classed->class_of[i]].mean) <= 1e-11);
    }
    CHECK(found > 0);
  }
}

TEST_CASE("unlike breeds are unrelated; the rows' order changes nothing; no blank, no change") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 71);
    const Pedigree pedigree = random_pedigree(dice, class_shape(seed));
    const UnknownParents unknowns = random_classes(dice, pedigree, 3, 10);
    std::vector<std::uint32_t> where;
    const Pedigree other = shuffled(pedigree, dice, where);
    UnknownParents moved = unknowns;
    for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
      moved.birth_year[where[i]] = unknowns.birth_year[i];
      moved.breed_class[where[i]] = unknowns.breed_class[i];
      if (!unknowns.breed_inbreeding_of.empty()) {
        moved.breed_inbreeding_of[where[i]] = unknowns.breed_inbreeding_of[i];
      }
    }
    if (pedigree.stand_ins() > 0) continue;  // the first kid of an unsure sire may be another one
    const Kinship a(pedigree, unknowns), b(other, moved);
    for (std::uint32_t i = 0; i + 1 < pedigree.size(); ++i) {
      CHECK(std::abs(a.kid({Animal{i}, Animal{i + 1}}).unknowns_as_breed -
                     b.kid({Animal{where[i]}, Animal{where[i + 1]}}).unknowns_as_breed) <= 1e-9);
    }
  }
  // Two breeds, founders and their kids: inbred within the first, nothing across.
  const std::uint32_t none = Pedigree::none;
  const Pedigree two({none, none, 0, 2, none, none}, {none, none, 1, 1, none, none});
  UnknownParents unknowns;
  unknowns.birth_year = {2000, 2000, 2001, 2002, 2003, 2003};
  unknowns.breed_class = {1, 1, 1, 1, 1, 2};
  const Kinship kinship(two, unknowns);
  CHECK(kinship.kid({Animal{3}, Animal{5}}).unknowns_as_breed == 0.0);
  CHECK(kinship.kid({Animal{3}, Animal{4}}).unknowns_as_breed ==
        doctest::Approx(0.125).epsilon(1e-12));  // F of 2 and 3 are 0 and 1/4: their mean
}
