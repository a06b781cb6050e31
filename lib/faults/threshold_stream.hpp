// SPDX-License-Identifier: MIT
#pragma once
/// Random numbers by counting: number (world, index) of a seed is the same wherever and in whatever
/// order it is asked for.
#include <cstdint>

#include "threshold_normal.hpp"

namespace doewright {

class LiabilityStream {
 public:
  explicit LiabilityStream(std::uint64_t seed) noexcept : seed_(mixed(seed)) {}

  /// Uniform in (0, 1): 53 bits, never an end.
  double uniform(std::uint64_t world, std::uint64_t index) const noexcept {
    const std::uint64_t bits = mixed(mixed(seed_ ^ (world + 1)) ^ (index + 1)) >> 11;
    return (static_cast<double>(bits) + 0.5) * 0x1.0p-53;
  }

  double standard_normal(std::uint64_t world, std::uint64_t index) const noexcept {
    return standard_point(uniform(world, index));
  }

 private:
  /// Steele, Lea and Flood (2014), Fast splittable pseudorandom number generators: the finaliser.
  static constexpr std::uint64_t mixed(std::uint64_t x) noexcept {
    x += 0x9E3779B97F4A7C15u;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
    return x ^ (x >> 31);
  }

  std::uint64_t seed_;
};

}  // namespace doewright
