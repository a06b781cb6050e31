// SPDX-License-Identifier: MIT
// Tables of tests/reference/season: computed outside of the project, closed forms beside drawn
// does.
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include <doewright/core/normal.hpp>
#include <doewright/timing/heats.hpp>

#include "timing/season_table.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

const Date october = date_of(2026, 10, 1).value();

double varying(const DoeOdds& does, double conception, Date from, int days) {
  const BuckOdds buck{conception, 0.0};
  const Exposure stay{0, from, from + (days - 1)};
  return conception_days_varying(does, {&buck, 1}, {&stay, 1}).total();
}

/// The renewal equation stepped: what the table was made with, to its last digit at .01 day.
double stepped(double days, double conception, double step) {
  const std::size_t n = static_cast<std::size_t>(std::lround(days / step));
  std::vector<double> heats(n + 1), length(n + 1);
  for (std::size_t i = 0; i <= n; ++i) {
    length[i] = normal_density((double(i) * step - 21) / 1.5) / 1.5 * step;
  }
  for (std::size_t i = 0; i <= n; ++i) {
    double returns = 0.0;
    for (std::size_t j = std::size_t(9 / step); j <= i; ++j) returns += heats[i - j] * length[j];
    heats[i] = normal_above((double(i) * step - 21) / 1.5) / 21 + (1 - conception) * returns;
  }
  double sum = -0.5 * (heats.front() + heats.back());
  for (const double h : heats) sum += h;
  return conception * step * sum;
}

double drawn_normal(TestDraws& draw) {
  return normal_quantile(draw() + 0x1p-54);
}

/// Time of the first heat in equilibrium: a cycle picked by its length, then any moment of it.
double first_heat(TestDraws& draw) {
  for (;;) {
    const double length = 21 + 1.5 * drawn_normal(draw);
    if (draw() * 40 < length) return length * draw();
  }
}

}  // namespace

TEST_CASE("a heat begins within a stay as often as the table says, days into heat counted too") {
  for (const SeasonRow& row : season_table("check_p_heat.csv")) {
    const double days =
        number(row, "stay_days") + number(row, "days_into_heat_on_arrival_still_counted");
    CHECK(std::abs(1 - no_heat_probability(days) - number(row, "p_cycle_N21_1.5")) < 5.1e-7);
  }
  // facts of the season: no heat begins within 7, 18, 21 and 24 days
  CHECK(std::abs(no_heat_probability(7) - 0.6667) < 5e-5);
  CHECK(std::abs(no_heat_probability(18) - 0.1435) < 5e-5);
  CHECK(std::abs(no_heat_probability(21) - 0.0285) < 5e-5);
  CHECK(std::abs(no_heat_probability(24) - 0.0006) < 5e-5);
}

TEST_CASE("settled after a stay on cycles that vary: table, closed form and renewal agree") {
  for (const SeasonRow& row : season_table("check_p_settled.csv")) {
    const double c = number(row, "conception_per_heat");
    const int days = int(number(row, "stay_days"));
    CAPTURE(days);
    CAPTURE(c);
    // The table was stepped at .01 day, an error in proportion to the step (6e-5 at most); carried
    // on to no step at all, its own method gives the closed form.
    const double table = number(row, "p_settled_cycle_N21_1.5");
    const double fine = stepped(days, c, 0.01), coarse = stepped(days, c, 0.02);
    CHECK(std::abs(fine - table) < 6e-7);
    CHECK(std::abs(2 * fine - coarse - settled_in_stay(days, c)) < 1e-6);
    CHECK(std::abs(settled_in_stay(days, c) - number(row, "p_settled_monte_carlo")) < 0.002);
    CHECK(std::abs(varying(all_cycling(), c, october, days) - settled_in_stay(days, c)) < 1e-7);
  }
  CHECK(settled_in_stay(21, 1.0) == doctest::Approx(1 - no_heat_probability(21)).epsilon(1e-12));
  CHECK(settled_in_stay(0, 0.8) == 0.0);
  CHECK(settled_in_stay(90, 0.0) == 0.0);
}

TEST_CASE("drawn does with a gap, a second buck and quiet months settle as often as worked out") {
  DoeOdds does = doe_odds(Season{});
  const std::vector<BuckOdds> bucks = {{0.7, 0.1}, {0.6, 0.05}};
  const Date august = date_of(2026, 8, 10).value();
  const std::vector<Exposure> stays = {{0, august, august + 30}, {1, august + 25, august + 70}};
  const ConceptionDays days = conception_days_varying(does, bucks, stays);
  TestDraws draw(2127);
  constexpr int drawn = 200000;
  std::vector<int> settled(2);
  for (int doe = 0; doe < drawn; ++doe) {
    const double rank = draw();
    const bool never = draw() < does.never;
    const bool infertile[2] = {draw() < 0.1, draw() < 0.05};
    for (double t = first_heat(draw); t < 71 && !never; t += 21 + 1.5 * drawn_normal(draw)) {
      const int day = int(t);
      if (cycling_on(does, august + day) <= rank) continue;
      const bool both = day >= 25 && day <= 30;
      const std::size_t s = both ? draw.below(2) : day <= 30 ? 0 : 1;
      if (infertile[s] || draw() >= bucks[s].conception / 0.95) continue;
      ++settled[s];
      break;
    }
  }
  for (std::size_t s = 0; s < 2; ++s) {
    const double p = days.to_buck(s);
    CHECK(std::abs(settled[s] / double(drawn) - p) < 5 * std::sqrt(p * (1 - p) / drawn));
  }
}

TEST_CASE("with cycles that hardly vary both ways of counting heats are one") {
  CHECK(settled_in_stay(35, 0.8, {21.0, 0.001}) == doctest::Approx(0.8 + 0.2 * 0.8 * 14 / 21));
}
