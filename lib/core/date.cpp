// SPDX-License-Identifier: MIT
#include <doewright/core/date.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>

// Day numbers are counted in eras of 400 years, which all have 146,097 days, and in years that
// begin on 1 March, so that the leap day is the last of its year.

namespace doewright {

namespace {

constexpr int first_year = 1;
constexpr int last_year = 9999;
constexpr std::int64_t days_in_era = 146097;
constexpr std::int64_t days_before_1970 = 719468;  // from 0000-03-01 to 1970-01-01

constexpr bool is_leap(int year) {
  return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

/// \pre month is 1-12.
constexpr unsigned days_in_month(int year, unsigned month) {
  constexpr std::array<unsigned, 12> days = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return month == 2 && is_leap(year) ? 29 : days[month - 1];
}

constexpr std::int64_t divided_down(std::int64_t value, std::int64_t by) {
  return value >= 0 ? value / by : -((by - 1 - value) / by);
}

/// Days from 1 March to the first of the month that is `month` months after March.
constexpr std::int64_t days_from_march(std::int64_t month) {
  return (153 * month + 2) / 5;
}

constexpr Date day_number(std::int64_t year, unsigned month, unsigned day) {
  const std::int64_t march_year = month > 2 ? year : year - 1;
  const std::int64_t era = divided_down(march_year, 400);
  const std::int64_t year_of_era = march_year - era * 400;
  const std::int64_t day_of_year = days_from_march((month + 9) % 12) + day - 1;
  const std::int64_t day_of_era =
      year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
  return {static_cast<std::int32_t>(era * days_in_era + day_of_era - days_before_1970)};
}

static_assert(day_number(1970, 1, 1).day == 0);
static_assert(day_number(2000, 2, 29).day == 11016);

}  // namespace

std::optional<Date> date_of(int year, unsigned month, unsigned day) noexcept {
  if (year < first_year || year > last_year || month < 1 || month > 12) return std::nullopt;
  if (day < 1 || day > days_in_month(year, month)) return std::nullopt;
  return day_number(year, month, day);
}

CalendarDay calendar_day(Date date) noexcept {
  const std::int64_t days = date.day + days_before_1970;
  const std::int64_t era = divided_down(days, days_in_era);
  const std::int64_t day_of_era = days - era * days_in_era;
  // Leap days that lie before this day in its era: one in 1461 days, less one in 36,524, plus the
  // last one of the era.
  const std::int64_t year_of_era =
      (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
  const std::int64_t day_of_year =
      day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
  const std::int64_t month_from_march = (5 * day_of_year + 2) / 153;
  const std::int64_t month = month_from_march < 10 ? month_from_march + 3 : month_from_march - 9;
  const std::int64_t year = era * 400 + year_of_era + (month <= 2 ? 1 : 0);
  return {static_cast<int>(year), static_cast<unsigned>(month),
          static_cast<unsigned>(day_of_year - days_from_march(month_from_march) + 1)};
}

Date add_months(Date date, int months) noexcept {
  const CalendarDay from = calendar_day(date);
  const std::int64_t count = std::int64_t{from.year} * 12 + (from.month - 1) + months;
  const std::int64_t year = divided_down(count, 12);
  if (year < first_year) return day_number(first_year, 1, 1);
  if (year > last_year) return day_number(last_year, 12, 31);
  const unsigned month = static_cast<unsigned>(count - year * 12) + 1;
  const unsigned last = days_in_month(static_cast<int>(year), month);
  return day_number(year, month, std::min(from.day, last));
}

int months_between(Date from, Date to) noexcept {
  const CalendarDay a = calendar_day(from);
  const CalendarDay b = calendar_day(to);
  const int months = (b.year - a.year) * 12 + static_cast<int>(b.month) - static_cast<int>(a.month);
  return add_months(from, months) <= to ? months : months - 1;
}

std::string to_text(Date date) {
  const CalendarDay day = calendar_day(date);
  return fmt::format("{:04}-{:02}-{:02}", day.year, day.month, day.day);
}

std::optional<PartialDate> PartialDate::of(int year, unsigned month, unsigned day) noexcept {
  if (month == 0 && day != 0) return std::nullopt;
  const unsigned some_month = month == 0 ? 1 : month;
  const unsigned some_day = day == 0 ? 1 : day;
  if (!date_of(year, some_month, some_day)) return std::nullopt;
  return PartialDate(year, month, day);
}

PartialDate PartialDate::of(Date date) noexcept {
  const CalendarDay day = calendar_day(date);
  return of(day.year, day.month, day.day).value_or(PartialDate());
}

Date PartialDate::earliest() const noexcept {
  return day_number(year_, month_ == 0 ? 1 : month_, day_ == 0 ? 1 : day_);
}

Date PartialDate::latest() const noexcept {
  const unsigned month = month_ == 0 ? 12 : month_;
  return day_number(year_, month, day_ == 0 ? days_in_month(year_, month) : day_);
}

std::string to_text(PartialDate date) {
  if (!date.known()) return {};
  if (date.month() == 0) return fmt::format("{:04}", date.year());
  if (!date.to_the_day()) return fmt::format("{:04}-{:02}", date.year(), date.month());
  return fmt::format("{:04}-{:02}-{:02}", date.year(), date.month(), date.day());
}

}  // namespace doewright
