// SPDX-License-Identifier: MIT
#pragma once
/// Two bucks that follow each other with few days between: whose kids a doe has who was with both.
#include <cstddef>
#include <span>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/timing/gestation.hpp>
#include <doewright/timing/settling.hpp>

namespace doewright {

/// Days between two bucks under which it is said, and those that would do. Source: two pens in turn,
/// gestations of sd 3 days: of a gap of 10 days under 1 kidding in 100 stays unclear, of 14 under 2
/// in 1000 (tests/season/test_buck_gaps.cpp works them out).
inline constexpr int least_gap_days = 10;
inline constexpr int enough_gap_days = 14;

/// One buck after the other.
struct BuckGap {
  Animal before, after;
  Date before_to, after_from;  ///< The last day of the one, the first of the other.
  int days = 0;  ///< Days between these two; 0: the next day; below 0: so many days with both.
  /// Of the kiddings of a doe who was with both on all their days: the share whose day leaves either
  /// possible, that is gives nobody .95 or more. 0..1. See unclear_kiddings().
  double unclear = 0.0;
  std::vector<Animal> does;  ///< With both by now (services.csv). Empty: the stays of a plan's sires.
};

/// The share of kiddings whose day does not tell the sire: over all days on which a doe may kid who
/// was with each buck through his days, those on which none of them has .95 of the weight (that of
/// whose_kid(), between these bucks: a service nobody saw is left out), each by its chance. Given
/// that she kids: does that do not cycle are left out. Nothing seen of heats. 0 if nobody can settle
/// her. Cost: days of the stays x days of kidding.
DOEWRIGHT_EXPORT double unclear_kiddings(std::span<const BuckOdds> bucks, double never,
                                         std::span<const Exposure> stays,
                                         const GestationClass& gestation);

/// Gaps under least_gap_days: of pens of one doe in services.csv that have begun, up to 100 days before
/// the service she has this season (served_this_season(); does with the same gap stand together; a
/// pen without a last day runs until as-of or until the buck left); then of the stays of `used` sires
/// that need a pen and follow each other without overlap, the later one not over, unless named already. Heats that were
/// seen can settle what the days alone do not: `whose` takes them in. By the days of the earlier
/// buck. Gestation: the class with the largest spread among the does concerned.
/// \param used  Positions in table.sires.
DOEWRIGHT_EXPORT std::vector<BuckGap> buck_gaps(const Herd& herd, const PairingTable& table,
                                                std::span<const std::size_t> used);

}  // namespace doewright
