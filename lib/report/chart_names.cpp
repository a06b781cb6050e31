// SPDX-License-Identifier: MIT
#include "chart_names.hpp"

#include <algorithm>
#include <array>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

/// Hundredths of the size, from the blank (32) to the tilde (126).
constexpr std::array<int, 95> ascii_widths = {
    35, 46,  52, 84, 70, 100, 87, 31,  46, 46, 52, 84, 38, 42,  38, 37, 70, 70,  70,
    70, 70,  70, 70, 70, 70,  70, 40,  40, 84, 84, 84, 58, 100, 77, 76, 73, 83,  68,
    68, 82,  84, 37, 37, 77,  64, 100, 84, 85, 73, 85, 77, 72,  68, 81, 77, 110, 77,
    72, 73,  46, 37, 46, 84,  50, 50,  67, 72, 59, 72, 68, 44,  72, 71, 34, 34,  67,
    34, 104, 71, 69, 72, 72,  49, 60,  48, 71, 65, 92, 65, 65,  58, 71, 37, 71,  84};
constexpr double ellipsis = 1.0, wide_letter = 1.05, other_letter = 0.9, accented_letter = 0.85;

/// Bytes of the character that begins with this one. \pre UTF-8.
std::size_t bytes_of(unsigned char first) {
  if (first < 0x80) return 1;
  if (first < 0xE0) return 2;
  return first < 0xF0 ? 3 : 4;
}

double letter_width(std::string_view letter) {
  const auto first = static_cast<unsigned char>(letter.front());
  if (first < 32 || first == 127) return 0.0;
  if (first < 127) return ascii_widths.at(first - 32u) / 100.0;
  const std::size_t columns = display_width(letter);
  if (columns == 0) return 0.0;
  if (columns > 1) return wide_letter;
  return first >= 0xC3 && first <= 0xC9 ? accented_letter : other_letter;
}

/// Bytes of the text that fit.
std::size_t fitting(std::string_view text, double ems) {
  double used = 0.0;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t bytes = bytes_of(static_cast<unsigned char>(text[at]));
    used += letter_width(text.substr(at, bytes));
    if (used > ems) break;
    at += bytes;
  }
  return std::min(at, text.size());
}

}  // namespace

double drawn_width(std::string_view text, double size) {
  double ems = 0.0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t bytes = bytes_of(static_cast<unsigned char>(text[at]));
    ems += letter_width(text.substr(at, bytes));
    at += bytes;
  }
  return ems * size;
}

std::string drawn_to_fit(std::string_view text, double width, double size) {
  if (fitting(text, width / size) == text.size()) return std::string(text);
  std::size_t bytes = fitting(text, width / size - ellipsis);
  if (bytes == 0 && !text.empty()) bytes = bytes_of(static_cast<unsigned char>(text.front()));
  while (bytes > 1 && text[bytes - 1] == ' ') --bytes;
  return std::string(text.substr(0, bytes)) + "…";
}

std::vector<std::string> drawn_lines(std::string_view text, double width, double size,
                                     std::size_t lines) {
  std::vector<std::string> result;
  while (result.size() + 1 < lines) {
    const std::size_t bytes = fitting(text, width / size);
    if (bytes == text.size()) break;
    // At the last blank, or after the last hyphen, of what fits.
    const std::size_t last = text.substr(0, bytes).find_last_of(" -");
    if (last == std::string_view::npos || last == 0) break;
    result.emplace_back(text.substr(0, text[last] == ' ' ? last : last + 1));
    text = text.substr(last + 1);
  }
  result.push_back(drawn_to_fit(text, width, size));
  return result;
}

}  // namespace doewright
