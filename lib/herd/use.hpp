// SPDX-License-Identifier: MIT
#pragma once
/// What an animal is used as, whatever its sex column says.
#include <cstdint>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

inline constexpr std::uint8_t sire_use = 1;
inline constexpr std::uint8_t dam_use = 2;

/// Who has kids: a certain or possible sire or a dam of the pedigree, the doe and the sire of a
/// kidding. One byte an animal.
std::vector<std::uint8_t> parenthood(const Herd& herd);

/// Adds who stands in the tables as a sire or a doe: served, checked, put forward, on offer.
void add_table_uses(const Herd& herd, std::vector<std::uint8_t>& use);

/// Bucks of which semen is offered or was used: death or leaving does not stop them. Ascending.
std::vector<Animal> semen_bucks(const Herd& herd);

}  // namespace doewright
