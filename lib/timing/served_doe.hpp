// SPDX-License-Identifier: MIT
#pragma once
/// A doe as she stands after her services of this season.
#include <optional>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

/// Counted from her last service seen, or from the stays after it.
struct ServedDoe {
  std::optional<Animal> sire;  ///< If it was one buck.
  Date first, last;            ///< The service, or first and last day of the stays.
  bool after_stay = false;
  std::vector<double> weight;  ///< After a stay: conception on day first + k.
  double in_kid = 0.0;         ///< As of today.
  /// Not seen back in heat, in a month in which under four in five does cycle, and not tested since:
  /// the day on which she should have come back. She may have stopped cycling: test her.
  std::optional<Date> quiet_on;
};

/// Empty: no service in the last 200 days, or she has kidded since.
std::optional<ServedDoe> served_doe(const Herd& herd, const Offspring& offspring, Animal doe);

}  // namespace doewright
