// SPDX-License-Identifier: MIT
#pragma once
/// Days of the calendar, and dates of which only the year or the month is known.
///
/// Proleptic Gregorian calendar, years 1 to 9999. No clock is read here: today is an argument.
#include <compare>
#include <cstdint>
#include <optional>
#include <string>

#include <doewright/export.hpp>

namespace doewright {

/// One day: the number of days since 1970-01-01. Differences are whole days.
struct Date {
  std::int32_t day = 0;
  friend constexpr auto operator<=>(Date, Date) = default;
  friend constexpr Date operator+(Date date, std::int32_t days) { return {date.day + days}; }
  friend constexpr Date operator-(Date date, std::int32_t days) { return {date.day - days}; }
  friend constexpr std::int32_t operator-(Date later, Date earlier) {
    return later.day - earlier.day;
  }
};

/// A calendar day in parts. month 1-12, day 1-31.
struct CalendarDay {
  int year = 1970;
  unsigned month = 1;
  unsigned day = 1;
  friend constexpr auto operator<=>(const CalendarDay&, const CalendarDay&) = default;
};

/// The day, or nothing if there is no such day (30 February, month 13, year 0).
DOEWRIGHT_EXPORT std::optional<Date> date_of(int year, unsigned month, unsigned day) noexcept;
DOEWRIGHT_EXPORT CalendarDay calendar_day(Date date) noexcept;

/// The same day of the month `months` later (earlier if negative), or the last day of that month if
/// it is shorter: 2024-08-31 plus 6 months is 2025-02-28. Stays within the years 1 to 9999.
DOEWRIGHT_EXPORT Date add_months(Date date, int months) noexcept;

/// Whole calendar months from `from` to `to`: the largest m with add_months(from, m) <= to.
DOEWRIGHT_EXPORT int months_between(Date from, Date to) noexcept;

/// "2024-03-07".
DOEWRIGHT_EXPORT std::string to_text(Date date);

/// A date of which the day, or the month and the day, may not be known. 4 bytes; a
/// default-constructed one is wholly unknown.
class DOEWRIGHT_EXPORT PartialDate {
 public:
  constexpr PartialDate() = default;

  /// Reads reduced precision from zeros: (2024, 3, 0) is March 2024, (2024, 0, 0) is 2024.
  /// Nothing if there is no such day or a day is given without its month.
  static std::optional<PartialDate> of(int year, unsigned month = 0, unsigned day = 0) noexcept;
  static PartialDate of(Date date) noexcept;  ///< Unknown if outside of the years 1 to 9999.

  constexpr bool known() const noexcept { return year_ != 0; }
  constexpr bool to_the_day() const noexcept { return day_ != 0; }
  constexpr int year() const noexcept { return year_; }          ///< 0: unknown.
  constexpr unsigned month() const noexcept { return month_; }   ///< 0: unknown.
  constexpr unsigned day() const noexcept { return day_; }       ///< 0: unknown.

  /// First and last day it can have been. \pre known()
  Date earliest() const noexcept;
  Date latest() const noexcept;

  friend constexpr auto operator<=>(PartialDate, PartialDate) = default;

 private:
  constexpr PartialDate(int year, unsigned month, unsigned day)
      : year_(static_cast<std::int16_t>(year)),
        month_(static_cast<std::uint8_t>(month)),
        day_(static_cast<std::uint8_t>(day)) {}
  std::int16_t year_ = 0;
  std::uint8_t month_ = 0;
  std::uint8_t day_ = 0;
};

/// "2024-03-07", "2024-03", "2024", or "" if unknown: as much as is known and no more.
DOEWRIGHT_EXPORT std::string to_text(PartialDate date);

}  // namespace doewright
