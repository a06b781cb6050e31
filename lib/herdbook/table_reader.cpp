// SPDX-License-Identifier: MIT
#include "table_reader.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

std::string quoted(std::string_view text) {
  return "'" + cut_to_width(printable(text), 60) + "'";
}

std::optional<unsigned> digits(std::string_view text) {
  if (text.empty() || text.size() > 4) return std::nullopt;
  unsigned value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = 10 * value + static_cast<unsigned>(c - '0');
  }
  return value;
}

std::array<std::string_view, 3> three_parts(std::string_view text, char at) {
  std::array<std::string_view, 3> parts = {};
  const std::size_t first = text.find(at);
  if (first == std::string_view::npos) return parts;
  const std::size_t second = text.find(at, first + 1);
  if (second == std::string_view::npos || text.find(at, second + 1) != std::string_view::npos) return parts;
  return {text.substr(0, first), text.substr(first + 1, second - first - 1), text.substr(second + 1)};
}

/// "03/04/21" is the third of April or the fourth of March; nobody can tell.
bool other_date_order(std::string_view text, DateSlip& slip) {
  for (const char at : {'/', '.', '-'}) {
    const auto parts = three_parts(text, at);
    const auto a = digits(parts[0]), b = digits(parts[1]), c = digits(parts[2]);
    if (!a || !b || !c || parts[0].size() == 4) continue;
    const unsigned year = *c < 100 ? 2000 + *c : *c;
    std::vector<std::string> readings;
    for (const auto& [day, month] : {std::pair{*a, *b}, std::pair{*b, *a}}) {
      if (const auto date = date_of(static_cast<int>(year), month, day)) {
        if (readings.empty() || readings.front() != to_text(*date)) readings.push_back(to_text(*date));
      }
    }
    slip.code = "date-form";
    if (readings.empty()) {
      slip.message = fmt::format("{} is no date", quoted(text));
      slip.remedy = "write it as year-month-day, such as 2024-03-07";
    } else if (readings.size() == 2) {
      slip.message = fmt::format("{} may be {} or {}", quoted(text), readings[0], readings[1]);
      slip.remedy = fmt::format("write {} or {}", readings[0], readings[1]);
    } else {
      slip.message = fmt::format("{} is not written as year-month-day", quoted(text));
      slip.remedy = fmt::format("write {} if that is the day", readings[0]);
    }
    return true;
  }
  return false;
}

}  // namespace

std::optional<PartialDate> read_date(std::string_view text, DateSlip& slip) {
  const bool iso_length = text.size() == 4 || text.size() == 7 || text.size() == 10;
  const bool iso_dashes = (text.size() < 7 || text[4] == '-') && (text.size() < 10 || text[7] == '-');
  if (iso_length && iso_dashes) {
    const auto year = digits(text.substr(0, 4));
    const auto month = text.size() >= 7 ? digits(text.substr(5, 2)) : 0u;
    const auto day = text.size() == 10 ? digits(text.substr(8, 2)) : 0u;
    if (year && month && day) {
      const bool parts_fit = (text.size() < 7 || *month != 0) && (text.size() < 10 || *day != 0);
      const auto date = parts_fit && *year != 0 ? PartialDate::of(static_cast<int>(*year), *month, *day)
                                                : std::nullopt;
      if (date) return date;
      slip = {"date-impossible", fmt::format("there is no day {}", quoted(text)), "correct the date"};
      return std::nullopt;
    }
  }
  if (other_date_order(text, slip)) return std::nullopt;
  slip = {"date-form", fmt::format("{} is no date", quoted(text)),
          "write 2024-03-07, or 2024-03 or 2024 if no more is known"};
  return std::nullopt;
}

bool is_unknown_mark(std::string_view text) {
  static constexpr std::array<std::string_view, 6> marks = {"?", "-", ".", "na", "n/a", "unknown"};
  if (text.empty() || text.size() > 7) return false;
  const std::string low = lower_ascii(text);
  return std::find(marks.begin(), marks.end(), low) != marks.end();
}

TableReader::TableReader(std::string_view text, std::string_view file, Table table,
                         std::span<const ColumnName> columns, Complaints* complaints,
                         const std::vector<std::string>& other_columns)
    : file_(file), table_(table), complaints_(complaints), csv_(text, file, complaints),
      where_(columns.size(), absent), watch_repeats_(table != Table::animals && table != Table::none) {
  for (const ColumnName& column : columns) names_.emplace_back(column.name);
  usable_ = csv_.usable() && match_columns(columns, other_columns);
  if (csv_.usable() && !usable_ && complaints_ != nullptr) complaints_->whole_file_lost();
}

bool TableReader::match_columns(std::span<const ColumnName> columns,
                                const std::vector<std::string>& others) {
  bool good = true;
  std::size_t matched = 0;
  std::vector<std::size_t> unknown;
  for (std::size_t i = 0; i < csv_.header().size(); ++i) {
    std::string key = column_key(csv_.header()[i]);
    if (key.empty()) continue;
    if (key == "birth" || key == "birthdate") key = "born";
    const auto column = std::find_if(columns.begin(), columns.end(), [&](const ColumnName& c) {
      return column_key(c.name) == key;
    });
    if (column != columns.end()) {
      const auto index = static_cast<std::size_t>(column - columns.begin());
      if (where_[index] != absent) {
        error("column-twice", csv_.header_places()[i],
              fmt::format("the column {} stands twice", quoted(csv_.header()[i])),
              "keep one of the two columns");
        good = false;
      }
      where_[index] = i;
      ++matched;
      continue;
    }
    const auto other = std::find_if(others.begin(), others.end(), [&](const std::string& name) {
      return column_key(name) == key;
    });
    if (other != others.end()) {
      const auto index = static_cast<std::size_t>(other - others.begin());
      const bool twice = std::any_of(others_.begin(), others_.end(),
                                     [&](const auto& each) { return each.first == index; });
      if (twice) {
        error("column-twice", csv_.header_places()[i],
              fmt::format("the column {} stands twice", quoted(csv_.header()[i])),
              "keep one of the two columns");
        good = false;
      }
      others_.emplace_back(index, i);
      continue;
    }
    unknown.push_back(i);
  }
  if (matched == 0) {
    error("header-missing", {csv_.header_places().front().line, 0},
          "no column has a name that this table knows",
          fmt::format("write the names of the columns on line 1, such as {}", columns.front().name));
    return false;
  }
  for (const std::size_t i : unknown) unknown_column(i, columns);
  unknown_ = std::move(unknown);
  for (std::size_t c = 0; c < columns.size(); ++c) {
    if (!columns[c].required || where_[c] != absent) continue;
    error("column-missing", {csv_.header_places().front().line, 0},
          fmt::format("the column '{}' is missing", columns[c].name), "add it to the header");
    good = false;
  }
  return good;
}

void TableReader::unknown_column(std::size_t index, std::span<const ColumnName> columns) {
  const std::string& name = csv_.header()[index];
  if (table_ == Table::examinations) return;  // the caller asks whether it was meant as a fault
  std::vector<std::string_view> known;
  for (const ColumnName& column : columns) known.push_back(column.name);
  const std::string lower = lower_ascii(name);
  const auto near = nearest(lower, known);
  warning("column-unknown", csv_.header_places()[index],
          fmt::format("the column {} is not known and is not read", quoted(name)),
          near ? fmt::format("did you mean '{}'?", *near) : "rename it, or leave it out");
}

bool TableReader::next() {
  if (!usable_) return false;
  while (csv_.next()) {
    any_row_ = true;
    later_day_ = false;
    about_.clear();
    if (!watch_repeats_) return true;
    std::string all;
    for (std::size_t i = 0; i < csv_.header().size(); ++i) {
      all += csv_.text(i);
      all += '\0';
    }
    if (seen_.insert(std::move(all)).second) return true;
    warning("record-twice", {csv_.line(), 0}, "this row repeats an earlier one", "read once; take it out");
  }
  if (!any_row_) {
    warning("rows-none", {0, 0}, "the table has a header and no rows", "fill it, or leave the file out");
  }
  return false;
}

void TableReader::error(std::string_view code, Place place, std::string message, std::string remedy) {
  if (complaints_ == nullptr) return;
  complaints_->error(code, file_, place.line, place.column, about_, std::move(message),
                     std::move(remedy));
}

void TableReader::warning(std::string_view code, Place place, std::string message,
                          std::string remedy) {
  if (complaints_ == nullptr) return;
  complaints_->warning(code, file_, place.line, place.column, about_, std::move(message),
                       std::move(remedy));
}

std::optional<std::string_view> TableReader::id_or_blank(std::size_t column) {
  const std::string_view id = text(column);
  if (id.empty()) return std::nullopt;
  if (!has_control(id)) return id;
  error("id-control", place(column),
        fmt::format("the {} {} holds a control character or one that turns the direction of text",
                    names_[column], quoted(id)),
        "write the id again without it");
  return std::nullopt;
}

std::optional<std::string_view> TableReader::id(std::size_t column) {
  if (text(column).empty()) {
    error("id-empty", place(column), fmt::format("the {} is blank", names_[column]),
          "write the id of the animal, or take the row out");
    return std::nullopt;
  }
  return id_or_blank(column);
}

PartialDate TableReader::date(std::size_t column, Future future, Date as_of) {
  const std::string_view cell = text(column);
  if (cell.empty()) return {};
  DateSlip slip;
  const auto date = read_date(cell, slip);
  if (!date) {
    error(slip.code, place(column), fmt::format("{}: {}", names_[column], slip.message), slip.remedy);
    return {};
  }
  if (future == Future::allowed || date->earliest() <= as_of) return *date;
  if (future == Future::leave_out) {
    later_day_ = true;
    return *date;
  }
  error("date-future", place(column),
        fmt::format("{}: {} is after {}, the day this is worked out for", names_[column], quoted(cell),
                    to_text(as_of)),
        "correct the date, or set as_of");
  return {};
}

std::optional<double> TableReader::number(std::size_t column) {
  const std::string_view cell = text(column);
  if (cell.empty()) return std::nullopt;
  if (const auto value = read_number(cell)) return value;
  std::string point(cell);
  std::replace(point.begin(), point.end(), ',', '.');
  const bool comma = cell.find(',') != std::string_view::npos && read_number(point).has_value();
  error("number-form", place(column), fmt::format("{}: {} is no number", names_[column], quoted(cell)),
        comma ? fmt::format("write {}, with a point", point) : "write a number such as 12 or 0.5");
  return std::nullopt;
}

std::optional<double> TableReader::amount(std::size_t column) {
  const auto value = number(column);
  if (!value || *value >= 0.0) return value;
  error("negative", place(column),
        fmt::format("{}: {} is below zero", names_[column], quoted(text(column))), "correct the number");
  return std::nullopt;
}

std::optional<std::uint32_t> TableReader::count(std::size_t column) {
  const auto value = amount(column);
  if (!value) return std::nullopt;
  if (*value == std::floor(*value) && *value <= 1e9) return static_cast<std::uint32_t>(*value);
  error("number-form", place(column),
        fmt::format("{}: {} is no whole number", names_[column], quoted(text(column))),
        "write a whole number");
  return std::nullopt;
}

std::optional<double> TableReader::share(std::size_t column) {
  const auto value = amount(column);
  if (!value || *value <= 1.0) return value;
  error("number-form", place(column),
        fmt::format("{}: {} is above 1", names_[column], quoted(text(column))),
        "write a share between 0 and 1, such as 0.5");
  return std::nullopt;
}

std::optional<std::size_t> TableReader::word(std::size_t column,
                                             std::span<const std::string_view> words) {
  const std::string_view cell = text(column);
  if (cell.empty()) return std::nullopt;
  const std::string low = lower_ascii(cell);
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (low == words[i]) return i;
  }
  std::string list;
  for (const std::string_view each : words) list += (list.empty() ? "" : ", ") + std::string(each);
  const auto near = nearest(low, words);
  error("word-unknown", place(column),
        fmt::format("{}: {} is not a word of this column", names_[column], quoted(cell)),
        near ? fmt::format("did you mean '{}'?", *near) : fmt::format("write one of: {}", list));
  return std::nullopt;
}

}  // namespace doewright
