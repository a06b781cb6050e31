// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "door_days.hpp"
#include "plan_page.hpp"

namespace doewright {

namespace {

constexpr std::size_t empty_most = 4;     ///< More weeks with nothing in them stand together.
constexpr double least_shown = 0.05;      ///< Prints as 0.1; less is left off at both ends.
constexpr std::size_t columns_most = 30;  ///< More weeks: a row each, as on a phone.

/// The weeks without the ends that would print as nothing.
std::vector<KiddingWeek> shown_weeks(const DoorPlan& p) {
  const auto worth = [](const KiddingWeek& week) { return week.expected >= least_shown; };
  const auto& weeks = p.dates.weeks;
  const auto first = std::find_if(weeks.begin(), weeks.end(), worth);
  const auto last = std::find_if(weeks.rbegin(), weeks.rend(), worth).base();
  return first < last ? std::vector<KiddingWeek>(first, last) : std::vector<KiddingWeek>();
}

/// Weeks together that print as nothing, from this one on.
std::size_t empty_run(const std::vector<KiddingWeek>& weeks, std::size_t from) {
  std::size_t to = from;
  while (to < weeks.size() && weeks[to].expected < least_shown) ++to;
  return to - from;
}

/// No day of the week is among those wanted.
bool outside_wanted(const DoorPlan& p, const KiddingWeek& week) {
  const Season& season = p.herd.season;
  return (season.kid_from && week.monday + 6 < *season.kid_from) ||
         (season.kid_to && week.monday > *season.kid_to);
}

std::string expected_words(double does) {
  if (does < least_shown) return does < 1e-6 ? "0" : "<0.1";
  return fixed(does, 1);
}

}  // namespace

void door_weeks(HtmlWriter& html, const DoorPlan& p) {
  const std::vector<KiddingWeek> weeks = shown_weeks(p);
  if (weeks.empty()) return;
  double most = 0.0;
  std::size_t columns = 0;
  bool outside = false;
  for (const KiddingWeek& week : weeks) {
    if (week.expected >= least_shown) ++columns;
    most = std::max(most, week.expected);
    outside = outside || outside_wanted(p, week);
  }
  const auto section = html.in("section");
  html.element("h2", "Kiddings expected, week by week");
  {
    const HtmlConst look = columns > columns_most ? HtmlConst("weeks") : HtmlConst("weeks upright");
    const auto table = html.in("table", {{"class", look}, {"role", "table"}});
    html.element("caption", {{"class", "unseen"}},
                 "Does expected to kid in each week, which begins on the Monday named");
    {
      const auto head = html.in("thead", {{"class", "unseen"}, {"role", "rowgroup"}});
      const auto row = html.in("tr", {{"role", "row"}});
      html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, "week from Monday");
      html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, "does expected to kid");
    }
    const auto body = html.in("tbody", {{"role", "rowgroup"}});
    int year = 0;
    for (std::size_t w = 0; w < weeks.size(); ++w) {
      const KiddingWeek& week = weeks[w];
      const std::size_t empty = empty_run(weeks, w);
      const auto row = html.in("tr", {{"role", "row"}});
      if (empty > empty_most) {
        html.element("th", {{"scope", "row"}, {"role", "rowheader"}},
                     fmt::format("{} weeks", empty));
        const auto cell = html.in("td", {{"role", "cell"}});
        html.element("span", {{"class", "count"}}, "none");
        html.element("span", "");
        w += empty - 1;
        continue;
      }
      {
        const CalendarDay day = calendar_day(week.monday);
        const auto head = html.in("th", {{"scope", "row"}, {"role", "rowheader"}});
        html.element("span", short_day(week.monday));
        if (day.year != year)
          html.element("span", {{"class", "year"}}, " " + std::to_string(day.year));
        year = day.year;
      }
      const auto cell = html.in("td", {{"role", "cell"}});
      const auto share =
          static_cast<std::size_t>(std::lround(100.0 * std::min(1.0, week.expected / most)));
      const bool off = outside_wanted(p, week);
      html.element("span", {{"class", "count"}}, expected_words(week.expected));
      {
        const auto size = html.in("span", {{"class", "h", share, ""}});
        html.element("span", {{"class", off ? HtmlConst("pile hatched") : HtmlConst("pile")}}, "");
      }
      if (off) html.element("span", {{"class", "unseen"}}, " not on the days wanted");
    }
  }
  std::string said = fmt::format(
      "Each doe by her chance to kid, spread over her days: {} of {} in all. A doe already served "
      "counts for that service alone.",
      fixed(p.dates.expected, 1), count_words(p.dates.does.size()));
  if (outside) said += " Striped: not on the days wanted.";
  html.element("p", {{"class", "small t-soft"}}, said);
}

}  // namespace doewright
