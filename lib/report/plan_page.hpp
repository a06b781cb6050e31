// SPDX-License-Identifier: MIT
#pragma once
/// The page of `plan`: the season on one sheet for the barn door.
#include <cstddef>
#include <span>
#include <vector>

#include "html_writer.hpp"
#include "plan_phrases.hpp"

namespace doewright {

void plan_as_page(Sink& out, const Preamble& preamble, const PlanView& plan, const PlanDates& dates,
                  const EarlierPlan* since, std::span<const WorthOfKnowing> worth);

/// What all parts of one page share.
struct DoorPlan : PlanView {
  const PlanDates& dates;
  std::vector<std::size_t> weave;  ///< By sire on offer; threads_most or more: none.
};

/// Days that the strip shows: whole months.
struct StripSpan {
  Date from, to;  ///< First day of the first month, first day after the last.
  double share(Date day) const {
    return static_cast<double>(day - from) / static_cast<double>(to - from);
  }
};
StripSpan strip_span(const DoorPlan& p);

/// Who goes to whom, with what is to be minded of each.
void door_pairs(HtmlWriter& html, const DoorPlan& p);
/// Does left open, runner-up plans, and what each limit costs.
void door_rest(HtmlWriter& html, const DoorPlan& p);

/// Stays, isolation, heats and due windows on one axis; the same days in words beside.
void door_strip(HtmlWriter& html, const DoorPlan& p, const StripSpan& span);
/// Kiddings expected by week.
void door_weeks(HtmlWriter& html, const DoorPlan& p);

void add_door_sheet(HtmlSheet& sheet, const StripSpan& span);
/// First days of the months that the axis names.
std::vector<Date> strip_months(const StripSpan& span);

}  // namespace doewright
