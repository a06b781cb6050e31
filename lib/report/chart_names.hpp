// SPDX-License-Identifier: MIT
#pragma once
/// Names in drawings, which do not wrap: how wide they are in the widest face a page may fall back
/// to.
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace doewright {

/// Width of a text in bold at `size`, in the units of the size. ASCII is measured (DejaVu Sans
/// Bold, in a browser), other letters are taken at a wide one of their script.
double drawn_width(std::string_view text, double size);

/// The text cut with "…" to fit `width`; at least its first letter.
std::string drawn_to_fit(std::string_view text, double width, double size);

/// The text on at most `lines` lines of `width`, broken at blanks and after hyphens; the
/// last one is cut.
/// \pre lines >= 1.
std::vector<std::string> drawn_lines(std::string_view text, double width, double size,
                                     std::size_t lines);

}  // namespace doewright
