// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <bit>

#include <doewright/season/plan.hpp>

using namespace doewright;

namespace {

/// Every way in which each of n does has her heat today or not.
double crowded_by_enumeration(unsigned does) {
  double crowded = 0.0;
  for (unsigned today = 0; today < (1u << does); ++today) {
    if (std::popcount(today) < 2) continue;
    double chance = 1.0;
    for (unsigned d = 0; d < does; ++d) chance *= (today >> d & 1u) != 0 ? 1.0 / 21 : 20.0 / 21;
    crowded += chance;
  }
  return crowded;
}

}  // namespace

TEST_CASE("days with two or more does in heat are those of the enumeration") {
  for (unsigned does = 0; does <= 14; ++does) {
    CAPTURE(does);
    CHECK(crowded_days(does) == doctest::Approx(crowded_by_enumeration(does)).epsilon(1e-12));
  }
}

TEST_CASE("nine does: two or more come in heat on 6.5 % of the days") {
  // 1 - (20/21)^9 - 9 (1/21) (20/21)^8, the binomial distribution.
  CHECK(crowded_days(9) == doctest::Approx(0.065).epsilon(0.01));
  CHECK(crowded_days(1) == 0.0);
}
