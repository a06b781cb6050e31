// SPDX-License-Identifier: MIT
#pragma once
/// Walks through all entries of a table over some variables (the first fastest) and keeps the index of
/// the same assignment in one or two other tables, given their strides (0: the other lacks the variable).
#include <array>
#include <cstddef>
#include <cstdint>

namespace doewright {

class Odometer {
 public:
  static constexpr std::size_t most = 64;  ///< Variables; 2^64 entries are beyond any memory.

  void dimension(std::uint32_t states, std::size_t stride, std::size_t other_stride = 0) {
    at_[dimensions_] = 0;
    states_[dimensions_] = states;
    stride_[dimensions_] = stride;
    other_stride_[dimensions_] = other_stride;
    ++dimensions_;
  }
  /// Calls use(entry, index), or use(entry, index, other index), for each entry in order.
  template <class Use>
  void run(Use use) {
    std::size_t entry = 0;
    std::size_t index = 0;
    std::size_t other = 0;
    const std::uint32_t inner = states_[0];
    const std::size_t inner_stride = stride_[0];
    const std::size_t other_inner_stride = other_stride_[0];
    while (true) {
      for (std::uint32_t k = 0; k < inner; ++k) {
        if constexpr (requires { use(entry, index, other); }) {
          use(entry++, index + k * inner_stride, other + k * other_inner_stride);
        } else {
          use(entry++, index + k * inner_stride);
        }
      }
      std::size_t d = 1;
      for (; d < dimensions_; ++d) {
        index += stride_[d];
        other += other_stride_[d];
        if (++at_[d] < states_[d]) break;
        index -= stride_[d] * states_[d];
        other -= other_stride_[d] * states_[d];
        at_[d] = 0;
      }
      if (d >= dimensions_) return;
    }
  }

 private:
  // Filled as far as there are dimensions: most tables are small, and many are walked through.
  std::array<std::uint32_t, most> states_, at_;
  std::array<std::size_t, most> stride_, other_stride_;
  std::size_t dimensions_ = 0;
};

}  // namespace doewright
