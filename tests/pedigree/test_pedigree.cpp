// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <set>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/pedigree/offspring.hpp>
#include <doewright/pedigree/pedigree.hpp>

#include "random_pedigree.hpp"

using namespace doewright;
using doewright_test::random_pedigree;

namespace {

constexpr std::uint32_t none = Pedigree::none;
constexpr std::uint32_t stand_in_0 = Pedigree::stand_in_bit;

bool is_equal(const std::vector<SireChance>& a, const std::vector<SireChance>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const SireChance& x, const SireChance& y) {
                      return x.sire == y.sire && x.probability == y.probability;
                    });
}

/// The definition: all animals that can be reached through parents, possible sires included.
std::set<std::uint32_t> ancestors_by_definition(const Pedigree& pedigree,
                                                const std::vector<Animal>& animals) {
  std::set<std::uint32_t> found;
  for (const Animal animal : animals) found.insert(animal.position);
  for (std::uint32_t i = static_cast<std::uint32_t>(pedigree.size()); i-- > 0;) {
    if (!found.contains(i)) continue;  // kids stand behind their parents: all are known by now
    if (const auto dam = pedigree.dam(Animal{i})) found.insert(dam->position);
    for (const SireChance& chance : pedigree.possible_sires(Animal{i})) {
      found.insert(chance.sire.position);
    }
  }
  return found;
}

}  // namespace

TEST_CASE("parents of a small pedigree") {
  const Pedigree pedigree({none, none, none, 0, stand_in_0}, {none, none, none, 2, 2},
                          {{{Animal{0}, 0.5}, {Animal{1}, 0.25}}});
  CHECK(pedigree.size() == 5);
  CHECK(pedigree.stand_ins() == 1);
  CHECK_FALSE(pedigree.sire(Animal{0}));
  CHECK(pedigree.sire(Animal{3}) == Animal{0});
  CHECK(pedigree.dam(Animal{3}) == Animal{2});
  CHECK_FALSE(pedigree.sire(Animal{4}));  // not certain
  CHECK(pedigree.dam(Animal{4}) == Animal{2});
  CHECK(pedigree.possible_sires(Animal{0}).empty());
  CHECK(is_equal(pedigree.possible_sires(Animal{3}), {{Animal{0}, 1.0}}));
  CHECK(is_equal(pedigree.possible_sires(Animal{4}), {{Animal{0}, 0.5}, {Animal{1}, 0.25}}));
  const Pedigree copy = pedigree;
  CHECK(copy.sire_slots().data() == pedigree.sire_slots().data());
  CHECK(Pedigree().size() == 0);
  CHECK(Pedigree().stand_ins() == 0);
}

TEST_CASE("an animal or stand-in that is not there") {
  const Pedigree pedigree({none}, {none});
  CHECK_THROWS_AS((void)pedigree.sire(Animal{1}), UsageError);
  CHECK_THROWS_AS((void)pedigree.dam(Animal{1}), UsageError);
  CHECK_THROWS_AS((void)pedigree.possible_sires(Animal{1}), UsageError);
  CHECK_THROWS_AS((void)pedigree.stand_in(0), UsageError);
  const std::vector<Animal> asked = {Animal{1}};
  CHECK_THROWS_AS(ancestors_only(pedigree, asked), UsageError);
  const Offspring offspring(pedigree);
  CHECK_THROWS_AS((void)offspring.of(Animal{1}), UsageError);
  CHECK_THROWS_AS((void)offspring.of_stand_in(0), UsageError);
  CHECK_THROWS_AS((void)offspring.stand_ins_of(Animal{1}), UsageError);
}

TEST_CASE("packed arrays that are no pedigree are refused") {
  using Slots = std::vector<std::uint32_t>;
  using Lists = std::vector<std::vector<SireChance>>;
  const auto refused = [](Slots sires, Slots dams, Lists lists = {}) {
    CHECK_THROWS_AS(Pedigree(std::move(sires), std::move(dams), std::move(lists)), UsageError);
  };
  refused({none, none}, {none});                                    // lengths
  refused({0}, {none});                                             // its own sire
  refused({none}, {0});                                             // its own dam
  refused({1, none}, {none, none});                                 // behind its kid
  refused({none, none}, {none, 2});                                 // not there
  refused({none, none}, {none, stand_in_0}, {{{Animal{0}, 0.5}}});  // a stand-in as dam
  refused({none, stand_in_0}, {none, none});                        // no such stand-in
  const Slots sires = {none, none, stand_in_0}, dams = {none, none, none};
  CHECK_NOTHROW(Pedigree(sires, dams, {{{Animal{0}, 0.5}, {Animal{1}, 0.5}}}));
  refused(sires, dams, Lists(1));                                // nobody listed
  refused(sires, dams, {{{Animal{0}, 0.5}, {Animal{0}, 0.5}}});  // one twice
  refused(sires, dams, {{{Animal{1}, 0.5}, {Animal{0}, 0.5}}});  // not in order
  refused(sires, dams, {{{Animal{0}, 0.5}, {Animal{2}, 0.5}}});  // the kid itself
  refused(sires, dams, {{{Animal{0}, 0.5}, {Animal{3}, 0.5}}});  // not there
  refused(sires, dams, {{{Animal{0}, 0.0}}});                    // no chance
  refused(sires, dams, {{{Animal{0}, 1.5}}});
  refused(sires, dams, {{{Animal{0}, -0.5}}});
  refused(sires, dams, {{{Animal{0}, std::numeric_limits<double>::quiet_NaN()}}});
  refused(sires, dams, {{{Animal{0}, 0.6}, {Animal{1}, 0.6}}});  // above 1
}

TEST_CASE("the pedigree of some animals' ancestors against the definition") {
  constexpr unsigned seed = 31;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 100; ++round) {
    CAPTURE(round);
    const auto n = static_cast<std::uint32_t>(1 + random() % 50);
    const Pedigree pedigree = random_pedigree(n, random);
    std::vector<Animal> asked;
    for (auto k = random() % 4; k > 0; --k)
      asked.push_back(Animal{static_cast<std::uint32_t>(random() % n)});
    const AncestorPedigree part = ancestors_only(pedigree, asked);
    const std::set<std::uint32_t> expected = ancestors_by_definition(pedigree, asked);
    REQUIRE(part.original.size() == expected.size());
    REQUIRE(part.pedigree.size() == expected.size());
    CHECK(std::equal(expected.begin(), expected.end(), part.original.begin(),
                     [](std::uint32_t position, Animal a) { return position == a.position; }));
    REQUIRE(part.asked.size() == asked.size());
    for (std::size_t k = 0; k < asked.size(); ++k) {
      CHECK(part.original[part.asked[k].position] == asked[k]);
    }
    std::set<std::uint32_t> stand_ins;
    for (std::uint32_t i = 0; i < part.pedigree.size(); ++i) {
      const Animal old = part.original[i];
      const auto dam = part.pedigree.dam(Animal{i});
      CHECK((dam ? std::optional(part.original[dam->position]) : std::nullopt) ==
            pedigree.dam(old));
      auto sires = part.pedigree.possible_sires(Animal{i});
      for (SireChance& chance : sires) chance.sire = part.original[chance.sire.position];
      CHECK(is_equal(sires, pedigree.possible_sires(old)));
      if (Pedigree::is_stand_in(pedigree.sire_slots()[old.position])) {
        stand_ins.insert(pedigree.sire_slots()[old.position]);
      }
    }
    CHECK(part.pedigree.stand_ins() == stand_ins.size());  // shared ones stay shared
  }
}

TEST_CASE("offspring against the definition") {
  constexpr unsigned seed = 32;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 100; ++round) {
    CAPTURE(round);
    const auto n = static_cast<std::uint32_t>(1 + random() % 50);
    const Pedigree pedigree = random_pedigree(n, random);
    const Offspring offspring(pedigree);
    for (std::uint32_t p = 0; p < n; ++p) {
      std::vector<Animal> kids;
      for (std::uint32_t i = 0; i < n; ++i) {
        const Animal kid{i};
        if (pedigree.sire(kid) == Animal{p} || pedigree.dam(kid) == Animal{p}) kids.push_back(kid);
      }
      const auto found = offspring.of(Animal{p});
      CHECK(std::vector<Animal>(found.begin(), found.end()) == kids);
      std::vector<std::uint32_t> lists;
      for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
        for (const SireChance& chance : pedigree.stand_in(s)) {
          if (chance.sire == Animal{p}) lists.push_back(s);
        }
      }
      const auto found_lists = offspring.stand_ins_of(Animal{p});
      CHECK(std::vector<std::uint32_t>(found_lists.begin(), found_lists.end()) == lists);
    }
    for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
      std::vector<Animal> kids;
      for (std::uint32_t i = 0; i < n; ++i) {
        if (pedigree.sire_slots()[i] == (Pedigree::stand_in_bit | s)) kids.push_back(Animal{i});
      }
      const auto found = offspring.of_stand_in(s);
      CHECK(std::vector<Animal>(found.begin(), found.end()) == kids);
    }
  }
}
