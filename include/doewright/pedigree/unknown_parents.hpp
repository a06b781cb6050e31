// SPDX-License-Identifier: MIT
#pragma once
/// What kinship/ needs to know about blanks, as bare numbers: herd/ fills it, kinship/ never sees herd/.
#include <cstdint>
#include <vector>

#include <doewright/pedigree/ids.hpp>

namespace doewright {

/// Every list is empty (does not apply: the reading uses the scalar, or excludes nobody) or has one
/// entry an animal.
struct UnknownParents {
  /// Reading 4: what the unknown part of a sire counts for (DEFINITIONS: unknown_kinship).
  double unknown_kinship = 0.0625;

  /// Reading 2: inbreeding of the breed, and of each animal's own breeds where they differ. Of a pair:
  /// the mean of its two.
  double breed_inbreeding = 0.02;
  std::vector<double> breed_inbreeding_of;

  /// Birth year (0: not known), and the class of its breed (0: not known). Both given: reading 2 goes by
  /// breed and birth year.
  std::vector<std::int16_t> birth_year;
  std::vector<std::uint16_t> breed_class;

  /// Reading 3, who may stand for an unknown parent. All in day numbers (Date::day).
  /// A candidate Y cannot be a parent of X if parent_from[Y] > conceived_last[X] (under 7 months old at
  /// every possible conception) or parent_to[Y] < conceived_first[X] (left before every possible one).
  std::vector<std::int32_t> conceived_first, conceived_last;  ///< Earliest, latest conception of X.
  std::vector<std::int32_t> parent_from, parent_to;           ///< Of Y; INT32_MIN / INT32_MAX: no bound.
  std::vector<std::uint8_t> may_be;  ///< Bit 0: may be a sire. Bit 1: may be a dam. Empty: both.

  /// Which of the two is the sire when kin are asked for: bit 0 a buck or has sired; bit 1 a doe or has
  /// kidded. Empty: nothing known.
  std::vector<std::uint8_t> used_as;

  /// Ties between assumptions and between ancestors go by id, in byte order. Empty: by position.
  Ids ids;
};

}  // namespace doewright
