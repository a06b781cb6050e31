// SPDX-License-Identifier: MIT
#pragma once
/// `whose` and `calendar` as text, JSON, CSV; the calendar as iCalendar too.
#include <span>

#include <doewright/export.hpp>
#include <doewright/report/report.hpp>
#include <doewright/timing/calendar.hpp>
#include <doewright/timing/whose.hpp>

namespace doewright {

/// `whose`: one entry a kid.
DOEWRIGHT_EXPORT void report_whose(Sink& out, Format format, const Preamble& preamble,
                                   const Herd& herd, std::span<const WhoseKid> kids);

/// `calendar`.
DOEWRIGHT_EXPORT void report_calendar(Sink& out, Format format, const Preamble& preamble,
                                      const Herd& herd, std::span<const CalendarEvent> events);

/// `calendar --format ics`: RFC 5545, all-day events, CRLF, lines folded at 75 octets. A UID stays
/// the same as long as animal, kind of event and the day it is counted from do. DTSTAMP is as-of.
DOEWRIGHT_EXPORT void report_calendar_ics(Sink& out, const Herd& herd,
                                          std::span<const CalendarEvent> events);

}  // namespace doewright
