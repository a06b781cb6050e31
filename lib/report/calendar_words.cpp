// SPDX-License-Identifier: MIT
#include "calendar_words.hpp"

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>
#include <doewright/timing/settling.hpp>

#include "preamble.hpp"

namespace doewright {

namespace {

std::string counted_from(const Herd& herd, const CalendarEvent& event) {
  const std::string by = event.sire ? " with " + long_name(herd, *event.sire) : std::string();
  if (event.after_stay) {
    return fmt::format("counted from the stay{} that began on {}", by, to_text(event.since));
  }
  return fmt::format("day {} after the service{} of {}", event.date - event.since, by,
                     to_text(event.since));
}

std::string what_to_do(const CalendarEvent& event) {
  switch (event.what) {
    case CalendarWhat::return_heat:
      return "watch for a return to heat and write down what is seen";
    case CalendarWhat::blood_test:
      return "from now on a blood test tells something, milk from five days later; a negative one "
             "is repeated before she is judged";
    case CalendarWhat::scan:
      return event.after_stay ? "from now on a scan can see and count" : "a scan can see and count";
    case CalendarWhat::dry_off:
      return event.after_stay ? "dry off, 60 days before the early end of the window" : "dry off";
    case CalendarWhat::feed_up:
      return "most of the kids' growth begins: feed her up slowly, watch fat and thin does";
    case CalendarWhat::booster:
      return "yearly vaccine usual about 30 days before kidding: ask the veterinarian, the label "
             "and local law decide";
    case CalendarWhat::watch_from:
      return "watch her from now on";
    case CalendarWhat::due:
      return event.after_stay
                 ? "due; one doe in ten kids before or after these days"
                 : "due; one doe in ten kids before or after these days; a return to heat that "
                   "nobody saw moves it by three weeks";
    case CalendarWhat::query:
      return "not kidded by now: have her looked at by a veterinarian";
    default:
      return {};
  }
}

/// Rows on which she can be tested.
bool tests_her(const CalendarEvent& event) {
  return event.quiet_on &&
         (event.what == CalendarWhat::blood_test || event.what == CalendarWhat::scan);
}

std::string share_words(double share) {
  return fmt::format("{} in 100", fixed(100.0 * share, 0));
}

}  // namespace

std::string quiet_words(const Herd& herd, Date quiet_on) {
  return fmt::format(
      "not seen back in heat, but about {} only {} does cycle: she may have stopped cycling: test "
      "her",
      day_in_words(quiet_on), share_words(cycling_on(doe_odds(herd.season), quiet_on)));
}

std::string calendar_title(const Herd& herd, const CalendarEvent& event) {
  switch (event.what) {
    case CalendarWhat::isolation:
      return event.date < herd.as_of ? "isolation was to begin" : "isolation begins";
    case CalendarWhat::buck_in:
      return "buck in";
    case CalendarWhat::buck_out:
      return "buck out";
    case CalendarWhat::service_window:
      return "days for service";
    case CalendarWhat::heat:
      return "heat";
    case CalendarWhat::return_heat:
      return "return to heat?";
    case CalendarWhat::blood_test:
      return "blood test";
    case CalendarWhat::scan:
      return "scan";
    case CalendarWhat::dry_off:
      return "dry off";
    case CalendarWhat::feed_up:
      return "feed up";
    case CalendarWhat::booster:
      return "booster: ask the vet";
    case CalendarWhat::watch_from:
      return "watch for kidding";
    case CalendarWhat::due:
      return "due";
    case CalendarWhat::query:
      return "overdue: ask the vet";
    case CalendarWhat::found_empty:
      return "found empty";
  }
  return {};
}

std::string calendar_why(const Herd& herd, const CalendarEvent& event) {
  const std::string sire = event.sire ? long_name(herd, *event.sire) : std::string();
  switch (event.what) {
    case CalendarWhat::isolation:
      return fmt::format(
          "{} {} and stay{} apart until he meets the does on {}; a veterinarian says which tests, "
          "local law what moving him needs",
          sire,
          event.date < herd.as_of ? "was to come by " + to_text(event.date) : std::string("comes"),
          event.date < herd.as_of ? "" : "s", to_text(event.since));
    case CalendarWhat::buck_in:
      return fmt::format("first day of {} with the does", sire);
    case CalendarWhat::buck_out:
      return fmt::format("last day of {} with the does, who came on {}", sire,
                         to_text(event.since));
    case CalendarWhat::service_window:
      return "served in these days she kids in the window wanted";
    case CalendarWhat::heat:
      return fmt::format("heat seen on {}, cycles of 21 days that vary", to_text(event.since));
    case CalendarWhat::found_empty:
      return fmt::format(
          "found empty on {}: test her again or put her back; {} in kid all the same, and nothing "
          "is "
          "counted as due",
          to_text(event.since), share_words(event.in_kid.value_or(0.0)));
    default:
      return fmt::format("{}; {}{}", what_to_do(event), counted_from(herd, event),
                         tests_her(event) ? "; " + quiet_words(herd, *event.quiet_on) : "");
  }
}

}  // namespace doewright
