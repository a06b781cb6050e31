// SPDX-License-Identifier: MIT
#pragma once
/// A TOML file as a tree of plain values, each with the place where it stands.
///
/// The parser behind it is included in toml_tree.cpp alone, so that whoever reads settings does not
/// pay for it at compile time.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/problem.hpp>

namespace doewright {

/// Line and column of a character, both from 1; 0 is "not known".
struct TomlPlace {
  std::uint32_t line = 0;
  std::uint32_t column = 0;
};

enum class TomlKind : std::uint8_t { table, array, text, integer, number, flag, date, other };

/// "a number", "a date": how a kind is called in a complaint.
std::string_view word(TomlKind kind) noexcept;

struct TomlEntry;

struct TomlValue {
  TomlKind kind = TomlKind::other;
  TomlPlace place;
  std::string text;                ///< text
  double number = 0.0;             ///< integer and number; an integer is exact up to 2^53.
  std::int64_t integer = 0;        ///< integer
  bool flag = false;               ///< flag
  std::optional<Date> date;        ///< date; empty for a day that does not exist (year 0).
  std::vector<TomlValue> items;    ///< array
  std::vector<TomlEntry> entries;  ///< table, in the order of the file
};

struct TomlEntry {
  std::string key;
  TomlPlace place;  ///< Of the key.
  TomlValue value;
};

/// The file as one table. What is no TOML is one error `toml-form`, and the result is empty.
std::optional<TomlValue> parse_toml(std::string_view text, std::string_view file,
                                    std::vector<Problem>& problems);

}  // namespace doewright
