// SPDX-License-Identifier: MIT
// What is said of a pair - paths, contributions, the four readings - beside slow twins
// (pair_twins.hpp). A failure names the seed.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "kinship/pair_twins.hpp"
#include "kinship/state.hpp"
#include "kinship/worst.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

RandomShape small_shape(std::uint64_t seed) {
  return {.animals = 8 + static_cast<std::uint32_t>(seed % 11),
          .founders = 2 + static_cast<std::uint32_t>(seed % 4),
          .blank = seed % 3 == 0 ? 5u : 25u,
          .unsure = seed % 2 == 0 ? 0u : 40u,
          .most_unsure = 3,
          .reach = 2 + static_cast<std::uint32_t>(seed % 5)};
}

/// Who may stand where: bucks are even, does odd, one in four of no known sex; days that exclude.
UnknownParents random_unknowns(Dice& dice, std::uint32_t animals, bool with_days) {
  UnknownParents unknowns;
  PedigreeBuilder names;  // ids in the order opposite to the rows
  for (std::uint32_t i = 0; i < animals; ++i) {
    unknowns.may_be.push_back(dice.in_hundred(25) ? 3 : i % 2 == 0 ? 1 : 2);
    names.add(std::to_string(1000 - i), "", "");
    if (!with_days) continue;
    const auto born = static_cast<std::int32_t>(300 * i);
    const bool known = dice.in_hundred(70);
    unknowns.conceived_first.push_back(known ? born - 150
                                             : std::numeric_limits<std::int32_t>::min());
    unknowns.conceived_last.push_back(known ? born - 150
                                            : std::numeric_limits<std::int32_t>::max());
    unknowns.parent_from.push_back(known ? born + 210 : std::numeric_limits<std::int32_t>::min());
    unknowns.parent_to.push_back(dice.in_hundred(30)
                                     ? born + static_cast<std::int32_t>(dice.below(4000))
                                     : std::numeric_limits<std::int32_t>::max());
  }
  unknowns.ids = std::move(names).build().ids;
  return unknowns;
}

using Told = std::map<std::pair<std::vector<std::uint32_t>, std::int64_t>, std::pair<int, double>>;

}  // namespace

TEST_CASE("kinship by recursion agrees on 300 random pedigrees") {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 31);
    RandomShape shape = small_shape(seed);
    shape.animals += 20;
    const Pedigree pedigree = random_pedigree(dice, shape);
    const Graph graph(pedigree);
    Recursion twin(graph);
    const Kinship kinship(pedigree);
    double off = 0.0;
    for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
      const std::vector<double> row = kinship.row(Animal{i});
      for (std::uint32_t j = 0; j < pedigree.size(); ++j) {
        off = std::max(off, std::abs(row[j] - twin.kinship(i, j)));
      }
    }
    CHECK(off <= 1e-12);
  }
}

TEST_CASE("why: every path of Wright's, and what each common ancestor contributes") {
  std::size_t pairs = 0, through_lists = 0, unlisted = 0;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 97);
    RandomShape shape = small_shape(seed);
    if (seed % 4 == 1) shape.unsure = 90;  // litters of one unsure sire: paths that meet in him
    const Pedigree pedigree = random_pedigree(dice, shape);
    const Graph graph(pedigree);
    const Matrix table = graph.kinship();
    const Kinship kinship(pedigree);
    const auto n = static_cast<std::uint32_t>(pedigree.size());
    for (int k = 0; k < 8; ++k) {
      const Animal a{dice.below(n)}, b{dice.below(n)};
      CAPTURE(a.position);
      CAPTURE(b.position);
      const auto twin = wright_paths(graph, table, a.position, b.position);
      if (!twin) continue;
      ++pairs;
      Told expected, told;
      std::map<std::int64_t, double> by_ancestor;
      double sum = 0.0;
      for (const PlainPath& path : *twin) {
        auto& entry = expected[{path.animals, path.ancestor}];
        ++entry.first;
        entry.second += path.contribution;
        by_ancestor[path.ancestor] += path.contribution;
        sum += path.contribution;
        unlisted += path.ancestor < 0 ? 1u : 0u;
      }
      CHECK(std::abs(sum - table[a.position][b.position]) <= 1e-12);  // the twins agree

      const Why why = kinship.why(a, b, 1'000'000);
      CHECK(std::abs(why.kinship - sum) <= 1e-12);
      CHECK(why.paths_total == static_cast<double>(twin->size()));
      REQUIRE(why.paths.size() == twin->size());
      CHECK(why.paths_left_out == 0.0);
      for (const Path& path : why.paths) {
        std::vector<std::uint32_t> animals;
        for (const Animal each : path.animals) animals.push_back(each.position);
        auto& entry = told[{animals, path.ancestor ? std::int64_t{path.ancestor->position} : -1}];
        ++entry.first;
        entry.second += path.contribution;
      }
      REQUIRE(told.size() == expected.size());
      for (const auto& [key, value] : expected) {
        REQUIRE(told.contains(key));
        CHECK(told[key].first == value.first);
        CHECK(std::abs(told[key].second - value.second) <= 1e-12);
      }
      for (std::size_t i = 1; i < why.paths.size(); ++i) {
        CHECK(why.paths[i].contribution <= why.paths[i - 1].contribution + 1e-12);
      }

      const auto shares = kinship.common_ancestors(a, b);
      CHECK(shares.size() == why.ancestors.size());
      std::erase_if(by_ancestor, [](const auto& each) { return each.second < 1e-11; });
      CHECK(shares.size() == by_ancestor.size());
      for (const AncestorShare& share : shares) {
        const std::int64_t who = share.ancestor ? std::int64_t{share.ancestor->position} : -1;
        REQUIRE(by_ancestor.contains(who));
        CHECK(std::abs(share.contribution - by_ancestor[who]) <= 1e-12);
      }
      for (std::size_t i = 1; i < shares.size(); ++i) {
        CHECK(shares[i].contribution <= shares[i - 1].contribution + 1e-12);
      }
      through_lists += pedigree.stand_ins() > 0 && !twin->empty() ? 1u : 0u;

      // Asked for fewer, the largest are shown and the rest is said.
      const Why few = kinship.why(a, b, 2);
      CHECK(few.paths.size() == std::min<std::size_t>(2, twin->size()));
      double shown = 0.0;
      for (std::size_t i = 0; i < few.paths.size(); ++i) {
        CHECK(std::abs(few.paths[i].contribution - why.paths[i].contribution) <= 1e-12);
        shown += few.paths[i].contribution;
      }
      CHECK(std::abs(few.paths_left_out - (sum - shown)) <= 1e-11);
    }
  }
  CHECK(pairs > 1500);
  CHECK(through_lists > 300);
  CHECK(unlisted > 30);
}

TEST_CASE("the worst reading beside everything tried, and the assumptions bring it about") {
  std::size_t above = 0, named = 0;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 1009);
    RandomShape shape = small_shape(seed);
    shape.animals = std::min(shape.animals, 15u);
    const Pedigree pedigree = random_pedigree(dice, shape);
    const auto n = static_cast<std::uint32_t>(pedigree.size());
    const UnknownParents unknowns =
        seed % 5 == 0 ? UnknownParents{} : random_unknowns(dice, n, seed % 5 > 2);
    const Kinship kinship(pedigree, unknowns);
    const KinshipState state(pedigree, unknowns, {});
    for (int k = 0; k < 4; ++k) {
      const Animal a{dice.below(n)}, b{dice.below(n)};
      if (a == b) continue;
      CAPTURE(a.position);
      CAPTURE(b.position);
      const KidInbreeding kid = kinship.kid({a, b});
      const double twin = std::max(worst_by_trying(pedigree, unknowns, a, b), kid.as_recorded);
      CHECK(std::abs(kid.worst - twin) <= 1e-12);
      CHECK(kid.worst >= kid.as_recorded);
      above += kid.worst > kid.as_recorded + 1e-9 ? 1u : 0u;
      named += kid.worst_assumes.empty() ? 0u : 1u;
      CHECK(std::abs(with_assumptions(pedigree, kid.worst_assumes, a, b) - kid.worst) <= 1e-12);

      // The same by branch and bound, which is for more ways to settle than can be tried.
      KidInbreeding bounded;
      bounded.as_recorded = kid.as_recorded;
      const WorstQuestion question{a, b, &bounded};
      read_worst(state, {&question, 1}, {}, 0);
      CHECK(bounded.worst_all_settled);
      CHECK(std::abs(bounded.worst - twin) <= 1e-12);
      CHECK(std::abs(with_assumptions(pedigree, bounded.worst_assumes, a, b) - twin) <= 1e-12);
    }
  }
  CHECK(above > 400);
  CHECK(named > 400);
}

TEST_CASE("kids, kid and kid_of: the four readings by their definitions") {
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 409);
    const Pedigree pedigree = random_pedigree(dice, small_shape(seed));
    const auto n = static_cast<std::uint32_t>(pedigree.size());
    UnknownParents unknowns = random_unknowns(dice, n, seed % 2 == 0);
    for (std::uint32_t i = 0; i < n; ++i) {
      unknowns.used_as.push_back(static_cast<std::uint8_t>(dice.below(4)));
      unknowns.breed_inbreeding_of.push_back(dice.below(100) / 1000.0);
    }
    unknowns.unknown_kinship = 0.05;
    const Matrix table = Graph(pedigree).kinship();
    const Kinship kinship(pedigree, unknowns);
    std::vector<Animal> sires, does;
    for (std::uint32_t i = 0; i < n; ++i) (i % 2 == 0 ? sires : does).push_back(Animal{i});
    const Grid<KidInbreeding> grid = kinship.kids(sires, does);
    for (std::size_t s = 0; s < sires.size(); ++s) {
      for (std::size_t d = 0; d < does.size(); ++d) {
        const Animal a = sires[s], b = does[d];
        const KidInbreeding& kid = grid(s, d);
        const double c_a = known(pedigree, a).share, c_b = known(pedigree, b).share;
        const double k = table[a.position][b.position];
        const double both = c_a + c_b > 0.0 ? 2.0 * c_a * c_b / (c_a + c_b) : 0.0;
        const double breed = 0.5 * (unknowns.breed_inbreeding_of[a.position] +
                                    unknowns.breed_inbreeding_of[b.position]);
        CHECK(std::abs(kid.as_recorded - k) <= 1e-12);
        CHECK(std::abs(kid.breed_inbreeding - breed) <= 1e-15);
        CHECK(std::abs(kid.unknowns_as_breed - (k + (1.0 - both) * breed)) <= 1e-12);
        CHECK(std::abs(kid.used - (k + (1.0 - c_a) * 0.05)) <= 1e-12);
        const KidInbreeding alone = kinship.kid({a, b});
        CHECK(std::abs(alone.worst - kid.worst) <= 1e-12);
        CHECK(alone.worst_assumes == kid.worst_assumes);

        const bool a_sires = (unknowns.used_as[a.position] & 1) != 0;
        const bool b_sires = (unknowns.used_as[b.position] & 1) != 0;
        const double counts = a_sires == b_sires ? std::min(c_a, c_b) : a_sires ? c_a : c_b;
        CHECK(std::abs(kinship.kid_of(a, b).used - (k + (1.0 - counts) * 0.05)) <= 1e-12);
        CHECK(std::abs(kinship.kid_of(b, a).used - (k + (1.0 - counts) * 0.05)) <= 1e-12);
      }
    }
  }
}

TEST_CASE("made for a pair alone, every answer about the pair is the same") {
  std::size_t strangers = 0;
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 389);
    RandomShape shape = small_shape(seed);
    shape.animals += 10;
    const Pedigree pedigree = random_pedigree(dice, shape);
    const auto n = static_cast<std::uint32_t>(pedigree.size());
    UnknownParents unknowns = random_unknowns(dice, n, seed % 2 == 0);
    if (seed % 3 == 0) {
      for (std::uint32_t i = 0; i < n; ++i) {
        unknowns.birth_year.push_back(static_cast<std::int16_t>(2000 + i));
        unknowns.breed_class.push_back(1);
      }
    }
    const Kinship whole(pedigree, unknowns);
    for (int k = 0; k < 4; ++k) {
      const Animal a{dice.below(n)}, b{dice.below(n)};
      CAPTURE(a.position);
      CAPTURE(b.position);
      const std::vector<Animal> both = {a, b};
      const Kinship part = Kinship::of_some(pedigree, unknowns, both);
      CHECK(part.inbreeding().empty());
      CHECK(std::abs(part.inbreeding_of(a) - whole.inbreeding()[a.position]) <= 1e-12);
      CHECK(std::abs(part.of(a, b) - whole.of(a, b)) <= 1e-12);
      const KidInbreeding x = part.kid_of(a, b), y = whole.kid_of(a, b);
      CHECK(std::abs(x.as_recorded - y.as_recorded) <= 1e-12);
      CHECK(std::abs(x.unknowns_as_breed - y.unknowns_as_breed) <= 1e-12);
      CHECK(std::abs(x.used - y.used) <= 1e-12);
      CHECK(std::abs(x.worst - y.worst) <= 1e-12);
      CHECK(x.worst_assumes == y.worst_assumes);
      CHECK(x.worst_all_settled == y.worst_all_settled);
      CHECK(std::abs(part.why(a, b).kinship - whole.why(a, b).kinship) <= 1e-12);
      CHECK(part.why(a, b).paths.size() == whole.why(a, b).paths.size());
      const auto row = part.row(a), all = whole.row(a);
      for (std::uint32_t i = 0; i < n; ++i) CHECK(std::abs(row[i] - all[i]) <= 1e-12);
      const Graph graph(pedigree);
      for (std::uint32_t i = 0; i < n; ++i) {
        if (graph.descends(a.position, i) || graph.descends(b.position, i)) continue;
        ++strangers;
        CHECK_THROWS_AS(part.of(a, Animal{i}), UsageError);
        CHECK_THROWS_AS(part.inbreeding_of(Animal{i}), UsageError);
        CHECK_THROWS_AS(part.kid({a, Animal{i}}), UsageError);
        CHECK_THROWS_AS(part.why(a, Animal{i}), UsageError);
        break;
      }
    }
  }
  CHECK(strangers > 100);
  const std::vector<Animal> nobody = {Animal{3}};
  CHECK_THROWS_AS(Kinship::of_some(Pedigree(), {}, nobody), UsageError);
}
