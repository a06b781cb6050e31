// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include <doewright/herd/herd.hpp>
#include <doewright/timing/calendar.hpp>

namespace doewright {

/// "return to heat?", "dry off": short, for a table.
std::string calendar_title(const Herd& herd, const CalendarEvent& event);

/// Why the row is there and what it is counted from, a sentence with no full stop at the end.
std::string calendar_why(const Herd& herd, const CalendarEvent& event);

/// "not seen back in heat, but in March only 20 in 100 does cycle: ... test her".
std::string quiet_words(const Herd& herd, Date quiet_on);

}  // namespace doewright
