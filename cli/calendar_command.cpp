// SPDX-License-Identifier: MIT
#include <algorithm>

#include <doewright/pairing/fitness.hpp>
#include <doewright/report/timing_reports.hpp>

#include "session.hpp"

using namespace doewright;

namespace {

/// Nobody is told to serve a doe that is not fit to breed.
bool on_hold(const Herd& herd, const Offspring& offspring, const CalendarEvent& event) {
  if (event.what != CalendarWhat::service_window) return false;
  const auto row = std::find_if(herd.does.begin(), herd.does.end(),
                                [&](const DoeForward& doe) { return doe.doe == event.doe; });
  if (row == herd.does.end()) return true;
  const DoeFitness fit = fitness(herd, offspring, *row, first_day_of_service(herd, *row));
  return fit.on_hold();
}

}  // namespace

/// `doewright calendar HERD`.
Status run_calendar(Session& session) {
  const auto herd = session.read_herd({.questions = false, .season_lists = true});
  const Offspring offspring(herd->pedigree);
  std::vector<CalendarEvent> events = calendar(*herd, offspring);
  std::vector<Animal> only;
  for (const std::string& id : session.line().common.does) {
    only.push_back(session.find(*herd, id, "doe"));
  }
  std::erase_if(events, [&](const CalendarEvent& event) {
    const bool later = session.line().week && event.low > herd->as_of + 6;
    const bool other = !only.empty() && (!event.doe || std::find(only.begin(), only.end(),
                                                                 *event.doe) == only.end());
    return later || other || on_hold(*herd, offspring, event);
  });
  const Preamble preamble = session.preamble(*herd, InputsOf::timing);
  session.answer([&](Sink& out) {
    if (session.line().common.ics) return report_calendar_ics(out, *herd, events);
    report_calendar(out, session.line().common.format, preamble, *herd, events);
  });
  return status_done;
}
