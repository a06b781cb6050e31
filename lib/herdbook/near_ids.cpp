// SPDX-License-Identifier: MIT
#include "near_ids.hpp"

#include <algorithm>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

constexpr std::size_t most_comparisons = 1'000'000;  // a second or so
constexpr std::size_t longest_id = 40;               // bytes; a longer one is not compared

bool is_digit(char c) noexcept {
  return c >= '0' && c <= '9';
}

bool same_digits(std::string_view a, std::string_view b) noexcept {
  std::size_t j = 0;
  for (const char c : a) {
    if (!is_digit(c)) continue;
    while (j < b.size() && !is_digit(b[j])) ++j;
    if (j == b.size() || b[j++] != c) return false;
  }
  return std::none_of(b.begin() + static_cast<std::ptrdiff_t>(j), b.end(), is_digit);
}

}  // namespace

NearIds::NearIds(const BuiltPedigree& built, std::size_t searches)
    : built_(built), worth_it_(searches * built.ids.size() <= most_comparisons) {}

std::optional<Animal> NearIds::nearest_to(std::string_view id) const {
  if (!worth_it_ || id.size() > longest_id) return std::nullopt;
  const std::string wanted = lower_ascii(id), wanted_folded = folded(id);
  const std::size_t most_edits = std::max<std::size_t>(1, count_characters(id) / 3);
  std::optional<Animal> nearest;
  std::size_t fewest = most_edits + 1;
  for (std::uint32_t i = 0; i < built_.ids.size(); ++i) {
    const std::string_view other = built_.ids[Animal{i}];
    if (built_.line_of[i] == 0 || other.size() > longest_id || !same_digits(id, other)) continue;
    const bool same = folded(other) == wanted_folded;
    const std::size_t edits = same ? 0 : edit_distance(wanted, lower_ascii(other));
    if (edits >= fewest || edits >= count_characters(id)) continue;
    fewest = edits;
    nearest = Animal{i};
  }
  return nearest;
}

}  // namespace doewright
