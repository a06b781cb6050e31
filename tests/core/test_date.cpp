// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <charconv>
#include <fstream>
#include <string>
#include <vector>

#include <doewright/core/date.hpp>

using namespace doewright;

namespace {

using Cells = std::vector<std::string>;

/// The rows of a plain table without quotes, header first.
std::vector<Cells> read_table(const std::string& name) {
  std::ifstream file(DOEWRIGHT_SOURCE_DIR "/tests/reference/season/" + name);
  REQUIRE_MESSAGE(file, "cannot read ", name);
  std::vector<Cells> rows;
  for (std::string line; std::getline(file, line);) {
    Cells& cells = rows.emplace_back(1);
    for (const char c : line) {
      if (c == ',') {
        cells.emplace_back();
      } else {
        cells.back() += c;
      }
    }
  }
  return rows;
}

int number(std::string_view text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  REQUIRE(error == std::errc());
  REQUIRE(end == text.data() + text.size());
  return value;
}

Date read_date(const std::string& text) {
  REQUIRE(text.size() == 10);
  const auto date =
      date_of(number(text.substr(0, 4)), static_cast<unsigned>(number(text.substr(5, 2))),
              static_cast<unsigned>(number(text.substr(8, 2))));
  REQUIRE(date.has_value());
  return *date;
}

Date date(int year, unsigned month, unsigned day) {
  return date_of(year, month, day).value();
}

}  // namespace

TEST_CASE("day numbers are those of Python's datetime") {
  const auto rows = read_table("calendar.csv");
  CHECK(rows.size() > 500);
  for (std::size_t i = 1; i < rows.size(); ++i) {
    CAPTURE(rows[i][0]);
    const Date day = read_date(rows[i][0]);
    CHECK(day.day == number(rows[i][1]));
    CHECK(to_text(Date{number(rows[i][1])}) == rows[i][0]);
  }
}

TEST_CASE("adding days to a service day reaches the day of the calendar") {
  const auto pairs = read_table("date_pairs.csv");
  CHECK(pairs.size() == 27);
  for (std::size_t i = 1; i < pairs.size(); ++i) {
    CHECK(to_text(read_date(pairs[i][0]) + number(pairs[i][1])) == pairs[i][2]);
    CHECK(read_date(pairs[i][2]) - read_date(pairs[i][0]) == number(pairs[i][1]));
  }
  const auto seasons = read_table("gestation_dates.csv");
  CHECK(seasons.size() > 100);
  for (std::size_t i = 1; i < seasons.size(); ++i) {
    const Date service = read_date(seasons[i][0]);
    for (std::size_t k = 1; k < seasons[i].size(); ++k) {
      const std::string& column = seasons[0][k];
      const int days = number(std::string_view(column).substr(column.rfind('_') + 1));
      CHECK(to_text(service + days) == seasons[i][k]);
    }
  }
}

TEST_CASE("every day of the years 1 to 9999 follows the one before") {
  const Date last = date(9999, 12, 31);
  CalendarDay before = calendar_day(date(1, 1, 1));
  std::size_t wrong = 0;
  for (Date day = date(1, 1, 1) + 1; day <= last; day = day + 1) {
    const CalendarDay now = calendar_day(day);
    const bool next_day =
        now.year == before.year && now.month == before.month && now.day == before.day + 1;
    const bool next_month =
        now.day == 1 && ((now.year == before.year && now.month == before.month + 1) ||
                         (now.year == before.year + 1 && now.month == 1 && before.month == 12));
    const bool gone_there_and_back = date_of(now.year, now.month, now.day) == day;
    if ((!next_day && !next_month) || !gone_there_and_back) ++wrong;
    before = now;
  }
  CHECK(wrong == 0);
}

TEST_CASE("days that do not exist are nothing") {
  // ISO 8601: a year divisible by 100 is a leap year only if it is divisible by 400.
  CHECK(date_of(2000, 2, 29));
  CHECK(date_of(2024, 2, 29));
  CHECK_FALSE(date_of(1900, 2, 29));
  CHECK_FALSE(date_of(2023, 2, 29));
  CHECK_FALSE(date_of(2024, 2, 30));
  CHECK_FALSE(date_of(2024, 4, 31));
  CHECK_FALSE(date_of(2024, 13, 1));
  CHECK_FALSE(date_of(2024, 0, 1));
  CHECK_FALSE(date_of(2024, 1, 0));
  CHECK_FALSE(date_of(2024, 1, 32));
  CHECK_FALSE(date_of(0, 1, 1));
  CHECK_FALSE(date_of(-1, 1, 1));
  CHECK_FALSE(date_of(10000, 1, 1));
}

TEST_CASE("months are added within the month's length") {
  CHECK(to_text(add_months(date(2024, 8, 31), 6)) == "2025-02-28");
  CHECK(to_text(add_months(date(2023, 8, 31), 6)) == "2024-02-29");
  CHECK(to_text(add_months(date(2024, 1, 15), -1)) == "2023-12-15");
  CHECK(to_text(add_months(date(2024, 3, 31), -1)) == "2024-02-29");
  CHECK(to_text(add_months(date(2024, 5, 31), 0)) == "2024-05-31");
  CHECK(to_text(add_months(date(2024, 11, 30), 25)) == "2026-12-30");
  CHECK(to_text(add_months(date(9999, 11, 30), 2)) == "9999-12-31");
  CHECK(to_text(add_months(date(1, 1, 30), -2)) == "0001-01-01");
}

TEST_CASE("whole months between two days") {
  CHECK(months_between(date(2024, 1, 15), date(2024, 8, 14)) == 6);
  CHECK(months_between(date(2024, 1, 15), date(2024, 8, 15)) == 7);
  CHECK(months_between(date(2024, 8, 31), date(2025, 2, 28)) == 6);
  CHECK(months_between(date(2024, 8, 31), date(2025, 2, 27)) == 5);
  CHECK(months_between(date(2024, 8, 15), date(2024, 8, 14)) == -1);
  CHECK(months_between(date(2024, 8, 15), date(2024, 7, 15)) == -1);
  // The definition: the largest m with add_months(from, m) <= to.
  for (int days = -800; days <= 800; days += 7) {
    const Date from = date(2024, 1, 31);
    const Date to = from + days;
    const int months = months_between(from, to);
    CHECK(add_months(from, months) <= to);
    CHECK(add_months(from, months + 1) > to);
  }
}

TEST_CASE("a partial date covers every day that it can have been") {
  const auto year = PartialDate::of(2024).value();
  const auto month = PartialDate::of(2024, 2).value();
  const auto day = PartialDate::of(2024, 2, 7).value();
  CHECK(to_text(year) == "2024");
  CHECK(to_text(month) == "2024-02");
  CHECK(to_text(day) == "2024-02-07");
  CHECK(to_text(PartialDate()).empty());
  CHECK(to_text(year.earliest()) == "2024-01-01");
  CHECK(to_text(year.latest()) == "2024-12-31");
  CHECK(to_text(month.earliest()) == "2024-02-01");
  CHECK(to_text(month.latest()) == "2024-02-29");
  CHECK(day.earliest() == day.latest());
  CHECK(day.to_the_day());
  CHECK_FALSE(month.to_the_day());
  CHECK(month.known());
  CHECK_FALSE(PartialDate().known());
  CHECK(PartialDate::of(date(2024, 2, 7)) == day);
  CHECK(sizeof(PartialDate) == 4);
}

TEST_CASE("partial dates that cannot be are nothing") {
  CHECK_FALSE(PartialDate::of(2023, 2, 29));
  CHECK_FALSE(PartialDate::of(2023, 13));
  CHECK_FALSE(PartialDate::of(0));
  CHECK_FALSE(PartialDate::of(10000));
  CHECK_FALSE(PartialDate::of(2024, 0, 7));
  CHECK_FALSE(PartialDate::of(Date{-800000}).known());  // before the year 1
}
