// SPDX-License-Identifier: MIT
#include "cells.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

constexpr std::size_t longest_slip = 40;  // characters of a word that is compared with others

constexpr std::array<std::string_view, 12> months = {
    "January", "February", "March",     "April",   "May",      "June",
    "July",    "August",   "September", "October", "November", "December"};

std::optional<unsigned> digits(std::string_view text) {
  if (text.empty() || text.size() > 4) return std::nullopt;
  unsigned value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = 10 * value + static_cast<unsigned>(c - '0');
  }
  return value;
}

/// Three parts with one kind of sign between them; else three empty ones.
std::array<std::string_view, 3> three_parts(std::string_view text, char sign) {
  const std::size_t first = text.find(sign);
  if (first == std::string_view::npos) return {};
  const std::size_t second = text.find(sign, first + 1);
  if (second == std::string_view::npos) return {};
  if (text.find(sign, second + 1) != std::string_view::npos) return {};
  return {text.substr(0, first), text.substr(first + 1, second - first - 1),
          text.substr(second + 1)};
}

std::string in_words(Date date) {
  const CalendarDay day = calendar_day(date);
  return fmt::format("{} {} {}", day.day, months[day.month - 1], day.year);
}

/// The days that the three numbers may mean. A year of two digits is one of this century: nobody
/// can tell, so it is only offered, never read.
std::vector<Date> readings_of(const std::array<std::string_view, 3>& parts) {
  const auto a = digits(parts[0]), b = digits(parts[1]), c = digits(parts[2]);
  if (!a || !b || !c) return {};
  std::vector<Date> readings;
  const auto add = [&](unsigned year, unsigned month, unsigned day) {
    const auto date = date_of(static_cast<int>(year), month, day);
    if (date && std::find(readings.begin(), readings.end(), *date) == readings.end()) {
      readings.push_back(*date);
    }
  };
  if (parts[0].size() == 4) {
    add(*a, *b, *c);
    return readings;
  }
  const unsigned year = parts[2].size() <= 2 ? 2000 + *c : *c;
  add(year, *b, *a);  // day, month
  add(year, *a, *b);  // month, day
  return readings;
}

/// "03/04/21" is the third of April or the fourth of March: both are said and neither is taken.
bool is_other_order(std::string_view text, DateSlip& slip) {
  for (const char sign : {'/', '.', '-', ' '}) {
    const auto parts = three_parts(text, sign);
    const std::vector<Date> readings = readings_of(parts);
    if (readings.empty()) continue;
    slip.code = "date-form";
    if (readings.size() == 2) {
      slip.message = fmt::format("{} may be {} or {}", quoted(text), in_words(readings[0]),
                                 in_words(readings[1]));
      slip.remedy = fmt::format("write {} or {}", to_text(readings[0]), to_text(readings[1]));
    } else {
      slip.message = fmt::format("{} is not written as year-month-day", quoted(text));
      slip.remedy = fmt::format("write {} if that is the day", to_text(readings[0]));
    }
    return true;
  }
  return false;
}

/// YYYY, YYYY-MM or YYYY-MM-DD, whether there is such a day or not.
struct IsoParts {
  unsigned year, month, day;
};

std::optional<IsoParts> iso_parts(std::string_view text) {
  if (text.size() != 4 && text.size() != 7 && text.size() != 10) return std::nullopt;
  if (text.size() >= 7 && text[4] != '-') return std::nullopt;
  if (text.size() == 10 && text[7] != '-') return std::nullopt;
  const auto year = digits(text.substr(0, 4));
  const auto month = text.size() >= 7 ? digits(text.substr(5, 2)) : 0u;
  const auto day = text.size() == 10 ? digits(text.substr(8, 2)) : 0u;
  if (!year || !month || !day) return std::nullopt;
  return IsoParts{*year, *month, *day};
}

}  // namespace

std::optional<PartialDate> read_date(std::string_view text, DateSlip& slip) {
  if (const auto parts = iso_parts(text)) {
    const bool blank_parts = parts->year == 0 || (text.size() >= 7 && parts->month == 0) ||
                             (text.size() == 10 && parts->day == 0);
    if (!blank_parts) {
      const auto date = PartialDate::of(static_cast<int>(parts->year), parts->month, parts->day);
      if (date) return date;
    }
    slip = {"date-impossible", fmt::format("there is no day {}", quoted(text)),
            "correct the date; leave the day or the month out if it is not known"};
    return std::nullopt;
  }
  if (is_other_order(text, slip)) return std::nullopt;
  slip = {"date-form", fmt::format("{} is no date", quoted(text)),
          "write 2024-03-07, or 2024-03 or 2024 if no more is known"};
  return std::nullopt;
}

bool is_unknown_mark(std::string_view text) {
  static constexpr std::array<std::string_view, 6> marks = {"?", "-", ".", "na", "n/a", "unknown"};
  if (text.empty() || text.size() > 7) return false;
  const auto same = [&](std::string_view mark) {
    return text.size() == mark.size() && lower_ascii(text) == mark;
  };
  return std::any_of(marks.begin(), marks.end(), same);
}

std::vector<std::string_view> parts_of_list(std::string_view cell) {
  std::vector<std::string_view> parts;
  while (!cell.empty()) {
    const std::size_t end = std::min(cell.find(';'), cell.size());
    const std::string_view part = trimmed(cell.substr(0, end));
    if (!part.empty()) parts.push_back(part);
    cell.remove_prefix(std::min(end + 1, cell.size()));
  }
  return parts;
}

std::string quoted(std::string_view text) {
  return fmt::format("'{}'", cut_to_width(printable(text.substr(0, 400)), 60));
}

std::optional<std::string_view> near_word(std::string_view word,
                                          std::span<const std::string_view> candidates) {
  if (word.empty() || word.size() > longest_slip) return std::nullopt;
  return nearest(word, candidates);
}

std::string did_you_mean(std::optional<std::string_view> near, std::string_view otherwise) {
  return near ? fmt::format("did you mean '{}'?", *near) : std::string(otherwise);
}

std::string joined(std::span<const std::string_view> words) {
  return fmt::format("{}", fmt::join(words, ", "));
}

}  // namespace doewright
