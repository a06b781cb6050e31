// SPDX-License-Identifier: MIT
#pragma once
/// One CSV file of the herd book, by the names of its columns. Every reading function says what is
/// wrong and then gives "not known", so that one way of reading serves with and without setting
/// aside.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/table.hpp>

#include "cells.hpp"
#include "complaints.hpp"
#include "csv_reader.hpp"

namespace doewright {

/// A column that a table may have.
struct ColumnName {
  std::string_view name;
  bool required = false;
};

/// The international avoirdupois pound, exact by definition (1959).
inline constexpr double kilograms_per_pound = 0.45359237;

/// What a date after as-of means.
enum class Future : std::uint8_t {
  is_error,   ///< as-of is today: a slip.
  leave_out,  ///< as-of was set by hand: the row is of a later day.
  allowed,
};

class TableReader {
 public:
  /// \param columns  the table's columns; their order gives the indices used below.
  /// \param other_columns  other names that are columns to the caller (fault keys).
  TableReader(std::string_view text, std::string_view file, Table table,
              std::span<const ColumnName> columns, Complaints* complaints,
              const std::vector<std::string>& other_columns = {});

  bool usable() const noexcept { return usable_; }
  /// Gives the file up as a whole; what is wrong was said.
  void give_up();
  /// The next row that is not a repetition of an earlier one.
  bool next();
  Row row() const noexcept { return {table_, csv_.line()}; }

  bool has(std::size_t column) const noexcept { return where_[column] != absent; }
  std::string_view text(std::size_t column) const noexcept {
    return has(column) ? csv_.text(where_[column]) : std::string_view();
  }
  bool is_plain(std::size_t column) const noexcept {
    return !has(column) || csv_.is_plain(where_[column]);
  }
  Place place(std::size_t column) const noexcept {
    return has(column) ? csv_.place(where_[column]) : Place{csv_.line(), 0};
  }
  Place place_of_row() const noexcept { return {csv_.line(), 0}; }
  Place place_of_header() const { return {csv_.header_places().front().line, 0}; }

  /// Columns of other_columns that the file has: index there, and in the file.
  const std::vector<std::pair<std::size_t, std::size_t>>& others() const noexcept {
    return others_;
  }
  std::string_view other_text(std::size_t at) const noexcept {
    return csv_.text(others_[at].second);
  }
  Place other_place(std::size_t at) const noexcept { return csv_.place(others_[at].second); }
  /// Columns that are neither: only of examinations, where the caller asks if they were meant as
  /// faults.
  const std::vector<std::size_t>& unknown_columns() const noexcept { return unknown_; }
  std::string_view header_text(std::size_t index) const { return csv_.header()[index]; }
  Place header_place(std::size_t index) const { return csv_.header_places()[index]; }
  void say_unknown_column(std::size_t index, std::span<const std::string_view> known);

  /// The animal the row is about, for complaints.
  void about(std::string_view animal) { about_ = animal; }

  /// An id that is not blank and holds no control character; else it is said and nothing is given.
  std::optional<std::string_view> id(std::size_t column);
  /// The same, but blank is simply nothing.
  std::optional<std::string_view> id_or_blank(std::size_t column);
  /// Text for people; one that holds a NUL is no text (said) and blank.
  std::string_view words_of(std::size_t column);
  PartialDate date(std::size_t column, Future future, Date as_of);
  /// True once a date of this row was after as-of and rows of later days are left out.
  bool of_a_later_day() const noexcept { return later_day_; }
  std::optional<double> number(std::size_t column);
  /// Not negative, for weights, prices and counts.
  std::optional<double> amount(std::size_t column);
  std::optional<std::uint32_t> count(std::size_t column);
  std::optional<double> share(std::size_t column);  ///< 0..1
  /// The index of the word, or nothing (said) if it is none of them.
  std::optional<std::size_t> word(std::size_t column, std::span<const std::string_view> words);

  void error(std::string_view code, Place place, std::string message, std::string remedy);
  void warning(std::string_view code, Place place, std::string message, std::string remedy);

 private:
  static constexpr std::size_t absent = static_cast<std::size_t>(-1);
  bool match_columns(std::span<const ColumnName> columns, const std::vector<std::string>& others);
  bool take_column(std::size_t index, std::span<const std::string> keys,
                   std::span<const std::string> other_keys);
  void column_twice(std::size_t index);
  bool is_repeated();

  std::string file_;
  Table table_;
  Complaints* complaints_;
  CsvReader csv_;
  std::vector<std::string_view> names_;
  std::vector<std::size_t> where_;
  std::vector<std::pair<std::size_t, std::size_t>> others_;
  std::vector<std::size_t> unknown_;
  std::unordered_map<std::size_t, std::size_t> seen_;  // hash of a row: where the first one begins
  std::string about_;
  bool usable_ = false;
  bool later_day_ = false;
  bool watch_repeats_ = true;
};

/// Rows that say nothing because the cell for which they are written is blank: said once, with
/// their number.
class BlankCells {
 public:
  void note(Place place) noexcept {
    if (count_++ == 0) first_ = place;
  }
  /// \param column  its name in the table.
  void say(Complaints& complaints, Table table, std::string_view column) const;

 private:
  std::size_t count_ = 0;
  Place first_;
};

/// Cells of a table that mean "not known" as a parent: said once, with their number.
class UnknownMarks {
 public:
  void note(Place place) noexcept {
    if (count_++ == 0) first_ = place;
  }
  void say(Complaints& complaints, std::string_view file, std::string_view remedy) const;
  /// The same of animals whose own id it is.
  void say_own_ids(Complaints& complaints, std::string_view file) const;

 private:
  std::size_t count_ = 0;
  Place first_;
};

}  // namespace doewright
