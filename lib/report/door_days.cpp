// SPDX-License-Identifier: MIT
#include "door_days.hpp"

#include <array>

#include <fmt/format.h>

namespace doewright {

std::string short_month(unsigned month) {
  static constexpr std::array<const char*, 12> names = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  return names.at(month - 1);
}

std::string short_day(Date day) {
  const CalendarDay parts = calendar_day(day);
  return fmt::format("{} {}", parts.day, short_month(parts.month));
}

std::string door_day(Date day) {
  static constexpr std::array<const char*, 7> names = {"Thu", "Fri", "Sat", "Sun",
                                                       "Mon", "Tue", "Wed"};
  const int since = day.day % 7;  // 1970-01-01, day 0, was a Thursday
  return fmt::format("{} {} {}", names.at(static_cast<std::size_t>(since < 0 ? since + 7 : since)),
                     short_day(day), calendar_day(day).year);
}

std::string day_range(Date from, Date to) {
  const int year = calendar_day(from).year, last_year = calendar_day(to).year;
  if (year == last_year) return fmt::format("{} to {} {}", short_day(from), short_day(to), year);
  return fmt::format("{} {} to {} {}", short_day(from), year, short_day(to), last_year);
}

}  // namespace doewright
