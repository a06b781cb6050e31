// SPDX-License-Identifier: MIT
// Tables: tests/reference/season (computed outside of the project, SOURCE.md). The twins say the
// definition doe by doe: one enumerates, one draws.
#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/timing/settling.hpp>

#include "timing/season_table.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

const Date october = date_of(2026, 10, 1).value();

double settled_of_one(const DoeOdds& does, double conception, Date from, int days) {
  const BuckOdds buck{conception, 0.0};
  const Exposure stay{0, from, from + (days - 1)};
  return conception_days(does, {&buck, 1}, {&stay, 1}).total();
}

struct Case {
  DoeOdds does;
  std::vector<BuckOdds> bucks;
  std::vector<Exposure> exposures;
};

bool with_her(const Case& c, std::size_t buck, Date day) {
  for (const Exposure& e : c.exposures) {
    if (e.buck == buck && e.from <= day && day <= e.to) return true;
  }
  return false;
}

std::vector<std::size_t> bucks_on(const Case& c, Date day) {
  std::vector<std::size_t> bucks;
  for (std::size_t s = 0; s < c.bucks.size(); ++s) {
    if (with_her(c, s, day)) bucks.push_back(s);
  }
  return bucks;
}

double settling(const Case& c, std::size_t buck) {
  return std::min(1.0, c.bucks[buck].conception / (1.0 - c.does.never));
}

/// Follows one doe of known kind through her heats: chance by buck of the day she conceives.
/// `rank` is her place among does: she cycles in a month if its share is above it.
void follow(const Case& c, Date first, int days, int first_heat, double rank, unsigned fertile,
            double weight, std::vector<std::vector<double>>& sum) {
  double open = weight;
  for (int t = first_heat; t < days; t += 21) {
    const Date day = first + t;
    if (cycling_on(c.does, day) <= rank) continue;
    const auto bucks = bucks_on(c, day);
    double left = open;
    for (const std::size_t s : bucks) {
      if ((fertile >> s & 1) == 0) continue;
      const double here = open / double(bucks.size()) * settling(c, s);
      sum[s][static_cast<std::size_t>(t)] += here;
      left -= here;
    }
    open = left;
  }
}

/// All kinds of does, all states of the bucks, all first heats.
std::vector<std::vector<double>> by_enumeration(const Case& c, Date first, int days) {
  std::vector<double> borders = {0.0, 1.0};
  for (const double share : c.does.cycling) borders.push_back(share);
  std::sort(borders.begin(), borders.end());
  std::vector<std::vector<double>> sum(c.bucks.size(),
                                       std::vector<double>(static_cast<std::size_t>(days)));
  for (std::size_t k = 0; k + 1 < borders.size(); ++k) {
    const double rank = (borders[k] + borders[k + 1]) / 2;
    for (unsigned fertile = 0; fertile < 1u << c.bucks.size(); ++fertile) {
      double weight = (borders[k + 1] - borders[k]) / 21 * (1.0 - c.does.never);
      for (std::size_t s = 0; s < c.bucks.size(); ++s) {
        weight *= (fertile >> s & 1) != 0 ? 1.0 - c.bucks[s].infertile : c.bucks[s].infertile;
      }
      if (weight == 0.0) continue;
      for (int heat = 0; heat < 21; ++heat) {
        follow(c, first, days, heat, rank, fertile, weight, sum);
      }
    }
  }
  return sum;
}

Case random_case(TestDraws& draw) {
  Case c;
  c.does = doe_odds(Season{});
  if (draw() < 0.3) c.does = all_cycling();
  if (draw() < 0.5) c.does.never = draw() * 0.3;
  const std::size_t bucks = 1 + draw.below(4);
  for (std::size_t s = 0; s < bucks; ++s) {
    c.bucks.push_back({draw(), draw() < 0.3 ? 0.0 : draw() < 0.1 ? 1.0 : draw() * 0.4});
  }
  const std::size_t stays = 1 + draw.below(6);
  for (std::size_t k = 0; k < stays; ++k) {
    const Date from = october + static_cast<std::int32_t>(draw.below(150)) - 90;
    c.exposures.push_back({draw.below(bucks), from, from + int(draw.below(50))});
  }
  return c;
}

}  // namespace

TEST_CASE("a stay with 21-day cycles settles as the table of stays says") {
  for (const SeasonRow& row : season_table("check_p_settled.csv")) {
    const double c = number(row, "conception_per_heat");
    const double p = settled_of_one(all_cycling(), c, october, int(number(row, "stay_days")));
    CHECK(std::abs(p - number(row, "p_settled_fixed21")) < 5.1e-7);
  }
}

TEST_CASE("values of the definition: 35 days, two stays with a gap, a stay from midsummer on") {
  CHECK(std::abs(settled_of_one(all_cycling(), 0.8, october, 35) - 0.9067) < 5e-5);

  const std::vector<BuckOdds> bucks = {{0.75, 0.0}, {0.75, 0.0}};
  const std::vector<Exposure> turns = {{0, october, october + 20}, {1, october + 35, october + 55}};
  const ConceptionDays two = conception_days(all_cycling(), bucks, turns);
  CHECK(two.to_buck(0) == doctest::Approx(0.75).epsilon(1e-12));
  CHECK(two.to_buck(1) == doctest::Approx(0.1875).epsilon(1e-12));

  DoeOdds does = doe_odds(Season{});
  does.never = 0.0;
  CHECK(std::abs(settled_of_one(does, 0.8, date_of(2026, 7, 1).value(), 90) - 0.7942) < 5e-5);
  Season south;
  south.north = false;
  CHECK(doe_odds(south).cycling[0] == 0.2);   // January there is July here
  CHECK(doe_odds(south).cycling[3] == 0.97);  // April, October
  CHECK(cycling_on(doe_odds(Season{}), october) == 0.97);
}

TEST_CASE("does that never settle: 42 days at .8 give .926 and not .960") {
  DoeOdds does = all_cycling();
  does.never = 0.05;
  const double c = 0.8 / 0.95;
  CHECK(settled_of_one(does, 0.8, october, 42) ==
        doctest::Approx(0.95 * (1 - (1 - c) * (1 - c))).epsilon(1e-12));
  CHECK(std::abs(settled_of_one(does, 0.8, october, 42) - 0.926) < 5e-4);
  does.never = 0.4;  // no more than every heat of the does that can
  CHECK(settled_of_one(does, 0.8, october, 21) == doctest::Approx(0.6).epsilon(1e-12));
  does.never = 1.0;
  CHECK(settled_of_one(does, 0.8, october, 21) == 0.0);
}

TEST_CASE("any exposures, bucks and months: the same as following every kind of doe") {
  TestDraws draw(20261001);
  for (int k = 0; k < 150; ++k) {
    CAPTURE(k);
    const Case c = random_case(draw);
    const ConceptionDays days = conception_days(c.does, c.bucks, c.exposures);
    const int count = int(days.by_buck.front().size());
    const auto twin = by_enumeration(c, days.first, count);
    double worst = 0.0;
    for (std::size_t s = 0; s < c.bucks.size(); ++s) {
      for (std::size_t t = 0; t < twin[s].size(); ++t) {
        worst = std::max(worst, std::abs(twin[s][t] - days.by_buck[s][t]));
      }
    }
    CHECK(worst < 1e-12);
    CHECK(days.total() <= 1.0 + 1e-12);
  }
}

TEST_CASE("drawn does settle as often as worked out, by buck") {
  TestDraws draw(7);
  for (int k = 0; k < 6; ++k) {
    CAPTURE(k);
    const Case c = random_case(draw);
    const ConceptionDays days = conception_days(c.does, c.bucks, c.exposures);
    const int count = int(days.by_buck.front().size());
    constexpr int drawn = 100000;
    std::vector<int> settled(c.bucks.size());
    for (int doe = 0; doe < drawn; ++doe) {
      const double rank = draw();
      const bool never = draw() < c.does.never;
      std::vector<bool> infertile;
      for (const BuckOdds& buck : c.bucks) infertile.push_back(draw() < buck.infertile);
      for (int t = int(draw.below(21)); t < count && !never; t += 21) {
        const auto bucks = bucks_on(c, days.first + t);
        if (bucks.empty() || cycling_on(c.does, days.first + t) <= rank) continue;
        const std::size_t s = bucks[draw.below(bucks.size())];
        if (infertile[s] || draw() >= settling(c, s)) continue;
        ++settled[s];
        break;
      }
    }
    for (std::size_t s = 0; s < c.bucks.size(); ++s) {
      const double p = days.to_buck(s);
      const double five_errors = 5 * std::sqrt(p * (1 - p) / drawn);
      CHECK(std::abs(settled[s] / double(drawn) - p) <= five_errors);
    }
  }
}

TEST_CASE("one buck alone gives (1 - f); a second buck gets the heats an infertile one missed") {
  const std::vector<BuckOdds> bucks = {{0.8, 0.1}, {0.8, 0.0}};
  const std::vector<Exposure> turns = {{0, october, october + 20}, {1, october + 21, october + 41}};
  const ConceptionDays both = conception_days(all_cycling(), bucks, turns);
  CHECK(both.to_buck(0) == doctest::Approx(0.9 * 0.8).epsilon(1e-12));
  CHECK(both.to_buck(1) == doctest::Approx(0.1 * 0.8 + 0.9 * 0.2 * 0.8).epsilon(1e-12));
  const std::vector<Exposure> twice = {{0, october, october + 20}, {0, october + 5, october + 20}};
  CHECK(conception_days(all_cycling(), bucks, twice).total() ==
        doctest::Approx(0.9 * 0.8).epsilon(1e-12));
}

TEST_CASE("all of his does open: the infertile buck is the common cause") {
  CHECK(all_open_probability(0.05, {}) == 1.0);
  const std::vector<double> does = {0.95 * 0.9, 0.95 * 0.8};
  CHECK(all_open_probability(0.05, does) ==
        doctest::Approx(0.05 + 0.95 * 0.1 * 0.2).epsilon(1e-12));
  CHECK(all_open_probability(1.0, does) == 1.0);
  CHECK(all_open_probability(0.0, std::vector<double>{1.0}) == 0.0);
}

TEST_CASE("no exposure settles nobody; a caller's mistake is refused") {
  const std::vector<BuckOdds> bucks = {{0.8, 0.0}};
  CHECK(conception_days(all_cycling(), bucks, {}).total() == 0.0);
  const auto refused = [&](Exposure e, BuckOdds buck) {
    CHECK_THROWS_AS(conception_days(all_cycling(), {&buck, 1}, {&e, 1}), UsageError);
  };
  refused({1, october, october}, {0.8, 0.0});
  refused({0, october, october - 1}, {0.8, 0.0});
  refused({0, october, october + 20000}, {0.8, 0.0});
  refused({0, october, october}, {1.1, 0.0});
  refused({0, october, october}, {0.8, std::nan("")});
  const std::vector<BuckOdds> many(17, {0.8, 0.1});
  std::vector<Exposure> met;
  for (std::size_t s = 0; s < many.size(); ++s) met.push_back({s, october, october});
  CHECK_THROWS_AS(conception_days(all_cycling(), many, met), LimitError);
}
