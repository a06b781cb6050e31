// SPDX-License-Identifier: MIT
#pragma once
/// The standard normal distribution, accurate in both tails. Infinite borders are allowed.

namespace doewright {

double standard_density(double z) noexcept;

/// P(z' < z). Relative accuracy of std::erfc, in the lower tail too.
double standard_below(double z) noexcept;

/// P(low < z < high), without cancellation where both borders lie in one tail. 0 if high <= low.
double standard_between(double low, double high) noexcept;

/// The z with P(z' < z) = p, for p in (0, 1); -inf and +inf at 0 and 1. For a small upper tail K
/// take -standard_point(K): 1 - K loses digits.
double standard_point(double p) noexcept;

}  // namespace doewright
