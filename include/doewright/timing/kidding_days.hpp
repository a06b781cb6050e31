// SPDX-License-Identifier: MIT
#pragma once
/// On which days how many does are expected to kid.
///
/// Expected numbers, no dates: a doe that settles with chance .9 counts .9, spread over the days on
/// which she may kid. Everything is of the figures that went in and promises nothing.
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>
#include <doewright/timing/gestation.hpp>
#include <doewright/timing/stay_terms.hpp>

namespace doewright {

/// Expected kiddings, a number a day.
struct KiddingDays {
  Date first;                    ///< Day of expected[0]; of an empty list it means nothing.
  std::vector<double> expected;  ///< [k]: does expected to kid on day first + k.

  DOEWRIGHT_EXPORT double total() const;
  /// From `from` to `to`, both days counted; 0 if `to` is before `from`.
  DOEWRIGHT_EXPORT double between(Date from, Date to) const;
};

/// The sum over does of conception on a day times gestation_chance() of the days since.
/// \param does  A doe each; its weights are chances, so that they sum to the chance that she kids.
/// Accuracy 1e-9 of a doe: gestations beyond eight standard deviations are left out.
/// Cost days of conception x length of the tails, a doe.
DOEWRIGHT_EXPORT KiddingDays kidding_days(std::span<const DueFrom> does);

/// Days on which a doe put to a sire on offer may conceive, from `begin` on if his days have begun.
///
/// A stay: conception_days_varying() over what is left of it; so the sum is not settle()'s, which
/// is of cycles of 21 days exactly (they differ by less than .01 where a stay is not cut short).
/// Visit and semen: the heats that settle() counts, each on any of its 21 days alike, the first of
/// them from his first day on; the sum is settle()'s. No weights: no day is left. \throws
/// UsageError as settle().
DOEWRIGHT_EXPORT DueFrom conceptions_of_offer(const Season& season, const StayTerms& terms,
                                              Date begin, const GestationClass& gestation);

/// The same of a doe that is already served (calendar() says what counts): by her last service or
/// by the stays since, as likely as she is in kid by what has been seen up to as-of.
/// Nothing: no service in the last 200 days, or she has kidded since.
/// \param pen_until  Where all that counts is one pen with one buck that is still running: the day
///                   to which it goes on. Empty: nothing is said of days to come.
DOEWRIGHT_EXPORT std::optional<DueFrom> conceptions_of_served(
    const Herd& herd, const Offspring& offspring, Animal doe, const GestationClass& gestation,
    std::optional<Date> pen_until = std::nullopt);

/// The Monday on or before a day. Weeks run from Monday to Sunday (ISO 8601).
DOEWRIGHT_EXPORT Date monday_of(Date day) noexcept;

}  // namespace doewright
