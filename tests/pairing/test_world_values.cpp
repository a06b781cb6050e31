// SPDX-License-Identifier: MIT
// Values in drawn worlds, taken apart for speed, beside their slow twin: kid_worth() of the same
// kid.
#include <doctest/doctest.h>

#include <cmath>
#include <deque>

#include <doewright/core/normal.hpp>
#include <doewright/core/stream.hpp>
#include "pairing/world_values.hpp"

using namespace doewright;

namespace {

constexpr std::size_t sires = 3, doe = sires, worlds = 40;

/// A season made up at random: loci and faults of many genes, lethal ones and others, priced or
/// not.
struct MadeUp {
  KidPrices prices;
  std::deque<WorldFault> drawn;  // by fault plain, then told
  std::deque<KidInputs> kids;
  std::deque<ParentLiabilities> borders;
  Grid<MeritMoney> merit;
  std::vector<WorldPair> pairs;
};

std::vector<double> random_prices(Stream& stream, std::size_t grades) {
  std::vector<double> result(grades);
  for (double& price : result) price = 50.0 * stream.uniform();
  return result;
}

FaultChance random_locus_kid(Stream& stream) {
  FaultChance chance;
  for (std::size_t sex = 0; sex < 2; ++sex) {
    const double first = stream.uniform(), second = (1.0 - first) * stream.uniform();
    chance.grades[sex] = {first, second, 1.0 - first - second};
    chance.shows[sex] = 1.0 - first;
    chance.carrier[sex] = first * stream.uniform();
  }
  return chance;
}

WorldFault random_worlds(Stream& stream, bool locus, std::size_t wanted) {
  WorldFault fault;
  fault.wanted = wanted;
  if (!locus) {
    fault.worlds.liabilities = Grid<double>(worlds, sires + 1);
    for (double& cell : fault.worlds.liabilities.cells) cell = stream.normal();
    return fault;
  }
  fault.worlds.copies = Grid<std::uint8_t>(worlds, sires + 1);
  for (auto& cell : fault.worlds.copies.cells) cell = static_cast<std::uint8_t>(stream.below(3));
  for (int cell = 0; cell < 9; ++cell) fault.by_copies.push_back(random_locus_kid(stream));
  return fault;
}

MadeUp made_up(std::uint64_t seed, bool with_merit) {
  Stream stream(seed, "test.world_values");
  MadeUp made;
  made.prices.base = {200.0 * stream.uniform(), 200.0 * stream.uniform()};
  std::array<std::array<double, 2>, 2> share{};
  for (auto& of_sex : share) {
    of_sex[0] = stream.uniform();
    of_sex[1] = 1.0 - of_sex[0];
  }
  for (std::size_t s = 0; s < sires; ++s) {
    KidInputs& kid = made.kids.emplace_back();
    kid.share = share;
    for (std::size_t i = 0; i < 4; ++i) {
      kid.merit[i / 2][i % 2] = 20.0 * stream.normal();
      kid.inbreeding[i / 2][i % 2] =
          -200.0 * stream.uniform();  // now and then worth less than nothing
    }
    WorldPair pair;
    pair.sire = s;
    pair.kid = &kid;
    pair.kids = 2.0 * stream.uniform();
    pair.besides = stream.normal();
    made.pairs.push_back(pair);
  }
  if (with_merit) {
    made.merit = Grid<MeritMoney>(worlds, sires + 1);
    for (MeritMoney& cell : made.merit.cells) {
      for (auto& of_sex : cell) of_sex = {10.0 * stream.normal(), 10.0 * stream.normal()};
    }
  }
  for (int f = 0; f < 6; ++f) {
    const bool locus = stream.below(2) == 0;
    const std::size_t wanted = locus ? 0 : stream.below(3);
    FaultPrice price;
    price.lethal = stream.below(3) == 0;
    price.default_keep = stream.below(2) == 0;
    if (!price.default_keep) price.by_grade[0] = random_prices(stream, 3);
    if (stream.below(2) == 0) price.by_grade[1] = random_prices(stream, 3);
    if (locus) price.carried = 10.0 * stream.uniform();
    made.prices.faults.push_back(price);
    made.drawn.push_back(random_worlds(stream, locus, wanted));
    made.drawn.push_back(random_worlds(stream, locus, wanted));
    const bool by_sex = stream.below(2) == 0;
    for (WorldPair& pair : made.pairs) {
      pair.faults.push_back(&made.drawn[made.drawn.size() - 1 - stream.below(2)]);
      pair.borders.push_back(nullptr);
      if (locus) continue;
      ParentLiabilities& own = made.borders.emplace_back();
      const double first = stream.normal(), step = stream.uniform();
      own.threshold_doe = own.threshold_buck = {first, first + step};
      if (by_sex) own.threshold_buck = {first - step, first};
      own.rest_var = 0.2 + stream.uniform();
      pair.borders.back() = &own;
    }
  }
  return made;
}

FaultChance chance_in(const QuickNormal& normal, const WorldPair& pair, std::size_t f,
                      std::size_t w) {
  const WorldFault& fault = *pair.faults[f];
  if (!fault.by_copies.empty()) {
    return fault.by_copies[3u * fault.worlds.copies(w, pair.sire) + fault.worlds.copies(w, doe)];
  }
  FaultChance chance;
  const ParentLiabilities& own = *pair.borders[f];
  const double mean =
      0.5 * (fault.worlds.liabilities(w, pair.sire) + fault.worlds.liabilities(w, doe));
  for (std::size_t sex = 0; sex < 2; ++sex) {
    double below = 0.0;
    const auto& thresholds = sex == 0 ? own.threshold_doe : own.threshold_buck;
    for (std::size_t g = 0; g < 3; ++g) {
      const double x = g < 2 ? (thresholds[g] - mean) / std::sqrt(own.rest_var) : 1e9;
      const double next = normal.at(QuickNormal::place(x));
      chance.grades[sex][g] = next - below;
      below = next;
    }
    chance.shows[sex] = 1.0 - chance.grades[sex][fault.wanted];
  }
  return chance;
}

double slow_value(const QuickNormal& normal, const MadeUp& made, const WorldPair& pair,
                  std::size_t w) {
  std::vector<FaultChance> chances;
  for (std::size_t f = 0; f < pair.faults.size(); ++f) {
    chances.push_back(chance_in(normal, pair, f, w));
  }
  std::vector<const FaultChance*> pointers;
  for (const FaultChance& chance : chances) pointers.push_back(&chance);
  KidInputs kid = *pair.kid;
  if (!made.merit.cells.empty()) {
    for (std::size_t i = 0; i < 4; ++i) {
      kid.merit[i / 2][i % 2] =
          made.merit(w, pair.sire)[i / 2][i % 2] + made.merit(w, doe)[i / 2][i % 2];
    }
  }
  return pair.kids * kid_worth(made.prices, kid, pointers, nullptr).total() + pair.besides;
}

}  // namespace

TEST_CASE("a value in a drawn world is the sum of kid_worth, whatever the faults and prices") {
  const QuickNormal normal;
  double spread = 0.0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    const MadeUp made = made_up(seed, seed % 2 == 0);
    WorldValues values(made.prices, normal, made.merit, doe, made.pairs);
    std::array<double, sires> found{};
    for (std::size_t w = 0; w < worlds; ++w) {
      values.in_world(w, found);
      for (std::size_t s = 0; s < sires; ++s) {
        CHECK(std::abs(found[s] - slow_value(normal, made, made.pairs[s], w)) < 1e-9);
        spread = std::max(spread, std::abs(found[s] - found[0]));
      }
    }
  }
  CHECK(spread > 1.0);
}

TEST_CASE("the table of the normal distribution is right to 5e-7") {
  const QuickNormal normal;
  for (int i = -9000; i <= 9000; ++i) {
    const double x = 0.001 * i + 0.0003;
    CHECK(std::abs(normal.at(QuickNormal::place(x)) - normal_below(x)) < 5e-7);
  }
}
