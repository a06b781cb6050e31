// SPDX-License-Identifier: MIT
#pragma once
/// What faults.toml and traits.toml have in common: a file of entries, each a table with a key of
/// the keeper's choosing, beside the entries that are built in.
#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/core.h>

#include <doewright/core/text.hpp>

#include "toml_reader.hpp"

namespace doewright {

/// More entries than anybody declares: beyond it the file is refused instead of read for minutes.
inline constexpr std::size_t most_toml_entries = 1000;

/// Does the text say that its numbers are assumed?
inline bool says_assumed(std::string_view source) {
  return lower_ascii(source).find("assumed") != std::string::npos;
}

/// A key as column headers are compared: case, blanks and _ put aside.
inline std::string header_form(std::string_view key) {
  std::string form = lower_ascii(key);
  std::erase_if(form, [](char c) { return c == '_' || c == ' '; });
  return form;
}

/// The entry with this key, or nothing.
template <typename Entry>
const Entry* find_entry(const std::vector<Entry>& entries, std::string_view key) {
  const auto at =
      std::find_if(entries.begin(), entries.end(), [&](const Entry& e) { return e.key == key; });
  return at == entries.end() ? nullptr : &*at;
}

/// The keeper's entries, then the built-ins that she did not replace.
template <typename Entry>
std::vector<Entry> with_built_in(std::vector<Entry> own, std::vector<Entry> built_in) {
  const std::size_t written = own.size();
  for (Entry& entry : built_in) {
    const bool replaced =
        std::any_of(own.begin(), own.begin() + static_cast<std::ptrdiff_t>(written),
                    [&](const Entry& e) { return e.key == entry.key; });
    if (!replaced) own.push_back(std::move(entry));
  }
  return own;
}

/// Complains about a key that cannot serve as a name in the tables; true if it can.
/// `taken`: keys that stand already; `reserved`: columns that mean something else.
bool key_is_good(const TomlEntry& entry, std::string_view what,
                 const std::vector<std::string_view>& taken,
                 std::span<const std::string_view> reserved, TomlComplaints& complaints);

/// An entry that holds nothing but `use` and names a built-in: switches that one on or off.
bool only_switches(const TomlEntry& entry);

}  // namespace doewright
