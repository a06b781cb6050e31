// SPDX-License-Identifier: MIT
#include "table_reader.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

constexpr std::size_t most_hints =
    100;  // unknown columns of one file that are compared with the known

/// Names of a column that mean another one.
std::string_view without_alias(std::string_view key) {
  return key == "birth" || key == "birthdate" ? "born" : key;
}

}  // namespace

TableReader::TableReader(std::string_view text, std::string_view file, Table table,
                         std::span<const ColumnName> columns, Complaints* complaints,
                         const std::vector<std::string>& other_columns)
    : file_(file),
      table_(table),
      complaints_(complaints),
      csv_(text, file, complaints),
      where_(columns.size(), absent),
      watch_repeats_(table != Table::animals && table != Table::none) {
  for (const ColumnName& column : columns) names_.push_back(column.name);
  if (!csv_.usable()) return;
  usable_ = true;
  if (!match_columns(columns, other_columns)) give_up();
}

void TableReader::give_up() {
  usable_ = false;
  if (complaints_ != nullptr) complaints_->whole_file_lost();
}

bool TableReader::match_columns(std::span<const ColumnName> columns,
                                const std::vector<std::string>& others) {
  std::vector<std::string> keys, other_keys;
  for (const ColumnName& column : columns) keys.push_back(column_key(column.name));
  for (const std::string& name : others) other_keys.push_back(column_key(name));
  bool good = true;
  for (std::size_t i = 0; i < csv_.header().size(); ++i) {
    if (csv_.header()[i].empty()) continue;
    good = take_column(i, keys, other_keys) && good;
  }
  const bool any =
      std::any_of(where_.begin(), where_.end(), [](std::size_t at) { return at != absent; });
  if (!any) {
    error("header-missing", place_of_header(), "no column has a name that this table knows",
          fmt::format("write the names of the columns on line 1, such as {}", names_.front()));
    return false;
  }
  if (table_ != Table::examinations) {
    for (const std::size_t i : unknown_) say_unknown_column(i, names_);
  }
  for (std::size_t c = 0; c < columns.size(); ++c) {
    if (!columns[c].required || has(c)) continue;
    error("column-missing", place_of_header(),
          fmt::format("the column '{}' is missing", columns[c].name), "add it to the header");
    good = false;
  }
  return good;
}

/// False if the column was there already.
bool TableReader::take_column(std::size_t index, std::span<const std::string> keys,
                              std::span<const std::string> other_keys) {
  const std::string full_key = column_key(csv_.header()[index]);
  const std::string_view key = without_alias(full_key);
  if (const auto column = std::find(keys.begin(), keys.end(), key); column != keys.end()) {
    std::size_t& where = where_[static_cast<std::size_t>(column - keys.begin())];
    const bool twice = where != absent;
    if (twice) {
      column_twice(index);
    } else {
      where = index;
    }
    return !twice;
  }
  const auto other = std::find(other_keys.begin(), other_keys.end(), full_key);
  if (other == other_keys.end()) {
    unknown_.push_back(index);
    return true;
  }
  const auto number = static_cast<std::size_t>(other - other_keys.begin());
  const bool twice = std::any_of(others_.begin(), others_.end(),
                                 [&](const auto& each) { return each.first == number; });
  if (twice) {
    column_twice(index);
  } else {
    others_.emplace_back(number, index);
  }
  return !twice;
}

void TableReader::column_twice(std::size_t index) {
  error("column-twice", header_place(index),
        fmt::format("the column {} stands twice", quoted(header_text(index))),
        "keep one of the two columns");
}

void TableReader::say_unknown_column(std::size_t index, std::span<const std::string_view> known) {
  const bool compare = unknown_.size() <= most_hints;
  const auto near = compare ? near_word(lower_ascii(header_text(index)), known) : std::nullopt;
  warning("column-unknown", header_place(index),
          fmt::format("the column {} is not known and is not read", quoted(header_text(index))),
          did_you_mean(near, "rename it, or leave it out"));
}

bool TableReader::next() {
  if (!usable_) return false;
  while (csv_.next()) {
    later_day_ = false;
    about_.clear();
    if (!watch_repeats_ || !is_repeated()) return true;
    warning("record-twice", place_of_row(), "this row repeats an earlier one",
            "it is read once; take it out");
  }
  if (!csv_.any_row()) {
    warning("rows-none", {}, "the table has a header and no rows",
            "fill it, or leave the file out");
  }
  return false;
}

/// Only a hash and a place are kept of each row; of equal hashes the cells decide.
bool TableReader::is_repeated() {
  std::size_t hash = 0;
  for (std::size_t i = 0; i < csv_.header().size(); ++i) {
    hash = hash * 0x9E3779B97F4A7C15u + std::hash<std::string_view>()(csv_.text(i));
  }
  const auto [first, is_new] = seen_.try_emplace(hash, csv_.row_begin());
  return !is_new && csv_.same_cells_as(first->second);
}

void TableReader::error(std::string_view code, Place place, std::string message,
                        std::string remedy) {
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
  if (!text(column).empty()) return id_or_blank(column);
  error("id-empty", place(column), fmt::format("the {} is blank", names_[column]),
        "write the id of the animal, or take the row out");
  return std::nullopt;
}

std::string_view TableReader::words_of(std::size_t column) {
  const std::string_view cell = text(column);
  if (cell.find('\0') == std::string_view::npos) return cell;
  error("encoding", place(column), fmt::format("the {} holds a NUL byte", names_[column]),
        "write the text again");
  return {};
}

PartialDate TableReader::date(std::size_t column, Future future, Date as_of) {
  const std::string_view cell = text(column);
  if (cell.empty()) return {};
  DateSlip slip;
  const auto date = read_date(cell, slip);
  if (!date) {
    error(slip.code, place(column), fmt::format("{}: {}", names_[column], slip.message),
          slip.remedy);
    return {};
  }
  if (future == Future::allowed || date->earliest() <= as_of) return *date;
  if (future == Future::leave_out) {
    later_day_ = true;
    return *date;
  }
  error("date-future", place(column),
        fmt::format("{}: {} is after {}, the day this is worked out for", names_[column],
                    quoted(cell), to_text(as_of)),
        "correct the date, or set as_of");
  return {};
}

std::optional<double> TableReader::number(std::size_t column) {
  const std::string_view cell = text(column);
  if (cell.empty()) return std::nullopt;
  if (const auto value = read_number(cell)) return value;
  std::string point(cell.substr(0, 64));
  std::replace(point.begin(), point.end(), ',', '.');
  const bool comma = point != cell && read_number(point).has_value();
  error("number-form", place(column),
        fmt::format("{}: {} is no number", names_[column], quoted(cell)),
        comma ? fmt::format("write {}, with a point", point) : "write a number such as 12 or 0.5");
  return std::nullopt;
}

std::optional<double> TableReader::amount(std::size_t column) {
  const auto value = number(column);
  if (!value || *value >= 0.0) return value;
  error("negative", place(column),
        fmt::format("{}: {} is below zero", names_[column], quoted(text(column))),
        "correct the number");
  return std::nullopt;
}

std::optional<std::uint32_t> TableReader::count(std::size_t column) {
  const auto value = amount(column);
  if (!value) return std::nullopt;
  if (*value == std::floor(*value) && *value <= 1e9) return static_cast<std::uint32_t>(*value);
  error("number-form", place(column),
        fmt::format("{}: {} is no whole number up to 1000000000", names_[column],
                    quoted(text(column))),
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
  const auto found = std::find(words.begin(), words.end(), low);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  error("word-unknown", place(column),
        fmt::format("{}: {} is not a word of this column", names_[column], quoted(cell)),
        did_you_mean(near_word(low, words), fmt::format("write one of: {}", joined(words))));
  return std::nullopt;
}

void UnknownMarks::say(Complaints& complaints, std::string_view file,
                       std::string_view remedy) const {
  if (count_ == 0) return;
  complaints.warning("unknown-mark", file, first_.line, first_.column, {},
                     fmt::format("{} {} a mark for \"not known\" (?, -, 0, unknown or the like), "
                                 "first here",
                                 count_, count_ == 1 ? "parent is" : "parents are"),
                     std::string(remedy));
}

void UnknownMarks::say_own_ids(Complaints& complaints, std::string_view file) const {
  if (count_ == 0) return;
  complaints.warning(
      "unknown-mark", file, first_.line, first_.column, {},
      fmt::format("{} for an id a mark that means \"not known\" (?, -, unknown or the "
                  "like), first here; no row can name it as a parent",
                  count_ == 1 ? "1 animal has" : fmt::format("{} animals have", count_)),
      "give each animal an id of its own");
}

void BlankCells::say(Complaints& complaints, Table table, std::string_view column) const {
  if (count_ == 0) return;
  complaints.warning("cell-blank", file_name(table), first_.line, first_.column, {},
                     fmt::format("the {} is blank in {}, first here", column,
                                 count_ == 1 ? "1 row" : fmt::format("{} rows", count_)),
                     "such a row says nothing: fill it in, or take it out");
}

}  // namespace doewright
