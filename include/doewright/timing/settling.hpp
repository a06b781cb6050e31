// SPDX-License-Identifier: MIT
#pragma once
/// The chance that a doe settles (conceives and keeps it), day by day and by sire.
///
/// Heats come every 21 days exactly, the first on any of 21 days with the same chance; a heat on a
/// day when a buck is with her is served. The normal cycle (lengths that vary) is heats.hpp. All
/// chances are numbers 0..1, never percent. Nothing here is genetics, and nothing is money.
#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/season.hpp>

namespace doewright {

/// Days of one heat to the next where every cycle is alike.
inline constexpr int days_of_cycle = 21;

/// A buck as far as settling goes.
struct BuckOdds {
  double conception = 0.0;  ///< Chance per heat that she conceives, does that never settle counted
                            ///< in; of a buck that is not infertile.
  double infertile = 0.0;   ///< Chance that he settles no doe at all this season.
};

/// A doe is with a buck, or served by him, from one day to another.
struct Exposure {
  std::size_t buck = 0;  ///< Index into the list of bucks given beside.
  Date from, to;         ///< Both days count; one day: from == to.
};

/// What holds for every doe: which share of them cycles, and which share never settles.
struct DoeOdds {
  double never = 0.0;                   ///< b: share that never settles, whoever serves them.
  std::array<double, 12> cycling = {};  ///< Share that has heats, January first, her hemisphere.
};

/// Season's figures, the months turned by six where it is the south.
DOEWRIGHT_EXPORT DoeOdds doe_odds(const Season& season);

/// Does that cycle in every month, and none that never settles: for checks and examples.
DOEWRIGHT_EXPORT DoeOdds all_cycling() noexcept;

/// Share of the does that have heats in the month of this day.
DOEWRIGHT_EXPORT double cycling_on(const DoeOdds& does, Date day) noexcept;

/// The answer of conception_days(): one row a buck, one number a day.
struct ConceptionDays {
  Date first;                                ///< Day of the first number of every row.
  std::vector<std::vector<double>> by_buck;  ///< [buck][day - first]: conceives that day to him.

  DOEWRIGHT_EXPORT double to_buck(std::size_t buck) const;  ///< Sum of his row.
  DOEWRIGHT_EXPORT double total() const;                    ///< She settles, to whomever.
};

/// The chance that a doe conceives, for each day and each buck, after any sequence of exposures.
///
/// A doe that cycles in a month also cycles in every month with a larger share. Of bucks that are
/// with her on the same day each has his chance divided by their number (two: half each), the
/// infertile one included: he serves and takes the heat. Exposures of one buck may overlap; he
/// counts once a day. Infertile bucks are averaged over all states of the bucks she meets
/// (independent), so a row is not (1 - infertile) times a row worked out alone where two share her
/// heats. Does that never settle: conception / (1 - never), at most 1, for the others, and the
/// result times (1 - never).
///
/// \return  Rows over first..last exposed day, zeros where nobody is with her; no exposures: rows
///          of no days. Each number and their sum are in [0, 1].
/// \throws  UsageError: a buck's index out of range, to before from, over 20,000 days from first
///          to last, a chance outside of 0..1. LimitError: over 16 bucks whose fertility is not
///          certain (neither 0 nor 1).
/// Accuracy within 1e-12 of the enumeration of all first heats, classes of does, bucks' states and
///          conceptions (tests/timing/test_settling.cpp).
/// Cost     days x shares of months x 2^(bucks of uncertain fertility).
/// Source   textbook renewal with a fixed period; .9067 at 35 days and conception .8.
DOEWRIGHT_EXPORT ConceptionDays conception_days(const DoeOdds& does,
                                                std::span<const BuckOdds> bucks,
                                                std::span<const Exposure> exposures);

/// The chance that none of his does settles: f + (1 - f) product of (1 - P / (1 - f)), where each P
/// is a doe's chance to settle to him with f in it already. 1 for no does.
/// \pre 0 <= infertile <= 1, each P in [0, 1 - infertile]; a P above it by rounding counts as that.
DOEWRIGHT_EXPORT double all_open_probability(double infertile, std::span<const double> settle);

}  // namespace doewright
