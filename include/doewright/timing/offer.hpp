// SPDX-License-Identifier: MIT
#pragma once
/// What follows from the terms on which a sire is offered: days, age, how many does.
#include <cstdint>
#include <optional>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

/// First day with the does: `from` (its earliest day), else kid_from less the mean gestation of
/// class `unknown` rounded down, else as-of.
DOEWRIGHT_EXPORT Date first_day_of_stay(const Herd& herd, const SireOffer& offer);

/// The day on which he left the herd by as-of: sold, given back, dead (the latest it can have been).
/// Empty: he has not, or the day is not recorded.
DOEWRIGHT_EXPORT std::optional<Date> day_he_left(const Herd& herd, Animal sire);

/// Last day with the does, itself counted: `to` (its latest day), else kid_to less the same mean
/// gestation, else 34 days after the first day. It can lie before the first day: then no day. Who leaves
/// within these days (semen aside) has his last on the day he left.
DOEWRIGHT_EXPORT Date last_day_of_stay(const Herd& herd, const SireOffer& offer);

/// Class of a sire by his age on the first day, a partial birth date counting at its youngest:
/// buck kid under 12 months, yearling under 24 or not recorded, else grown.
enum class SireAge : std::uint8_t { buck_kid, yearling, grown };
DOEWRIGHT_EXPORT SireAge sire_age(const Herd& herd, const SireOffer& offer);

/// Youngest possible age in whole calendar months on the first day; empty if the birth is not
/// recorded.
DOEWRIGHT_EXPORT std::optional<int> sire_months(const Herd& herd, const SireOffer& offer);

/// Most does: as given; semen: the straws; else 8, 20, 30 by class. Empty: no limit (semen without
/// a count of straws). Source of 8, 20, 30: assumed (published 8-10, 20-25, 30-40).
DOEWRIGHT_EXPORT std::optional<std::uint32_t> most_does(const Herd& herd, const SireOffer& offer);

/// Proven: a kid in the book (his as sire, as one of its possible sires, or a kidding with him as
/// sire), or settled >= 1 elsewhere, on whatever terms he or his semen is listed.
DOEWRIGHT_EXPORT bool is_proven(const Herd& herd, const Offspring& offspring,
                                const SireOffer& offer);

}  // namespace doewright
