// SPDX-License-Identifier: MIT
#pragma once
/// Asking a TOML table for its keys: each question checks type and bounds and complains with the
/// place and the remedy; what was never asked for is reported at the end as unknown.
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/problem.hpp>
#include <doewright/herd/season.hpp>

#include "toml_tree.hpp"

namespace doewright {

/// What a number may be. An open end is not allowed itself.
struct Bounds {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  bool low_open = false;
  bool high_open = false;
  bool hold(double x) const noexcept;
  std::string words() const;  ///< "a number from 0 to 1", "a number above 0".
};

inline constexpr Bounds any_number{};
inline constexpr Bounds not_negative{.low = 0.0};
inline constexpr Bounds above_zero{.low = 0.0, .low_open = true};
inline constexpr Bounds a_share{.low = 0.0, .high = 1.0};
inline constexpr Bounds share_below_one{.low = 0.0, .high = 1.0, .high_open = true};
inline constexpr Bounds inside_share{.low = 0.0, .high = 1.0, .low_open = true, .high_open = true};
inline constexpr Bounds a_correlation{
    .low = -1.0, .high = 1.0, .low_open = true, .high_open = true};

/// Where complaints about one file go.
struct TomlComplaints {
  std::string file;
  std::vector<Problem>& problems;

  /// `key-form`, an error.
  void wrong(TomlPlace place, std::string message, std::string remedy);
  /// `key-unknown`, a warning.
  void unused(TomlPlace place, std::string message, std::string remedy);
};

/// "near", in words for a remedy: `did you mean "weaning"?`, or the whole list.
std::string one_of(std::string_view found, std::span<const std::string_view> words);

/// One table of the file. Every getter answers nothing if the key is missing, and nothing after a
/// complaint if its value is wrong.
class TomlTable {
 public:
  /// `path` is the dotted name of the table, empty for the file itself; `value` must be a table.
  TomlTable(const TomlValue& value, std::string path, TomlComplaints& complaints)
      : value_(&value), path_(std::move(path)), complaints_(&complaints) {}

  TomlPlace place() const noexcept { return value_->place; }
  const std::string& path() const noexcept { return path_; }
  /// "kid.survive" for the key "survive" of the table kid.
  std::string dotted(std::string_view key) const;
  const TomlEntry* entry(std::string_view key) const;  ///< Does not count as asked for.
  bool has(std::string_view key) const { return entry(key) != nullptr; }
  /// Place of the key's value, or of the table.
  TomlPlace place_of(std::string_view key) const;

  std::optional<double> number(std::string_view key, const Bounds& bounds);
  std::optional<std::uint32_t> count(std::string_view key);
  std::optional<std::string> text(std::string_view key);
  std::optional<bool> flag(std::string_view key);
  std::optional<Date> date(std::string_view key);
  /// Index of the word that stands there.
  std::optional<std::size_t> choice(std::string_view key, std::span<const std::string_view> words);
  std::optional<std::vector<double>> numbers(std::string_view key, const Bounds& bounds);
  std::optional<std::vector<std::vector<double>>> rows(std::string_view key);
  std::optional<std::vector<std::string>> texts(std::string_view key);
  std::optional<TomlTable> table(std::string_view key);
  /// A number for all, or a table of breeds: {nubian = 0.05, other = 0.03}. Without `other` the
  /// table takes `other`, or is wrong if there is none to take. Names of breeds in lower case.
  std::optional<ByBreed> by_breed(std::string_view key, const Bounds& bounds,
                                  std::optional<double> other);
  /// Every key of the table counts as asked for (names that the keeper chooses).
  std::vector<const TomlEntry*> all_entries();

  /// Counts as asked for, so that it is not called unknown besides another complaint.
  void ignore(std::string_view key) { asked_.insert(std::string(key)); }
  bool asked(std::string_view key) const { return asked_.contains(key); }

  void wrong(std::string_view key, std::string message, std::string remedy) const;
  void unused(std::string_view key, std::string message, std::string remedy) const;
  void missing(std::string_view key, std::string remedy) const;

  /// Keys that nobody asked for: one warning each, with the nearest of `known` and where else the
  /// key belongs, if `elsewhere` (dotted names of the whole file) has it.
  void report_unknown(std::span<const std::string_view> known,
                      std::span<const std::string_view> elsewhere = {}) const;

  /// Dotted names of the keys read without complaint.
  std::set<std::string> good;

 private:
  const TomlEntry* ask(std::string_view key);
  void wrong_type(const TomlEntry& entry, std::string_view wanted) const;
  bool number_is_good(std::string_view name, const TomlValue& value, const Bounds& bounds) const;

  const TomlValue* value_;
  std::string path_;
  TomlComplaints* complaints_;
  std::set<std::string, std::less<>> asked_;
};

}  // namespace doewright
