// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/timing_reports.hpp>
#include <doewright/report/words.hpp>
#include <doewright/timing/offer.hpp>

#include "calendar_words.hpp"
#include "csv.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void as_json(Sink& out, const Preamble& preamble, const Herd& herd,
             std::span<const CalendarEvent> events) {
  JsonWriter json(out);
  begin_document(json, "doewright.calendar/1", preamble);
  json.key("events");
  json.begin_list();
  for (const CalendarEvent& event : events) {
    json.begin_object();
    json.key("doe");
    event.doe ? json.value(herd.ids[*event.doe]) : json.null();
    json.field("date", to_text(event.date));
    json.field("date_low", to_text(event.low));
    json.field("date_high", to_text(event.high));
    json.field("what", word(event.what));
    json.field("why", calendar_why(herd, event));
    json.field("in_kid", event.in_kid);
    json.key("sire");
    event.sire ? json.value(herd.ids[*event.sire]) : json.null();
    json.field("may_have_stopped_cycling", event.quiet_on.has_value());
    json.end_object();
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, std::span<const CalendarEvent> events) {
  out.write("doe,date,date_low,date_high,what,why\n");
  CsvRow row;
  for (const CalendarEvent& event : events) {
    event.doe ? row.text(herd.ids[*event.doe]) : row.blank();
    row.text(to_text(event.date)).text(to_text(event.low)).text(to_text(event.high));
    row.text(word(event.what)).text(calendar_why(herd, event)).write(out);
  }
}

std::string who(const Herd& herd, const CalendarEvent& event) {
  if (event.doe) return short_name(herd, *event.doe);
  return event.sire ? short_name(herd, *event.sire) : std::string();
}

/// One line a doe that was served: how likely she is in kid.
void say_in_kid(Page& page, const Herd& herd, std::span<const CalendarEvent> events) {
  std::vector<Animal> said;
  for (const CalendarEvent& event : events) {
    if (!event.doe || !event.in_kid) continue;
    if (std::find(said.begin(), said.end(), *event.doe) != said.end()) continue;
    if (said.empty()) page.heading("In kid?");
    said.push_back(*event.doe);
    page.labelled(
        cut_to_width(short_name(herd, *event.doe), 18), 20,
        event.what == CalendarWhat::found_empty
            ? calendar_why(herd, event)
            : fmt::format("{} as of today, by her services, what was seen since and the checks{}",
                          percent(*event.in_kid, 0),
                          event.quiet_on ? "; " + quiet_words(herd, *event.quiet_on) : ""));
  }
}

/// Most bucks with the does on one day from today on, by the days written for them.
std::size_t bucks_at_once(const Herd& herd) {
  struct Stay {
    Date from, to;
  };
  std::vector<Stay> stays;
  for (const SireOffer& offer : herd.sires) {
    if (offer.terms == Terms::visit || offer.terms == Terms::semen) continue;
    if (!offer.from.known() && !herd.season.kid_from) continue;
    const Stay stay{first_day_of_stay(herd, offer), last_day_of_stay(herd, offer)};
    if (stay.to >= std::max(stay.from, herd.as_of)) stays.push_back(stay);
  }
  std::size_t most = 0;
  for (const Stay& first : stays) {
    const Date day = std::max(first.from, herd.as_of);
    const auto there = std::count_if(stays.begin(), stays.end(), [&](const Stay& stay) {
      return stay.from <= day && day <= stay.to;
    });
    most = std::max(most, static_cast<std::size_t>(there));
  }
  return most;
}

/// More bucks than pens: whoever reads their days must not take them for settled.
void say_pens(Page& page, const Herd& herd, std::span<const CalendarEvent> events) {
  const bool of_sires = std::any_of(events.begin(), events.end(), [](const CalendarEvent& event) {
    return !event.doe && event.sire;
  });
  const std::size_t most = bucks_at_once(herd);
  if (!of_sires || !herd.season.pens || most <= *herd.season.pens) return;
  const auto pens = *herd.season.pens;
  page.paragraph(
      fmt::format("The days of {} bucks overlap, and there {} {} {}: not all of them can come. "
                  "`doewright plan` "
                  "says whom to take.",
                  most, pens == 1 ? "is" : "are", pens, pens == 1 ? "pen" : "pens"));
}

}  // namespace

void report_calendar(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                     std::span<const CalendarEvent> events) {
  if (format == Format::json) return as_json(out, preamble, herd, events);
  if (format == Format::csv) return as_csv(out, herd, events);
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) +
                (events.empty()
                     ? std::string("Nothing is due: no service, heat or stay in the book says so.")
                     : fmt::format("{} date{} from {} on.", events.size(),
                                   events.size() == 1 ? "" : "s", day_in_words(preamble.as_of))));
  say_pens(page, herd, events);
  if (!events.empty()) {
    page.blank();
    std::vector<std::vector<std::string>> rows;
    for (const CalendarEvent& event : events) {
      const bool window = event.low != event.high;
      rows.push_back({to_text(event.date), who(herd, event), calendar_title(herd, event),
                      window ? to_text(event.low) + " to " + to_text(event.high) : std::string()});
    }
    page.table({{"date", Page::Align::left},
                {"who", Page::Align::left, 18},
                {"what", Page::Align::left, 22},
                {"window", Page::Align::left}},
               rows);
  }
  say_in_kid(page, herd, events);
  page.blank();
  const bool any_due = std::any_of(events.begin(), events.end(), [](const CalendarEvent& event) {
    return event.what == CalendarWhat::due;
  });
  if (any_due) {
    page.paragraph(
        "A return to heat that nobody saw moves a due date by about three weeks, and with another "
        "buck there it changes who the sire is: `doewright whose` gives the chances.");
  }
  page.paragraph(
      "Chances and usual days, no diagnosis: what a test, a vaccine or an illness needs, a "
      "veterinarian and local law say.");
  say_inputs(page, preamble);
}

}  // namespace doewright
