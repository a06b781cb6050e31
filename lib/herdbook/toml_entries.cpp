// SPDX-License-Identifier: MIT
#include "toml_entries.hpp"

namespace doewright {

bool key_is_good(const TomlEntry& entry, std::string_view what,
                 const std::vector<std::string_view>& taken,
                 std::span<const std::string_view> reserved, TomlComplaints& complaints) {
  if (entry.value.kind != TomlKind::table) {
    complaints.wrong(
        entry.value.place,
        fmt::format("{} is {}, not a {}", entry.key, word(entry.value.kind), what),
        fmt::format("begin a {0} with a line of its own, [its_key], and write its keys "
                    "below it",
                    what));
    return false;
  }
  if (trimmed(entry.key).empty() || trimmed(entry.key) != entry.key || has_control(entry.key)) {
    complaints.wrong(entry.place, fmt::format("the key of a {} is blank or not plain text", what),
                     "write a short word of letters, digits and _");
    return false;
  }
  const std::string form = header_form(entry.key);
  for (const std::string_view word : reserved) {
    if (header_form(word) != form) continue;
    complaints.wrong(
        entry.place,
        fmt::format("{} cannot be the key of a {}: it is a column of the tables", entry.key, what),
        "choose another word");
    return false;
  }
  for (const std::string_view key : taken) {
    if (key == entry.key || header_form(key) != form) continue;
    complaints.wrong(entry.place,
                     fmt::format("{} differs from the {} {} only in capitals, blanks or _",
                                 entry.key, what, key),
                     fmt::format("write {} to replace that one, or choose another word", key));
    return false;
  }
  return true;
}

bool only_switches(const TomlEntry& entry) {
  return entry.value.entries.size() == 1 && entry.value.entries[0].key == "use";
}

}  // namespace doewright
