// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include <doewright/season/buck_gaps.hpp>

using namespace doewright;

namespace {

/// Two pens in turn: A for so many days, a gap, B for 21 days; .75 a heat, gestation sd s.
double two_pens(int days_of_a, int gap, double sd) {
  const std::array<BuckOdds, 2> bucks = {BuckOdds{0.75, 0.0}, BuckOdds{0.75, 0.0}};
  const Date begin{20000};
  const Date next = begin + (days_of_a + gap);
  const std::array<Exposure, 2> stays = {Exposure{0, begin, begin + (days_of_a - 1)},
                                         Exposure{1, next, next + 20}};
  return unclear_kiddings(bucks, 0.0, stays, {150.0, sd});
}

struct Printed {
  int gap;
  std::array<double, 3> share;  // A for 21, 28, 35 days
  double last_digit;
};

}  // namespace

// Share of kiddings with less than 95 % certainty, two pens in turn: worked out beside the project
// by Bayes' rule on the settling formula (21-day cycles) and a normal gestation of sd 3.
TEST_CASE("the share of kiddings left unclear is that of the table, gap by gap") {
  const std::array<Printed, 4> table = {
      Printed{0, {0.19, 0.09, 0.09}, 0.01}, Printed{5, {0.05, 0.03, 0.02}, 0.01},
      Printed{7, {0.027, 0.014, 0.007}, 0.002}, Printed{10, {0.009, 0.005, 0.002}, 0.001}};
  for (const Printed& row : table) {
    for (std::size_t k = 0; k < 3; ++k) {
      const int days = 21 + 7 * static_cast<int>(k);
      CAPTURE(row.gap);
      CAPTURE(days);
      CAPTURE(two_pens(days, row.gap, 3.0));
      CHECK(std::abs(two_pens(days, row.gap, 3.0) - row.share[k]) <= row.last_digit);
    }
  }
  for (const int days : {21, 28, 35}) CHECK(two_pens(days, 14, 3.0) <= 0.0016);
  CHECK(std::abs(two_pens(21, 10, 3.7) - 0.026) <= 0.002);
}

TEST_CASE("more days between leave less unclear; one buck alone leaves nothing") {
  double before = 1.0;
  for (int gap = 0; gap <= 21; gap += 3) {  // kiddings are whole days: one day more may go either way
    const double now = two_pens(28, gap, 3.0);
    CHECK(now < before);
    before = now;
  }
  const std::array<BuckOdds, 1> one = {BuckOdds{0.75, 0.0}};
  const std::array<Exposure, 1> stay = {Exposure{0, Date{20000}, Date{20030}}};
  CHECK(unclear_kiddings(one, 0.0, stay, {150.0, 3.0}) < 1e-6);
}
