// SPDX-License-Identifier: MIT
#include <doewright/core/text.hpp>

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>

#include "utf8.hpp"

namespace doewright {

namespace {

/// Does it change what a terminal does or how the rest of the line reads?
bool is_control(char32_t c) noexcept {
  if (c < 0x20 || (c >= 0x7F && c < 0xA0)) return true;
  if (c == 0x2028 || c == 0x2029) return true;                 // line and paragraph separator
  if (c == 0x061C || c == 0x200E || c == 0x200F) return true;  // direction marks
  return (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

bool is_blank_byte(char c) noexcept {
  return c == ' ' || c == '\t';
}

constexpr std::string_view no_break_space = "\xC2\xA0";

}  // namespace

// The table of well-formed byte sequences is Table 3-7 of The Unicode Standard.
Character first_character(std::string_view text) noexcept {
  const auto byte = [&](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u;
  };
  const auto follows = [&](std::size_t i, unsigned low = 0x80, unsigned high = 0xBF) {
    return byte(i) >= low && byte(i) <= high;
  };
  const auto bits = [&](std::size_t i) { return static_cast<char32_t>(byte(i) & 0x3F); };
  const unsigned lead = byte(0);
  if (lead < 0x80) return {static_cast<char32_t>(lead), 1, true};
  if (lead >= 0xC2 && lead <= 0xDF && follows(1)) {
    return {static_cast<char32_t>((lead & 0x1F) << 6) | bits(1), 2, true};
  }
  if (lead >= 0xE0 && lead <= 0xEF) {
    const unsigned low = lead == 0xE0 ? 0xA0 : 0x80;   // shorter forms exist below
    const unsigned high = lead == 0xED ? 0x9F : 0xBF;  // surrogates above
    if (follows(1, low, high) && follows(2)) {
      return {static_cast<char32_t>((lead & 0x0F) << 12) | bits(1) << 6 | bits(2), 3, true};
    }
  }
  if (lead >= 0xF0 && lead <= 0xF4) {
    const unsigned low = lead == 0xF0 ? 0x90 : 0x80;
    const unsigned high = lead == 0xF4 ? 0x8F : 0xBF;  // U+10FFFF is the last
    if (follows(1, low, high) && follows(2) && follows(3)) {
      return {static_cast<char32_t>((lead & 0x07) << 18) | bits(1) << 12 | bits(2) << 6 | bits(3),
              4, true};
    }
  }
  return {static_cast<char32_t>(lead), 1, false};
}

bool is_utf8(std::string_view text) noexcept {
  while (!text.empty()) {
    const Character character = first_character(text);
    if (!character.valid) return false;
    text.remove_prefix(character.size);
  }
  return true;
}

std::size_t count_characters(std::string_view text) noexcept {
  std::size_t count = 0;
  for_each_character(text, [&](const Character&, std::string_view) { ++count; });
  return count;
}

bool has_control(std::string_view text) noexcept {
  bool found = false;
  for_each_character(text, [&](const Character& character, std::string_view) {
    found = found || (character.valid && is_control(character.code));
  });
  return found;
}

std::string printable(std::string_view text) {
  std::string result;
  result.reserve(text.size());
  for_each_character(text, [&](const Character& character, std::string_view bytes) {
    if (character.valid && !is_control(character.code)) {
      result += bytes;
    } else {
      const char letter = character.valid ? 'u' : 'x';
      result += fmt::format("\\{}{{{:X}}}", letter, static_cast<unsigned>(character.code));
    }
  });
  return result;
}

std::string shortest(double value) {
  return value == 0.0 ? "0" : fmt::format("{}", value);  // fmt writes the shortest that reads back
}

std::string fixed(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  const bool all_zero = text.find_first_not_of("-0.") == std::string::npos;
  if (all_zero && text.front() == '-') text.erase(0, 1);
  return text;
}

std::string percent(double share, int decimals) {
  return fixed(100.0 * share, decimals) + " %";
}

std::optional<double> read_number(std::string_view text) noexcept {
  // from_chars would read "inf" and "nan" too: a number has a digit first, or second after - or .
  const std::size_t start = text.starts_with('-') ? 1 : 0;
  if (text.size() <= start) return std::nullopt;
  const char first = text[start];
  if (first != '.' && (first < '0' || first > '9')) return std::nullopt;
  double value = 0.0;
  const char* const end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, value);
  if (error != std::errc() || stop != end || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::string_view trimmed(std::string_view text) noexcept {
  for (bool more = true; more;) {
    more = false;
    if (!text.empty() && is_blank_byte(text.front())) {
      text.remove_prefix(1);
      more = true;
    } else if (text.starts_with(no_break_space)) {
      text.remove_prefix(no_break_space.size());
      more = true;
    }
  }
  for (bool more = true; more;) {
    more = false;
    if (!text.empty() && is_blank_byte(text.back())) {
      text.remove_suffix(1);
      more = true;
    } else if (text.ends_with(no_break_space)) {
      text.remove_suffix(no_break_space.size());
      more = true;
    }
  }
  return text;
}

std::string lower_ascii(std::string_view text) {
  std::string result(text);
  for (char& c : result) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return result;
}

std::string csv_text(std::string_view text) {
  if (text.empty()) return {};
  const bool formula = std::string_view("=+-@\t").find(text.front()) != std::string_view::npos;
  const bool special = text.find_first_of(",\"\r\n") != std::string_view::npos;
  // Blanks at the ends are part of the text, but many readers trim a field that is not quoted.
  const bool blank_end = is_blank_byte(text.front()) || is_blank_byte(text.back());
  if (!formula && !special && !blank_end) return std::string(text);
  std::string result = formula ? "\"'" : "\"";
  for (const char c : text) {
    result += c;
    if (c == '"') result += '"';
  }
  result += '"';
  return result;
}

}  // namespace doewright
