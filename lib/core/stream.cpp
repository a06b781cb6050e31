// SPDX-License-Identifier: MIT
#include <doewright/core/stream.hpp>

#include <doewright/core/normal.hpp>

namespace doewright {

namespace {

constexpr std::uint64_t golden = 0x9E3779B97F4A7C15u;

std::uint64_t mixed(std::uint64_t z) noexcept {
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
  return z ^ (z >> 31);
}

}  // namespace

Stream::Stream(std::uint64_t seed, std::string_view purpose, std::uint64_t index) noexcept
    : state_(mixed(seed + golden)) {
  for (const char letter : purpose) {
    state_ = mixed(state_ ^ static_cast<unsigned char>(letter)) + golden;
  }
  state_ = mixed(state_ ^ mixed(index + golden));
}

std::uint64_t Stream::bits() noexcept {
  state_ += golden;
  return mixed(state_);
}

double Stream::uniform() noexcept {
  return (static_cast<double>(bits() >> 11) + 0.5) * 0x1.0p-53;
}

double Stream::normal() noexcept { return normal_quantile(uniform()); }

std::uint64_t Stream::below(std::uint64_t count) noexcept {
  // The part of the range that does not divide evenly is drawn again.
  const std::uint64_t uneven = (0 - count) % count;
  std::uint64_t drawn = bits();
  while (drawn < uneven) drawn = bits();
  return drawn % count;
}

}  // namespace doewright
