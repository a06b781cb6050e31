// SPDX-License-Identifier: MIT
// A row a sire and a row for each of his does that has days of her own; does with the same days
// stand together. Lanes are drawn without words and stretch with the page; the days stand beside
// them.
#include <algorithm>
#include <tuple>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "cells_forms.hpp"
#include "door_days.hpp"
#include "pedigree_forms.hpp"
#include "plan_page.hpp"
#include "plan_words.hpp"

namespace doewright {

namespace {

constexpr double lane_wide = 1000.0, lane_high = 20.0;
constexpr std::size_t months_most = 14;
constexpr std::size_t rows_together = 24;  // on one sheet of paper

Date month_start(Date day) {
  const CalendarDay parts = calendar_day(day);
  return *date_of(parts.year, parts.month, 1);
}

/// "5 Oct to 30 Nov": the axis has the year.
std::string days_between(Date from, Date to) {
  return fmt::format("{} to {}", short_day(from), short_day(to));
}

bool stays(const DoorPlan& p, std::size_t sire) {
  const SireAccount& account = p.table.sires[sire];
  return account.to >= account.from;
}

/// The day from which a hired buck is to be apart, if that can still be.
std::optional<Date> apart_from(const DoorPlan& p, std::size_t sire) {
  const SireAccount& account = p.table.sires[sire];
  const auto days = static_cast<std::int32_t>(p.herd.season.papers.isolation_days);
  if (account.offer.terms != Terms::hired || days == 0) return std::nullopt;
  if (account.from - days < p.herd.as_of) return std::nullopt;
  return account.from - days;
}

/// One lane of the strip.
class Lane {
 public:
  Lane(HtmlWriter& html, const StripSpan& span) : html_(html), span_(span) {}

  /// From the beginning of one day to the end of another.
  void block(Date from, Date to, double y, double high, HtmlConst look) {
    html_.leaf("rect", {{"x", x(from)},
                        {"y", y},
                        {"width", std::max(2.5, x(to + 1) - x(from))},
                        {"height", high},
                        {"class", look}});
  }
  void woven(Date from, Date to, double y, double high, std::size_t weave) {
    if (weave >= threads_most) return block(from, to, y, high, "g-soft");
    html_.leaf("rect", {{"x", x(from)},
                        {"y", y},
                        {"width", x(to + 1) - x(from)},
                        {"height", high},
                        {"fill", "url(#weave", weave, ")"}});
  }
  void tick(Date day, HtmlConst look) {
    html_.leaf("rect",
               {{"x", x(day)}, {"y", 1.0}, {"width", 4.0}, {"height", 18.0}, {"class", look}});
  }
  void months() {
    SvgPath lines;
    for (const Date month : strip_months(span_)) lines.move(x(month), 0).down(lane_high);
    html_.leaf("path", {{"d", lines}, {"class", "s-hair"}});
  }

 private:
  double x(Date day) const { return lane_wide * std::clamp(span_.share(day), 0.0, 1.0); }
  HtmlWriter& html_;
  const StripSpan& span_;
};

/// A row: who, the lane, the days in words. `draw` fills the lane.
template <class Draw>
void strip_row(HtmlWriter& html, const StripSpan& span, HtmlConst look, std::size_t weave,
               std::string_view who, std::string_view days, const Draw& draw) {
  const auto row = html.in("tr", {{"role", "row"}, {"class", look}});
  {
    const auto head = html.in("th", {{"scope", "row"}, {"role", "rowheader"}});
    if (weave <= threads_most) draw_weave(html, weave);
    html.text(who);
  }
  {
    const auto cell = html.in("td", {{"role", "cell"}, {"class", "when"}});
    const auto svg = html.in("svg", {{"viewBox", {0, 0, lane_wide, lane_high}},
                                     {"preserveAspectRatio", "none"},
                                     {"class", "lane"},
                                     {"aria-hidden", "true"}});
    Lane lane(html, span);
    lane.months();
    draw(lane);
  }
  html.element("td", {{"role", "cell"}}, days);
}

constexpr std::size_t no_swatch = threads_most + 1;

/// Does whose days are all the same, in the order of the first of them.
struct SameDays {
  std::vector<const PlannedDoeDates*> does;
};

bool same_days(const PlannedDoeDates& a, const PlannedDoeDates& b) {
  const auto heat = [](const CalendarEvent& e) { return std::tie(e.low, e.high, e.what, e.since); };
  const auto due = [](const DueWindow& d) { return std::tie(d.low, d.middle, d.high); };
  return a.served == b.served && a.due.has_value() == b.due.has_value() &&
         (!a.due || due(*a.due) == due(*b.due)) &&
         std::equal(
             a.heats.begin(), a.heats.end(), b.heats.begin(), b.heats.end(),
             [&](const CalendarEvent& x, const CalendarEvent& y) { return heat(x) == heat(y); });
}

std::vector<SameDays> grouped(const DoorPlan& p, std::optional<std::size_t> sire) {
  std::vector<SameDays> groups;
  for (const PlannedDoeDates& doe : p.dates.does) {
    if (doe.sire != sire) continue;
    const auto same = std::find_if(groups.begin(), groups.end(), [&](const SameDays& group) {
      return same_days(*group.does.front(), doe);
    });
    if (same == groups.end()) {
      groups.push_back({{&doe}});
    } else {
      same->does.push_back(&doe);
    }
  }
  return groups;
}

std::string names_of(const DoorPlan& p, const SameDays& group) {
  constexpr std::size_t named_most = 12;
  std::vector<std::string> names;
  for (const PlannedDoeDates* doe : group.does) names.push_back(p.doe(doe->doe));
  if (names.size() > named_most) {
    const std::size_t rest = names.size() - named_most + 1;
    names.resize(named_most - 1);
    names.push_back(fmt::format("{} more", rest));
  }
  return listed_words(names);
}

/// What the page says of her elsewhere is as of today; a pen still running makes it more.
std::string kids_words(const DoorPlan& p, const PlannedDoeDates& doe) {
  constexpr double no_difference = 0.005;
  for (const PlannedPair& pair : p.plan.pairings) {
    if (pair.doe != doe.doe || !pair.in_kid) continue;
    const double today = pair.in_kid->probability;
    if (doe.kids - today < no_difference) break;
    return fmt::format("in kid {} in 100 as of today, {} by the end of his stay", almost_hundred(today),
                       almost_hundred(doe.kids));
  }
  return fmt::format("in kid {} in 100 as of today", almost_hundred(doe.kids));
}

std::string days_in_words(const DoorPlan& p, const PlannedDoeDates& doe) {
  std::string text;
  const auto add = [&](std::string_view more) {
    text += (text.empty() ? "" : "; ") + std::string(more);
  };
  if (doe.served && !doe.heats.empty()) {
    std::string watch = "watch for a return ";
    bool any = false;
    for (const CalendarEvent& event : doe.heats) {
      if (event.what != CalendarWhat::return_heat) continue;
      watch += fmt::format("{}{} to {}", any ? " and " : "", short_day(event.low),
                           short_day(event.high));
      any = true;
    }
    if (any) add(watch);
  }
  for (const CalendarEvent& event : doe.heats) {
    if (event.what != CalendarWhat::heat) continue;
    add(fmt::format("heat {}", days_between(event.low, event.high)));
    break;
  }
  if (doe.due) add("due " + days_between(doe.due->low, doe.due->high));
  if (!doe.due) add("no day left on which she could settle");
  if (doe.served) add(kids_words(p, doe));
  return text;
}

void doe_rows(HtmlWriter& html, const DoorPlan& p, const StripSpan& span,
              std::optional<std::size_t> sire) {
  for (const SameDays& group : grouped(p, sire)) {
    const PlannedDoeDates& first = *group.does.front();
    strip_row(html, span, "of-doe", no_swatch, names_of(p, group), days_in_words(p, first),
              [&](Lane& lane) {
                for (const CalendarEvent& event : first.heats) {
                  lane.block(event.low, event.high, 5.0, 10.0, "g-paper s-ink heat");
                }
                if (!first.due) return;
                lane.woven(first.due->low, first.due->high, 5.0, 10.0,
                           sire ? p.weave[*sire] : threads_most);
                lane.tick(first.due->middle, "g-ink");
              });
  }
}

void sire_row(HtmlWriter& html, const DoorPlan& p, const StripSpan& span, std::size_t s) {
  const SireAccount& sire = p.table.sires[s];
  std::string days = "no day";
  if (stays(p, s)) {
    const bool pen = p.plan.question.problem.sires[s].needs_pen;
    days = fmt::format("{} {}", pen ? "with the does" : "can be had",
                       days_between(sire.from, sire.to));
  }
  const std::optional<Date> apart = apart_from(p, s);
  if (apart) days = fmt::format("apart from {}; {}", short_day(*apart), days);
  strip_row(html, span, "of-sire", p.weave[s], p.sire(s), days, [&](Lane& lane) {
    if (apart) lane.block(*apart, sire.from - 1, 3.0, 14.0, "g-wool-dark s-ink apart");
    if (stays(p, s)) lane.woven(sire.from, sire.to, 3.0, 14.0, p.weave[s]);
  });
}

void wanted_row(HtmlWriter& html, const DoorPlan& p, const StripSpan& span) {
  const Season& season = p.herd.season;
  if (!season.kid_from || !season.kid_to || *season.kid_to < *season.kid_from) return;
  std::string days = "kidding " + days_between(*season.kid_from, *season.kid_to);
  const bool service = p.dates.service_from && p.dates.service_to;
  if (service) {
    days = fmt::format("service {}; {}", days_between(*p.dates.service_from, *p.dates.service_to),
                       days);
  }
  strip_row(html, span, "of-wish", no_swatch, "days wanted", days, [&](Lane& lane) {
    if (service) {
      lane.block(*p.dates.service_from, *p.dates.service_to, 7.0, 6.0, "g-wool-dark s-soft thin");
    }
    lane.block(*season.kid_from, *season.kid_to, 7.0, 6.0, "g-wool-dark s-soft thin");
  });
}

void axis(HtmlWriter& html, const StripSpan& span) {
  const auto line = html.in("div", {{"class", "axis"}, {"aria-hidden", "true"}});
  int year = 0;
  std::size_t k = 0;
  for (const Date month : strip_months(span)) {
    const CalendarDay parts = calendar_day(month);
    const auto name = html.in("span", {{"class", "month m", k++, ""}});
    html.text(short_month(parts.month));
    if (parts.year == year) continue;
    year = parts.year;
    html.leaf("br");
    html.text(std::to_string(year));
  }
}

}  // namespace

StripSpan strip_span(const DoorPlan& p) {
  Date from = p.herd.as_of, to = p.herd.as_of + 30;
  const auto take = [&](Date day) { from = std::min(from, day), to = std::max(to, day); };
  for (const PlannedSire& sire : p.plan.hired) {
    if (!stays(p, sire.sire)) continue;
    take(p.table.sires[sire.sire].from);
    take(p.table.sires[sire.sire].to);
  }
  for (const PlannedDoeDates& doe : p.dates.does) {
    if (doe.due) take(doe.due->low), take(doe.due->high);
  }
  if (p.herd.season.kid_from) take(*p.herd.season.kid_from);
  if (p.herd.season.kid_to) take(*p.herd.season.kid_to);
  return {month_start(from), add_months(month_start(to), 1)};
}

std::vector<Date> strip_months(const StripSpan& span) {
  const int months = months_between(span.from, span.to);
  const int step = 1 + (months - 1) / static_cast<int>(months_most);
  std::vector<Date> result;
  for (int k = 0; k < months; k += step) result.push_back(add_months(span.from, k));
  return result;
}

void door_strip(HtmlWriter& html, const DoorPlan& p, const StripSpan& span) {
  if (p.plan.pairings.empty() && p.dates.does.empty()) return;
  std::size_t rows = grouped(p, std::nullopt).size();
  for (const PlannedSire& sire : p.plan.hired) rows += 1 + grouped(p, sire.sire).size();
  const auto section = html.in(
      "section", {{"class", rows > rows_together ? HtmlConst("long") : HtmlConst("whole")}});
  html.element("h2", "The season");
  {
    const auto table = html.in("table", {{"class", "strip"}, {"role", "table"}});
    html.element("caption", {{"class", "unseen"}}, "The days of each sire and of his does");
    {
      const auto head = html.in("thead", {{"role", "rowgroup"}});
      const auto row = html.in("tr", {{"role", "row"}});
      html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, "who");
      {
        const auto cell =
            html.in("th", {{"scope", "col"}, {"role", "columnheader"}, {"class", "when"}});
        html.element("span", {{"class", "unseen"}}, "drawn");
        axis(html, span);
      }
      html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, "days");
    }
    const auto body = html.in("tbody", {{"role", "rowgroup"}});
    wanted_row(html, p, span);
    for (const PlannedSire& sire : p.plan.hired) {
      sire_row(html, p, span, sire.sire);
      doe_rows(html, p, span, sire.sire);
    }
    if (!grouped(p, std::nullopt).empty()) {
      strip_row(html, span, "of-sire", no_swatch, "served, not in the plan", "", [](Lane&) {});
      doe_rows(html, p, span, std::nullopt);
    }
  }
  const auto list = html.in("ul", {{"class", "key"}});
  const auto key = [&](HtmlConst look, std::string_view said) {
    const auto item = html.in("li");
    html.element("span", {{"class", look}}, " ");
    html.element("span", said);
  };
  const bool hired = std::any_of(p.plan.hired.begin(), p.plan.hired.end(), [&](const auto& sire) {
    return apart_from(p, sire.sire).has_value();
  });
  if (hired) key("box g-wool-dark edged", "hired, apart before he meets the does");
  key("box open", "heat, or return to watch for");
  html.element("li",
               "woven: his days with the does; in her row the days on which she is due, one doe in "
               "ten before or after, the line in the middle");
}

}  // namespace doewright
