// SPDX-License-Identifier: MIT
#include "threshold_normal.hpp"

#include <cmath>
#include <limits>
#include <numbers>

namespace doewright {

namespace {

/// Abramowitz and Stegun (1964) 26.2.23, within 4.5e-4: where the steps below start from.
/// \pre 0 < p <= 1/2.
double lower_point_roughly(double p) {
  const double t = std::sqrt(-2.0 * std::log(p));
  const double above = 2.515517 + t * (0.802853 + t * 0.010328);
  const double below = 1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308));
  return -(t - above / below);
}

}  // namespace

double standard_density(double z) noexcept {
  return std::exp(-0.5 * z * z) * (std::numbers::inv_sqrtpi / std::numbers::sqrt2);
}

double standard_below(double z) noexcept {
  return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

double standard_between(double low, double high) noexcept {
  if (!(low < high)) return 0.0;
  if (low > 0.0) return standard_below(-low) - standard_below(-high);
  if (high < 0.0) return standard_below(high) - standard_below(low);
  return 1.0 - standard_below(low) - standard_below(-high);
}

double standard_point(double p) noexcept {
  constexpr double infinite = std::numeric_limits<double>::infinity();
  if (p <= 0.0) return -infinite;
  if (p >= 1.0) return infinite;
  if (p > 0.5) return -standard_point(1.0 - p);
  double z = lower_point_roughly(p);
  for (int step = 0; step < 3; ++step) {  // Halley's steps: the error is cubed each time
    const double miss = (standard_below(z) - p) / standard_density(z);
    z -= miss / (1.0 + 0.5 * z * miss);
  }
  return z;
}

}  // namespace doewright
