// SPDX-License-Identifier: MIT
#pragma once
/// The standard normal distribution.
#include <doewright/export.hpp>

namespace doewright {

DOEWRIGHT_EXPORT double normal_density(double x) noexcept;

/// Chance of a value of at most x; relative accuracy kept in both tails (1e-15 of the smaller tail).
DOEWRIGHT_EXPORT double normal_below(double x) noexcept;
DOEWRIGHT_EXPORT double normal_above(double x) noexcept;

/// x with normal_below(x) = p. p <= 0 gives minus infinity, p >= 1 infinity. Accuracy 1e-14 relative.
/// Source: Wichura (1988), algorithm AS 241, Appl. Stat. 37:477.
DOEWRIGHT_EXPORT double normal_quantile(double p) noexcept;

}  // namespace doewright
