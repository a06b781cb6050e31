// SPDX-License-Identifier: MIT
#pragma once
/// Who was born with whom (DEFINITIONS 1), and how many they were.
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/herd/herd.hpp>

namespace doewright {

struct BirthLitters {
  std::vector<std::uint32_t> litter_of;  ///< By animal. An animal of which nothing is known: alone.
  std::vector<std::optional<std::uint32_t>> kids;  ///< Of the animal's litter; empty: not known.
  std::uint32_t litters = 0;
};

/// Litter mates: same dam and the same `litter` where given, else births within 2 days, else (birth
/// not known to the day) the same year when the dam has at most one kidding that year. Kids:
/// kids_born of the dam's kidding then, else the litter mates in the book.
BirthLitters birth_litters(const Herd& herd);

}  // namespace doewright
