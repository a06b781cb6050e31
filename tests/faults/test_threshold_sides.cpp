// SPDX-License-Identifier: MIT
/// Where the normal approximation is known to be weak: kin that show a two-sided fault, nobody said
/// on which side. The exact answer is an integral over one number.
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "threshold_herds.hpp"
#include "threshold_twins.hpp"

namespace doewright::testing {

namespace {

struct SidesCase {
  double engine, exact;
};

/// A family of which `kids` kids show a fault with 10 % below and 15 % above the wanted grade.
SidesCase family_of_shown_kids(int kids, std::optional<double> worth, bool side_said,
                               std::size_t tried = 5) {
  Herd herd = herd_of(
      {{"s"}, {"d"}, {"k1", "s", "d"}, {"k2", "s", "d"}, {"k3", "s", "d"}, {"k4", "s", "d"}});
  herd.faults = {threshold_fault({0.9, 0.15}, 0.4, worth)};
  herd.faults[0].wanted = 1;
  for (int k = 1; k <= kids; ++k) {
    const Animal kid = animal(herd, "k" + std::to_string(k));
    side_said ? look(herd, kid, 2) : looks_shown(herd, kid, Found::unwanted);
  }
  const ThresholdFit fitted = fit(herd, {.with_told = false, .most_ends = tried});
  const auto unsaid = side_said ? 0u : static_cast<std::size_t>(kids);
  CHECK(fitted.sides_unknown() == unsaid - std::min(unsaid, tried));
  CHECK(fitted.converged());
  const KidRisk risk = risk_of(herd, fitted, "s", "d");

  const double z = threshold_at(0.15);
  const double mu_var = worth ? 0.15 * 0.85 / ((*worth + 1.0) * density(z) * density(z)) : 0.0;
  const double wider = std::sqrt(1.0 + mu_var), rest = std::sqrt(0.8);
  const double low = threshold_at(0.9) * wider, high = z * wider;
  const double sd = std::sqrt(0.2 + mu_var);  // of mu + (a_s + a_d) / 2
  const auto seen = [&](double x, bool any_side) {
    return below((x - high) / rest) + (any_side ? below((low - x) / rest) : 0.0);
  };
  const double top = normal_mean(
      [&](double u) { return std::pow(seen(sd * u, !side_said), kids) * seen(sd * u, true); });
  const double bottom =
      normal_mean([&](double u) { return std::pow(seen(sd * u, !side_said), kids); });
  return {risk.affected, top / bottom};
}

}  // namespace

TEST_CASE("Kids shown on a side that was said: within 0.005 of the exact risk") {
  for (int kids = 0; kids <= 4; ++kids) {
    for (const std::optional<double> worth : {std::optional<double>{}, std::optional(12.0)}) {
      const SidesCase family = family_of_shown_kids(kids, worth, true);
      CAPTURE(kids);
      CHECK(std::abs(family.engine - family.exact) <= 0.005);
    }
  }
}

TEST_CASE("Kids shown on a side nobody said, both sides tried: within 0.005 of the exact risk") {
  for (int kids = 0; kids <= 4; ++kids) {
    for (const std::optional<double> worth : {std::optional<double>{}, std::optional(12.0)}) {
      const SidesCase family = family_of_shown_kids(kids, worth, false);
      CAPTURE(kids);
      CHECK(std::abs(family.engine - family.exact) <= 0.005);
    }
  }
}

/// A known weakness, not a goal: how far the engine was measured to miss where the sides are not tried,
/// by number of kids. It must not get worse, and no miss of this size may occur elsewhere.
TEST_CASE("Kids shown on a side nobody said and nobody tried: misses up to 0.1, no larger than measured") {
  const std::vector<double> sure = {1e-12, 0.005, 0.006, 0.018, 0.036};
  const std::vector<double> unsure = {1e-12, 0.006, 0.028, 0.064, 0.100};
  for (std::size_t kids = 0; kids <= 4; ++kids) {
    CAPTURE(kids);
    const SidesCase known = family_of_shown_kids(static_cast<int>(kids), std::nullopt, false, 0);
    CHECK(std::abs(known.engine - known.exact) <= sure[kids]);
    const SidesCase uncertain = family_of_shown_kids(static_cast<int>(kids), 12.0, false, 0);
    CHECK(std::abs(uncertain.engine - uncertain.exact) <= unsure[kids]);
  }
}

}  // namespace doewright::testing
