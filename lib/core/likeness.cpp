// SPDX-License-Identifier: MIT
#include <algorithm>
#include <utility>
#include <vector>

#include <doewright/core/text.hpp>

#include "utf8.hpp"

namespace doewright {

namespace {

// The letter under the accent, by code point; a dot: there is none.
// Source: canonical decompositions of the Unicode Character Database, version 14, and letters with
// a stroke or without a dot, which have no decomposition, by hand.
constexpr char32_t latin_start = 0xC0;
constexpr std::string_view latin =  // U+00C0 to U+024F
    "aaaaaa.ceeeeiiiidnooooo.ouuuuy..aaaaaa.ceeeeiiiidnooooo.ouuuuy.y"
    "aaaaaaccccccccddddeeeeeeeeeeggggggggghhhiiiiiiiiii..jjkkkllllll."
    ".llnnnnnn.nnoooooo..rrrrrrssssssssttttttuuuuuuuuuuuuwwyyyzzzzzzs"
    "b......................i........oo.............uu....zz........."
    ".............aaiioouuuuuuuuuu.aaaa..ggggkkoooo..j...gg..nnaa..oo"
    "aaaaeeeeiiiioooorrrruuuusstt..hh......aaeeooooooooyy............"
    "...b............";
constexpr char32_t more_latin_start = 0x1E00;
constexpr std::string_view more_latin =  // U+1E00 to U+1EFF
    "aabbbbbbccddddddddddeeeeeeeeeeffgghhhhhhhhhhiiiikkkkkkllllllllmm"
    "mmmmnnnnnnnnoooooooopppprrrrrrrrssssssssssttttttttuuuuuuuuuuvvvv"
    "wwwwwwwwwwxxxxyyzzzzzzhtwy.s....aaaaaaaaaaaaaaaaaaaaaaaaeeeeeeee"
    "eeeeeeeeiiiioooooooooooooooooooooooouuuuuuuuuuuuuuyyyyyyyy......";

/// Letters that are written out as two (or as none of the table's).
std::string_view written_out(char32_t c) {
  switch (c) {
    case 0xC6:
    case 0xE6:
      return "ae";
    case 0xDE:
    case 0xFE:
      return "th";
    case 0xDF:
    case 0x1E9E:
      return "ss";
    case 0x132:
    case 0x133:
      return "ij";
    case 0x13F:
    case 0x140:
      return "l";
    case 0x149:
      return "n";
    case 0x14A:
    case 0x14B:
      return "n";
    case 0x152:
    case 0x153:
      return "oe";
    default:
      return {};
  }
}

std::string_view without_accent(char32_t c) {
  const auto looked_up = [c](char32_t start, std::string_view letters) -> std::string_view {
    if (c < start || c >= start + letters.size()) return {};
    const std::string_view letter = letters.substr(c - start, 1);
    return letter == "." ? std::string_view{} : letter;
  };
  const std::string_view letter = looked_up(latin_start, latin);
  return letter.empty() ? looked_up(more_latin_start, more_latin) : letter;
}

/// Blanks, punctuation and marks that stand over, under or between letters.
bool is_put_aside(char32_t c) {
  if (c < 0x80) {
    const bool digit = c >= '0' && c <= '9';
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    return c <= 0x20 || c == 0x7F || (!digit && !letter);
  }
  return (c >= 0x80 && c <= 0xBF) || c == 0xD7 || c == 0xF7 ||  // Latin-1 signs
         (c >= 0x300 && c <= 0x36F) ||                          // combining marks
         (c >= 0x2000 && c <= 0x206F) || (c >= 0x3000 && c <= 0x3003) || c == 0xFEFF;
}

/// Greek and Cyrillic letters in lower case; others unchanged.
char32_t lower_other(char32_t c) {
  if (c >= 0x391 && c <= 0x3A9) return c + 0x20;
  if (c == 0x3C2) return 0x3C3;  // the sigma at the end of a word
  if (c >= 0x410 && c <= 0x42F) return c + 0x20;
  if (c >= 0x400 && c <= 0x40F) return c + 0x50;
  return c;
}

/// \pre c is below U+0800 (Greek and Cyrillic are).
std::string two_bytes(char32_t c) {
  return {static_cast<char>(0xC0 | (c >> 6)), static_cast<char>(0x80 | (c & 0x3F))};
}

std::vector<char32_t> characters_of(std::string_view text) {
  std::vector<char32_t> result;
  result.reserve(text.size());
  for_each_character(text, [&](const Character& character, std::string_view) {
    // A byte that is no UTF-8 is unlike every character: numbered past the last of them.
    result.push_back(character.valid ? character.code : 0x110000 + character.code);
  });
  return result;
}

}  // namespace

std::string folded(std::string_view text) {
  std::string result;
  result.reserve(text.size());
  for_each_character(text, [&](const Character& character, std::string_view bytes) {
    const char32_t c = character.code;
    if (!character.valid) {
      result += bytes;
    } else if (is_put_aside(c)) {
      return;
    } else if (const std::string_view letter = without_accent(c); !letter.empty()) {
      result += letter;
    } else if (const std::string_view letters = written_out(c); !letters.empty()) {
      result += letters;
    } else if (const char32_t lower = lower_other(c); lower != c) {
      result += two_bytes(lower);
    } else {
      result += lower_ascii(bytes);
    }
  });
  return result;
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
  const std::vector<char32_t> from = characters_of(a);
  const std::vector<char32_t> to = characters_of(b);
  // Row i holds the edits from the first i characters of a to the first j of b.
  std::vector<std::size_t> before_last(to.size() + 1), last(to.size() + 1), row(to.size() + 1);
  for (std::size_t j = 0; j <= to.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= from.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= to.size(); ++j) {
      const std::size_t replaced = last[j - 1] + (from[i - 1] == to[j - 1] ? 0 : 1);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, replaced});
      const bool swapped = i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1];
      if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
    }
    std::swap(before_last, last);
    std::swap(last, row);
  }
  return last[to.size()];
}

std::optional<std::string_view> nearest(std::string_view word,
                                        std::span<const std::string_view> candidates) {
  const std::size_t length = count_characters(word);
  std::size_t best = std::max<std::size_t>(1, length / 3) + 1;
  std::optional<std::string_view> found;
  for (const std::string_view candidate : candidates) {
    const std::size_t other = count_characters(candidate);
    if (std::max(length, other) - std::min(length, other) >= best) continue;  // too far by length
    const std::size_t distance = edit_distance(word, candidate);
    if (distance < best) {
      best = distance;
      found = candidate;
    }
  }
  return found;
}

}  // namespace doewright
