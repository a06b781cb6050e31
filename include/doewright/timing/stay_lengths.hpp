// SPDX-License-Identifier: MIT
#pragma once
/// How long a buck stays: what each length settles, leaves open and costs.
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

/// One length of stay.
struct StayLength {
  int days = 0;                  ///< First and last day counted.
  Date to;                       ///< Last day with the does.
  double settled = 0.0;          ///< Mean chance to settle of the does put forward, 0..1.
  double open_expected = 0.0;    ///< Does expected to stay open.
  std::optional<Date> last_due;  ///< 95 % point of the kiddings; empty if none can settle.
  double cost = 0.0;             ///< Money: fee, haul, tests, days, risk of loss. Blanks count 0.
  bool offered = false;          ///< The length of the offer itself.
};

/// The longest length that is looked at, unless a longer one is on offer.
inline constexpr int longest_stay = 63;

/// Lengths of 7, 14, 21, 24, 28, 35, 42, 49 and 63 days, the one on offer and those of `also`,
/// shortest first, none twice.
///
/// settled is on cycles that vary (conception_days_varying), with never-settlers, the chance that
/// he is infertile and the shares cycling in it: of his stay alone. A common cause, an infertile
/// buck, hits all does at once: the mean does not show that. Which length pays is not said here:
/// that needs what a litter is worth (season/stay_worth.hpp). Empty for visit and semen, where
/// there is no stay. \pre `also`: 1 or more each.
DOEWRIGHT_EXPORT std::vector<StayLength> stay_lengths(const Herd& herd, const Offspring& offspring,
                                                      const SireOffer& offer,
                                                      std::span<const Animal> does,
                                                      std::span<const int> also = {});

/// StayLength::settled of a stay of 1, 2, ... `days` days from his first day. \pre days >= 1; not
/// for visit and semen.
DOEWRIGHT_EXPORT std::vector<double> settled_by_day(const Herd& herd, const Offspring& offspring,
                                                    const SireOffer& offer, int days);

/// StayLength::cost of so many days with the does. \pre days >= 0.
DOEWRIGHT_EXPORT double stay_cost(const Herd& herd, const SireOffer& offer, int days);

}  // namespace doewright
