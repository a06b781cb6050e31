// SPDX-License-Identifier: MIT
#pragma once
/// From service to kidding: how long, by class, and the window in which she is due.
#include <span>
#include <string>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

/// The class of a doe: that of her largest breed share (ties: the smaller breed name, without
/// case); `unknown` where no breed is recorded, the breed has no class or the class is not defined.
/// \param shares  The doe's, as of breed_shares().
DOEWRIGHT_EXPORT GestationClass gestation_of(const Season& season,
                                             std::span<const BreedShare> shares,
                                             const std::vector<std::string>& breed_names);

/// Chance that she kids on the day `days` after the service day (day 0): Phi((d+.5-m)/s) -
/// Phi((d-.5-m)/s). The tails are kept.
DOEWRIGHT_EXPORT double gestation_chance(const GestationClass& gestation, int days);

/// The day x with chance p that she kids by then, in days after a known service. \pre 0 < p < 1.
DOEWRIGHT_EXPORT double gestation_point(const GestationClass& gestation, double p);

/// Weights of conception days: [k] is the chance or any weight of day first + k.
struct DueFrom {
  Date first;
  std::vector<double> weight;
  GestationClass gestation;
};

/// The point x, in days counted from the beginning of the first day, with chance p that she has
/// kidded by then: conception evenly within its day, then a normal gestation. Several does or
/// classes: counted from the first one's first day, each by the sum of its weights.
/// NaN if no weight is above 0. \pre 0 < p < 1, weights >= 0. Accuracy 1e-9 days.
DOEWRIGHT_EXPORT double due_point(std::span<const DueFrom> parts, double p);

/// Whole days of a due window: 5 % point rounded down, median, 95 % point rounded up, counted noon
/// to noon. They are of the model's spread, not a promise: kids may come before and after.
struct DueWindow {
  Date low, middle, high;
};
DOEWRIGHT_EXPORT DueWindow due_after_service(Date service, const GestationClass& gestation);
/// \pre some weight is above 0 (UsageError).
DOEWRIGHT_EXPORT DueWindow due_after_days(std::span<const DueFrom> parts);

}  // namespace doewright
