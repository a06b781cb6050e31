// SPDX-License-Identifier: MIT
#pragma once
/// An animal as the engine rooms know it: a place in the pedigree, nothing more.
#include <compare>
#include <cstdint>

namespace doewright {

/// The place of an animal in its Pedigree: 0 is the first. Parents stand before their offspring.
/// It is not an ear tag and not a line of a file (`Ids`, `Row`), and it means nothing in another
/// pedigree. "Not known" is `std::optional<Animal>`, never a reserved position.
struct Animal {
  std::uint32_t position = 0;  ///< 0-based.
  friend constexpr auto operator<=>(Animal, Animal) = default;
};

/// A sire and a doe, named: nobody swaps two positions.
struct Pairing {
  Animal sire;
  Animal doe;
  friend constexpr auto operator<=>(Pairing, Pairing) = default;
};

}  // namespace doewright
