// SPDX-License-Identifier: MIT
#pragma once

namespace doewright {

/// P(low < z < high), z standard normal, without cancellation where both borders lie in one tail.
/// Infinite borders are allowed; 0 if high <= low.
double normal_between(double low, double high) noexcept;

}  // namespace doewright
