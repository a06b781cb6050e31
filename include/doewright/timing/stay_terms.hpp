// SPDX-License-Identifier: MIT
#pragma once
/// One sire on offer for one doe: his days, his chance per heat, and the chance that she settles.
#include <optional>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/timing/settling.hpp>

namespace doewright {

/// A row of sires.csv with its blanks settled.
struct StayTerms {
  Date from, to;         ///< First and last day with the does, both counted. A last day before
                         ///< the first (as written, or a kidding window that has passed): no day.
  int days_on_farm = 0;  ///< to - from + 1, and isolation_days more for a hired buck; never < 0.
                         ///< Visit and semen: his days on offer, no days on this farm's account.
  double conception = 0.0;        ///< Per heat, 0..1, if he is not infertile.
  double infertile = 0.0;         ///< Chance that he is.
  std::optional<unsigned> heats;  ///< Visit 2, semen 1: most heats used for a doe. Empty: a stay.
};

/// Settles the blanks of an offer.
///
/// from, to: first_day_of_stay() and last_day_of_stay(). conception: as the keeper wrote it; else
/// by his age class (proven for grown, yearling, buck kid) or, for semen, the kind (frozen and not
/// recorded: settle.semen; fresh .55; surgical .65, assumed); then, where both served and settled
/// are recorded, (10 c + settled) / (10 + served), at most 1. infertile: by `proven`
/// (is_proven()). Terms not recorded count as a stay.
DOEWRIGHT_EXPORT StayTerms stay_terms(const Herd& herd, const SireOffer& offer, bool proven);

/// The same with his days before `today` taken away: from = today where it was earlier. What was
/// paid for them, days_on_farm, stays. A stay that is over has no day (to < from).
DOEWRIGHT_EXPORT StayTerms days_left(StayTerms terms, Date today) noexcept;

/// What comes of putting one doe to him.
struct Settles {
  double probability = 0.0;      ///< She settles to him (P); his stay alone, as if no other buck.
  double expected_visits = 0.0;  ///< Trips (visit) or inseminations (semen); 0 for a stay.
};

/// P and the expected trips of one doe.
///
/// A stay: the sum of conception_days() over his days. Visit and semen: at most m heats are used,
/// each noticed with chance h = settle.heat_noticed, the share of does cycling is that of the month
/// of `from`:
///   P = (1-b) (1-f) share (1 - (1 - h c')^m),  c' = min(1, c / (1-b))
///   visits = share h sum over j = 0..m-1 of [1 - (1-b)(1-f)(1 - (1 - h c')^j)]
/// \throws UsageError if the season's or the terms' chances are outside of 0..1.
DOEWRIGHT_EXPORT Settles settle(const Season& season, const StayTerms& terms);

}  // namespace doewright
