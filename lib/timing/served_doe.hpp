// SPDX-License-Identifier: MIT
#pragma once
/// A doe as she stands after her services of this season.
#include <optional>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>
#include <doewright/timing/in_kid.hpp>

namespace doewright {

/// Counted from her last service seen, or from the stays after it.
struct ServedDoe {
  std::optional<Animal> sire;  ///< If it was one buck.
  Date first, last;            ///< The service, or first and last day of the stays.
  bool after_stay = false;
  /// Conception on day first + k, given what was seen up to today.
  std::vector<double> weight;
  double in_kid = 0.0;  ///< As of today: the sum of the weights up to it.
  /// Not seen back in heat, in a month in which under four in five does cycle, and not tested since:
  /// the day on which she should have come back. She may have stopped cycling: test her.
  std::optional<Date> quiet_on;
  std::optional<PregnancyCheck> check;  ///< As StandsInKid::check.
  bool pen_runs = false;                ///< As StandsInKid::with_buck.
};

/// Empty: no service in the last 200 days, or she has kidded since.
std::optional<ServedDoe> served_doe(const Herd& herd, const Offspring& offspring, Animal doe);

/// Without StandsInKid::cycling.
StandsInKid standing_of(const ServedDoe& served);

}  // namespace doewright
