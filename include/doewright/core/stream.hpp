// SPDX-License-Identifier: MIT
#pragma once
/// Random numbers that are the same everywhere: no hidden state, no library's distribution.
#include <cstdint>
#include <string_view>

#include <doewright/export.hpp>

namespace doewright {

/// A stream of numbers that depends on (seed, purpose, index) alone: number k of stream j is the same
/// for any thread count, machine and order of asking. Not for secrets.
///
/// Source: the counter is mixed as in SplitMix64 (Steele, Lea and Flood 2014, OOPSLA, fig. 13).
class DOEWRIGHT_EXPORT Stream {
 public:
  /// `purpose` names what is drawn ("genotypes of teats"), `index` which of many (a chain, a world).
  Stream(std::uint64_t seed, std::string_view purpose, std::uint64_t index = 0) noexcept;

  std::uint64_t bits() noexcept;   ///< 64 random bits.
  double uniform() noexcept;       ///< Evenly in (0, 1): 53 bits, never 0 or 1.
  double normal() noexcept;        ///< Standard normal, by the inverse of its distribution function.
  std::uint64_t below(std::uint64_t count) noexcept;  ///< Evenly in 0 .. count - 1. \pre count > 0.

 private:
  std::uint64_t state_;
};

}  // namespace doewright
