// SPDX-License-Identifier: MIT
#include "threshold_normal.hpp"

#include <doewright/core/normal.hpp>

namespace doewright {

double normal_between(double low, double high) noexcept {
  if (!(low < high)) return 0.0;
  if (low > 0.0) return normal_above(low) - normal_above(high);
  if (high < 0.0) return normal_below(high) - normal_below(low);
  return 1.0 - normal_below(low) - normal_above(high);
}

}  // namespace doewright
