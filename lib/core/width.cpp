// SPDX-License-Identifier: MIT
#include <algorithm>
#include <iterator>

#include <doewright/core/text.hpp>

#include "utf8.hpp"
#include "width_table.hpp"

namespace doewright {

namespace {

template <std::size_t count>
bool is_in(const CharacterRange (&ranges)[count], char32_t c) noexcept {
  const auto after = std::upper_bound(
      std::begin(ranges), std::end(ranges), c,
      [](char32_t code, const CharacterRange& range) { return code < range.first; });
  return after != std::begin(ranges) && c <= std::prev(after)->last;
}

}  // namespace

std::size_t width_of(const Character& character) noexcept {
  const char32_t c = character.code;
  if (!character.valid) return 1;  // terminals show one replacement sign
  if (c < 0x20 || (c >= 0x7F && c < 0xA0)) return 0;
  if (c < 0x300) return 1;  // before the first combining mark: most text ends here
  if (is_in(no_column, c)) return 0;
  return is_in(two_columns, c) ? 2 : 1;
}

std::size_t display_width(std::string_view text) noexcept {
  std::size_t width = 0;
  for_each_character(
      text, [&](const Character& character, std::string_view) { width += width_of(character); });
  return width;
}

std::string cut_to_width(std::string_view text, std::size_t width) {
  if (display_width(text) <= width) return std::string(text);
  if (width == 0) return {};
  std::string result;
  std::size_t used = 0;
  while (!text.empty()) {
    const Character character = first_character(text);
    used += width_of(character);
    if (used + 1 > width) break;  // a column is kept for the sign that something is missing
    result += text.substr(0, character.size);
    text.remove_prefix(character.size);
  }
  return result + "…";
}

std::string pad_right(std::string_view text, std::size_t width) {
  const std::size_t used = display_width(text);
  std::string result(text);
  if (used < width) result.append(width - used, ' ');
  return result;
}

std::string pad_left(std::string_view text, std::size_t width) {
  const std::size_t used = display_width(text);
  std::string result(used < width ? width - used : 0, ' ');
  return result += text;
}

}  // namespace doewright
