// SPDX-License-Identifier: MIT
#pragma once
/// Every colour of a page, and every pair in which words or marks stand on a ground.
///
/// Plant dyes on undyed wool. A page names colours only by the classes that palette_sheet() writes:
/// `t-NAME` words, `g-NAME` a ground, `s-NAME` a line; on paper it is always light. The pairs are
/// the promise: a test works out the contrast of each one, light and dark, by the formula of
/// WCAG 2.2 (words 4.5 to 1, success criterion 1.4.3; marks 3 to 1, 1.4.11), and the browser test
/// sees to it that no page uses another.
#include <array>
#include <cstddef>
#include <cstdint>

#include "html_writer.hpp"

namespace doewright {

enum class Hue : std::uint8_t {
  page,       ///< Behind the sheet.
  paper,      ///< The sheet, and what stands on it.
  wool,       ///< Quiet ground: the subject, the foot, a bar.
  wool_dark,  ///< Second thread of the undyed weave, empty part of a bar.
  hair,       ///< Lines that only part rows; nothing depends on them.
  ink,        ///< Words, found squares.
  soft,       ///< Quiet words, thin lines.
  woad,       ///< Ancestor A: blue.
  woad_pale,  ///< Its second thread.
  madder,     ///< Ancestor B: red.
  madder_pale,
  loden,  ///< Ancestor C: green.
  loden_pale,
  bark,  ///< Ancestor D: brown.
  bark_pale,
  weld,      ///< Ear tags: yellow.
  weld_ink,  ///< Words on weld.
};

struct HueColours {
  HtmlName name;
  unsigned light, dark;  ///< 0xRRGGBB
};

inline constexpr std::array<HueColours, 17> palette = {{
    {"page", 0xeceae4, 0x12151b},
    {"paper", 0xffffff, 0x1b2029},
    {"wool", 0xf3eee3, 0x262d38},
    {"wool-dark", 0xe0d6c1, 0x333c4a},
    {"hair", 0xdcdad4, 0x39424f},
    {"ink", 0x1d2433, 0xece7dc},
    {"soft", 0x4d566a, 0xb6bdca},
    {"woad", 0x2b5c8f, 0x8fb8e0},
    {"woad-pale", 0x8fb4d8, 0x3c6894},
    {"madder", 0xa3312a, 0xf0a393},
    {"madder-pale", 0xf2c3b4, 0x8c433a},
    {"loden", 0x1f5a4b, 0x86cbb4},
    {"loden-pale", 0xa9d2c4, 0x2f6f5d},
    {"bark", 0x6b4a1d, 0xdcb878},
    {"bark-pale", 0xdcc59a, 0x785a2c},
    {"weld", 0xe0a526, 0xe0a526},
    {"weld-ink", 0x2b1f00, 0x2b1f00},
}};

struct HuePair {
  Hue over, ground;
  double least;  ///< Contrast ratio that must be reached.
};

inline constexpr double words_contrast = 4.5, marks_contrast = 3.0;

/// Words (t-) and the grounds they stand on, then lines and filled marks (s-, g-) on theirs.
inline constexpr std::array<HuePair, 29> palette_pairs = {{
    {Hue::ink, Hue::paper, words_contrast},
    {Hue::ink, Hue::wool, words_contrast},
    {Hue::ink, Hue::wool_dark, words_contrast},
    {Hue::ink, Hue::page, words_contrast},
    {Hue::soft, Hue::paper, words_contrast},
    {Hue::soft, Hue::wool, words_contrast},
    {Hue::soft, Hue::page, words_contrast},
    {Hue::woad, Hue::paper, words_contrast},
    {Hue::woad, Hue::wool, words_contrast},
    {Hue::madder, Hue::paper, words_contrast},
    {Hue::madder, Hue::wool, words_contrast},
    {Hue::loden, Hue::paper, words_contrast},
    {Hue::loden, Hue::wool, words_contrast},
    {Hue::bark, Hue::paper, words_contrast},
    {Hue::bark, Hue::wool, words_contrast},
    {Hue::weld_ink, Hue::weld, words_contrast},
    {Hue::paper, Hue::ink, words_contrast},
    // Marks. Of a weave both threads are looked at: the dark one stands out from the sheet, and the
    // two from each other as far as the weave carries meaning beside its letter and line.
    {Hue::ink, Hue::paper, marks_contrast},
    {Hue::soft, Hue::paper, marks_contrast},
    {Hue::soft, Hue::wool, marks_contrast},
    {Hue::woad, Hue::paper, marks_contrast},
    {Hue::madder, Hue::paper, marks_contrast},
    {Hue::loden, Hue::paper, marks_contrast},
    {Hue::bark, Hue::paper, marks_contrast},
    {Hue::ink, Hue::wool_dark, marks_contrast},
    {Hue::soft, Hue::wool_dark, marks_contrast},
    {Hue::ink, Hue::wool, marks_contrast},
    {Hue::woad, Hue::wool, marks_contrast},
    {Hue::woad, Hue::wool_dark, marks_contrast},
}};

constexpr const HueColours& colours(Hue hue) noexcept {
  return palette[static_cast<std::size_t>(hue)];
}

/// The colours as custom properties, light and dark, and the classes t-, g- and s- of each.
HtmlSheet& palette_sheet(HtmlSheet& sheet);

}  // namespace doewright
