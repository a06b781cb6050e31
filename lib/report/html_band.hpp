// SPDX-License-Identifier: MIT
#pragma once
/// The woven band at the head of a page: one block of equal width for each doe (or kid) it is about. It
/// says nothing that is not said in words below, so it is hidden from readers of the text.
#include <algorithm>
#include <cstddef>

#include "html_writer.hpp"
#include "pedigree_forms.hpp"

namespace doewright {

inline constexpr double band_high = 24.0;

/// Where a block stands.
struct BandBlock {
  double x, wide;
};

/// `draw(index, block)` for each block, left to right.
template <class Draw>
void woven_band(HtmlWriter& html, std::size_t blocks, Draw draw) {
  constexpr double all = 1000.0;
  const auto svg = html.in("svg", {{"viewBox", {0, 0, all, band_high}},
                                   {"class", "band"},
                                   {"preserveAspectRatio", "none"},
                                   {"aria-hidden", "true"}});
  weaves(html);
  const double wide = all / static_cast<double>(std::max<std::size_t>(1, blocks));
  for (std::size_t k = 0; k < blocks; ++k) {
    draw(k, BandBlock{wide * static_cast<double>(k), wide - std::min(3.0, wide / 4.0)});
  }
}

}  // namespace doewright
