// SPDX-License-Identifier: MIT
// Pedigrees at the bounds of what is worked out in full: very many paths, more ancestors than are
// summed, many unsure sires, great depth.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <vector>

#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/kinship.hpp>

#include "kinship/engines.hpp"
#include "kinship/pair_twins.hpp"
#include "kinship/worst.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

constexpr std::uint32_t none = Pedigree::none;

/// Two animals a generation, full sibs mated.
Pedigree full_sibs(std::uint32_t generations) {
  std::vector<std::uint32_t> sires = {none, none}, dams = {none, none};
  for (std::uint32_t g = 0; g < generations; ++g) {
    for (int k = 0; k < 2; ++k) {
      sires.push_back(2 * g);
      dams.push_back(2 * g + 1);
    }
  }
  return Pedigree(std::move(sires), std::move(dams));
}

}  // namespace

TEST_CASE("the number of paths is exact where chains are far more than paths") {
  // Paths between full sibs of generation t: they meet at the sire, at the dam, or go on through
  // both in two ways: p(t) = 2 + 2 p(t-1), p(0) = 0, so p(t) = 2^(t+1) - 2, though there are 2^t
  // chains to each founder from either.
  for (const std::uint32_t t : {1u, 2u, 5u, 20u, 26u, 27u, 30u, 40u, 51u}) {
    CAPTURE(t);
    const Why why = Kinship(full_sibs(t)).why(Animal{2 * t}, Animal{2 * t + 1}, 5);
    CHECK(why.paths_total == std::ldexp(1.0, static_cast<int>(t) + 1) - 2.0);
  }
}

TEST_CASE("the number of paths is the nearest double of the exact count on random pedigrees") {
  // Counted by opening up the younger of two heads, in whole numbers of 64 bits.
  std::size_t many = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const std::uint32_t n = 20 + 40 * static_cast<std::uint32_t>(seed % 3);
    const Pedigree pedigree =
        random_pedigree(dice, {.animals = n,
                               .founders = 4,
                               .blank = seed % 2 == 0 ? 8u : 0u,
                               .unsure = 0,
                               .most_unsure = 0,
                               .reach = 2 + static_cast<std::uint32_t>(seed % 3)});
    std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint64_t> known;
    const std::function<std::uint64_t(std::uint32_t, std::uint32_t)> count =
        [&](std::uint32_t x, std::uint32_t y) -> std::uint64_t {
      if (x == none || y == none) return 0;
      if (x == y) return 1;
      if (x < y) std::swap(x, y);
      if (const auto found = known.find({x, y}); found != known.end()) return found->second;
      return known[{x, y}] = count(pedigree.sire_slots()[x], y) + count(pedigree.dam_slots()[x], y);
    };
    const std::uint64_t exact = count(n - 1, n - 2);
    REQUIRE(exact < (std::uint64_t{1} << 53));
    many += exact > 1'000'000 ? 1u : 0u;
    CHECK(Kinship(pedigree).why(Animal{n - 1}, Animal{n - 2}, 1).paths_total ==
          static_cast<double>(exact));
  }
  CHECK(many >= 15);
}

TEST_CASE("a listed sire is never told as one not on the list because he lies far back") {
  // Complete pedigrees of a and b without a common animal, but for one unsure sire nine generations
  // back whose list adds up to 1, and whose bucks lie where the nearest generations end.
  std::vector<std::uint32_t> sires, dams;
  const auto founder = [&] {
    sires.push_back(none);
    dams.push_back(none);
    return static_cast<std::uint32_t>(sires.size() - 1);
  };
  const std::uint32_t buck = founder(), other = founder();
  const std::function<std::uint32_t(int, bool)> ancestor = [&](int generation, bool marked) {
    if (generation == 11) return founder();
    const bool unsure = marked && generation == 8;
    const std::uint32_t sire = unsure ? Pedigree::stand_in_bit : ancestor(generation + 1, marked);
    const std::uint32_t dam = ancestor(generation + 1, false);
    sires.push_back(sire);
    dams.push_back(dam);
    return static_cast<std::uint32_t>(sires.size() - 1);
  };
  const Animal a{ancestor(0, true)}, b{ancestor(0, true)};
  const Kinship kinship(Pedigree(sires, dams, {{{Animal{buck}, 0.5}, {Animal{other}, 0.5}}}));
  const double expected = std::ldexp(0.5, -18);  // 9 + 9 steps; whoever he was has F = 0
  CHECK(std::abs(kinship.of(a, b) - expected) <= 1e-15);
  double sum = 0.0;
  for (const AncestorShare& share : kinship.common_ancestors(a, b)) {
    CHECK(share.ancestor.has_value());
    sum += share.contribution;
  }
  CHECK(sum <= expected + 1e-15);
  for (const Path& path : kinship.why(a, b).paths) CHECK(path.ancestor.has_value());
}

TEST_CASE("twelve unsure sires are settled all at once") {
  std::size_t many = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 52711);
    // Every kid after the founders has one of two bucks for sire, each its own list: 2^k settlings.
    const std::uint32_t n = 14;
    std::vector<std::uint32_t> sires, dams;
    std::vector<std::vector<SireChance>> lists;
    for (std::uint32_t i = 0; i < n; ++i) {
      const bool is_founder = i < 4;
      dams.push_back(is_founder ? none : 2 * dice.below(i / 2) + 1);
      if (is_founder) {
        sires.push_back(none);
        continue;
      }
      const std::uint32_t bucks = (i + 1) / 2, first = dice.below(bucks - 1);
      const std::uint32_t second = first + 1 + dice.below(bucks - 1 - first);
      const double p = (1 + dice.below(9)) / 10.0;
      sires.push_back(Pedigree::stand_in_bit | static_cast<std::uint32_t>(lists.size()));
      lists.push_back({{Animal{2 * first}, p}, {Animal{2 * second}, 1.0 - p}});
    }
    const Pedigree pedigree(sires, dams, lists);
    const Graph graph(pedigree);
    UnknownParents unknowns;
    unknowns.may_be.assign(n, 0);  // nobody may stand in a blank: choices of (a) alone
    const Kinship kinship(pedigree, unknowns);
    const Animal a{n - 1}, b{n - 2};
    std::size_t inside = 0;
    for (std::size_t s = 0; s < lists.size(); ++s) {
      inside += graph.descends(a.position, n + s) || graph.descends(b.position, n + s) ? 1u : 0u;
    }
    many += inside >= 8 ? 1u : 0u;
    double best = 0.0;
    for_settlings(pedigree, [&](const std::vector<std::size_t>& choice, double) {
      Graph world(pedigree);
      for (std::size_t s = 0; s < lists.size(); ++s) {
        world.parents[n + s] = {{lists[s][choice[s]].sire.position, 1.0}};
      }
      best = std::max(best, world.kinship()[a.position][b.position]);
    });
    CHECK(std::abs(kinship.kid({a, b}).worst - best) <= 1e-12);
  }
  CHECK(many >= 3);
}

TEST_CASE("more unsure sires than are settled at once: said, never above the very worst") {
  std::size_t below = 0;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 7717);
    const std::uint32_t n = 48;
    const Pedigree pedigree = random_pedigree(
        dice,
        {.animals = n, .founders = 4, .blank = 0, .unsure = 100, .most_unsure = 40, .reach = 5});
    UnknownParents unknowns;
    unknowns.may_be.assign(n, 0);
    const Kinship kinship(pedigree, unknowns);
    const Animal a{n - 1}, b{n - 2};
    const KidInbreeding kid = kinship.kid({a, b});
    CHECK_FALSE(kid.worst_all_settled);
    CHECK(kid.worst >= kid.as_recorded);
    CHECK(std::abs(with_assumptions(pedigree, kid.worst_assumes, a, b) - kid.worst) <= 1e-12);
    // No settling makes more than the bound in which every pair of heads takes its own worst buck.
    const std::size_t animals = pedigree.size();
    Matrix bound(animals, std::vector<double>(animals, 0.0));
    const auto sires_of = [&](std::uint32_t x) { return pedigree.possible_sires(Animal{x}); };
    for (std::uint32_t x = 0; x < animals; ++x) {
      const auto above = [&](std::uint32_t y) {
        double most = 0.0;
        for (const SireChance& chance : sires_of(x)) {
          most = std::max(most, bound[chance.sire.position][y]);
        }
        const std::uint32_t dam = pedigree.dam_slots()[x];
        return 0.5 * (most + (dam == none ? 0.0 : bound[dam][y]));
      };
      for (std::uint32_t y = 0; y < x; ++y) bound[x][y] = bound[y][x] = above(y);
      // Litters that share a draw share the buck: K(m, m) is his own.
      double own = 0.0;
      const std::uint32_t dam = pedigree.dam_slots()[x];
      for (const SireChance& chance : sires_of(x)) {
        if (dam != none) own = std::max(own, bound[chance.sire.position][dam]);
      }
      bound[x][x] = 0.5 * (1.0 + own);
    }
    CHECK(kid.worst <= bound[a.position][b.position] + 1e-12);
    below += kid.worst > kid.as_recorded + 1e-6 ? 1u : 0u;
  }
  CHECK(below == 6);
}

TEST_CASE("asked for together or one by one, the worst reading is the same") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Pedigree pedigree = random_pedigree(dice, {.animals = 40,
                                                     .founders = 6,
                                                     .blank = 25,
                                                     .unsure = seed % 2 == 0 ? 0u : 10u,
                                                     .most_unsure = 3,
                                                     .reach = 6});
    const KinshipState state(pedigree, {}, {});
    std::vector<KidInbreeding> many, few;
    for (std::uint32_t i = 20; i < 40; ++i) {
      const Animal a{i}, b{(7 * i) % 40};
      KidInbreeding kid;
      kid.as_recorded = Kinship(pedigree).of(a, b);
      many.push_back(kid);
      few.push_back(kid);
    }
    std::vector<WorstQuestion> ask_many, ask_few;
    for (std::uint32_t k = 0; k < many.size(); ++k) {
      ask_many.push_back({Animal{20 + k}, Animal{(7 * (20 + k)) % 40}, &many[k]});
      ask_few.push_back({Animal{20 + k}, Animal{(7 * (20 + k)) % 40}, &few[k]});
    }
    read_worst(state, ask_many, {});
    for (const WorstQuestion& each : ask_few) read_worst(state, {&each, 1}, {});
    for (std::size_t k = 0; k < many.size(); ++k) {
      CHECK(many[k].worst == few[k].worst);
      CHECK(many[k].worst_assumes == few[k].worst_assumes);
    }
  }
}

TEST_CASE("eight unsure sires of three bucks each are settled all at once, beside all 6,561 ways") {
  // Lines of two kids a generation; from the third on the sire is one of three bucks before him.
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 6007);
    std::vector<std::uint32_t> sires(8, none), dams(8, none);
    std::vector<std::vector<SireChance>> lists;
    for (std::uint32_t kid = 8; kid < 18; ++kid) {  // bucks even, does odd
      const auto before = [&](std::uint32_t sex) {
        const std::uint32_t of_sex = (kid + 1 - sex) / 2;
        return 2 * (of_sex - 1 - dice.below(3)) + sex;
      };
      dams.push_back(before(1));
      const std::uint32_t last = 2 * ((kid + 1) / 2 - 1);
      if (lists.size() == 8) {
        sires.push_back(last);
        continue;
      }
      sires.push_back(Pedigree::stand_in_bit | static_cast<std::uint32_t>(lists.size()));
      lists.push_back({{Animal{last - 4}, 0.25}, {Animal{last - 2}, 0.25}, {Animal{last}, 0.5}});
    }
    sires.push_back(16);  // 18, 19: the two, whose parents all have parents
    dams.push_back(15);
    sires.push_back(16);
    dams.push_back(17);
    const Pedigree pedigree(sires, dams, lists);
    const Animal a{18}, b{19};
    double twin = 0.0;
    for_settlings(pedigree, [&](const std::vector<std::size_t>& choice, double) {
      Graph graph(pedigree);
      for (std::uint32_t s = 0; s < lists.size(); ++s) {
        graph.parents[pedigree.size() + s] = {{lists[s][choice[s]].sire.position, 1.0}};
      }
      twin = std::max(twin, graph.kinship()[a.position][b.position]);
    });
    const KidInbreeding kid = Kinship(pedigree).kid({a, b});
    CHECK(kid.worst_all_settled);
    CHECK(std::abs(kid.worst - twin) <= 1e-12);
    CHECK(std::abs(with_assumptions(pedigree, kid.worst_assumes, a, b) - twin) <= 1e-12);
  }
}

TEST_CASE("lines 200,000 deep stay with the engine that does not mind depth") {
  const std::uint32_t depth = 200'000;
  std::vector<std::uint32_t> sires(depth, none), dams(depth, none);
  for (std::uint32_t i = 2; i < depth; i += 2) {  // a buck line; each time a new doe
    sires[i] = i - 2;
    dams[i] = i - 1;
  }
  const Pedigree new_dams(sires, dams);
  CHECK(most_active(Family(new_dams), 100) < 10);
  for (const double f : inbreeding(new_dams)) REQUIRE(f == 0.0);

  for (std::uint32_t i = 2; i < depth; ++i) {  // both parents in the line
    sires[i] = i % 2 == 0 ? i - 2 : i - 1;
    dams[i] = i % 2 == 0 ? i - 1 : i - 2;
  }
  const Pedigree closed(sires, dams);
  CHECK(most_active(Family(closed), 100) < 10);
  CHECK(inbreeding(closed).back() > 1.0 - 1e-12);
}

TEST_CASE("both engines agree on lines 4,000 deep") {
  const std::uint32_t depth = 4'000;
  std::vector<std::uint32_t> sires(depth, none), dams(depth, none);
  for (std::uint32_t i = 2; i < depth; ++i) {
    sires[i] = i % 2 == 0 ? i - 2 : i - 1;
    dams[i] = i % 7 == 0 ? none : i % 2 == 0 ? i - 1 : i - 2;
  }
  const Family family{Pedigree(sires, dams)};
  const auto table = active_set_inbreeding(family, most_active(family, 100), {});
  const auto columns = sire_wise_inbreeding(family, {});
  double off = 0.0;
  for (std::uint32_t i = 0; i < depth; ++i)
    off = std::max(off, std::abs(table.f[i] - columns.f[i]));
  CHECK(off <= 1e-12);
}
