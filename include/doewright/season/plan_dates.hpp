// SPDX-License-Identifier: MIT
#pragma once
/// The days of a plan: what is to be watched of each doe, and how many kid in which week.
///
///     const PlanDates dates = plan_dates(herd, table, make_plan(herd, table));
///
/// Worked out after the plan; moves nothing in it.
#include <cstddef>
#include <optional>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/season/plan.hpp>
#include <doewright/timing/calendar.hpp>
#include <doewright/timing/gestation.hpp>

namespace doewright {

/// A doe that the plan puts to a sire, or that was served this season whatever the plan says.
struct PlannedDoeDates {
  std::size_t doe = 0;              ///< Position in the table.
  std::optional<std::size_t> sire;  ///< The plan's sire for her; empty: she is left open.
  bool served = false;  ///< Counted from services in the book; else from the days of the sire.
  double kids = 0.0;    ///< Chance that she kids of that, 0..1.
  std::optional<DueWindow> due;      ///< Given that she kids; empty if she cannot.
  std::vector<CalendarEvent> heats;  ///< calendar()'s heats and returns of hers still to come.
};

/// A week from Monday to Sunday.
struct KiddingWeek {
  Date monday;
  double expected = 0.0;  ///< Does expected to kid in it.
};

struct PlanDates {
  std::vector<PlannedDoeDates> does;  ///< In the order of the table.
  /// Without a gap from the first week with a millionth of a doe or more to the last.
  std::vector<KiddingWeek> weeks;
  double expected = 0.0;  ///< Does expected to kid, in all.
  /// Of them between season.kid_from and kid_to; empty where either is not set.
  std::optional<double> in_window;
  /// Served on these days each doe of the plan that is not served yet kids within that window,
  /// whatever her class of gestation (calendar()'s days for service); low <= high. Empty: no
  /// window, no such doe, or no such day.
  std::optional<Date> service_from, service_to;
};

/// A doe already served counts from that service alone (conceptions_of_served()): if she comes
/// back, what follows is not among the kiddings; a pen with the plan's own sire that is still
/// running goes on to his last day. Every other doe of the plan counts by conceptions_of_offer() of
/// her sire from as-of on. Cost: conception_days_varying() a sire of the plan; some thousand steps
/// a doe.
DOEWRIGHT_EXPORT PlanDates plan_dates(const Herd& herd, const PairingTable& table,
                                      const SeasonPlan& plan);

}  // namespace doewright
