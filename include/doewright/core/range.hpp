// SPDX-License-Identifier: MIT
#pragma once

namespace doewright {

/// A value and its 90 % interval: 5 % of the probability lies below `low`, 5 % above `high`.
struct Range {
  double value = 0.0;
  double low = 0.0;
  double high = 0.0;
};

}  // namespace doewright
