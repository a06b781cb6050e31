// SPDX-License-Identifier: MIT
#include <cmath>
#include <set>
#include <string>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "report/html_page.hpp"
#include "report/palette.hpp"

using namespace doewright;

namespace {

// W3C, Web Content Accessibility Guidelines 2.2, definitions of relative luminance and contrast
// ratio.
double channel(unsigned value) {
  const double c = value / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(unsigned rgb) {
  return 0.2126 * channel(rgb >> 16 & 0xFF) + 0.7152 * channel(rgb >> 8 & 0xFF) +
         0.0722 * channel(rgb & 0xFF);
}

double contrast(unsigned a, unsigned b) {
  const double la = luminance(a), lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

}  // namespace

TEST_CASE("the contrast formula gives the published ends of its scale") {
  // WCAG 2.2: contrast ratios range from 1 to 21 (black on white).
  CHECK(contrast(0x000000, 0xffffff) == doctest::Approx(21.0).epsilon(1e-12));
  CHECK(contrast(0x808080, 0x808080) == doctest::Approx(1.0).epsilon(1e-12));
  // Understanding success criterion 1.4.3 names #767676 as the lightest grey that reaches 4.5 on
  // white; #777777 does not. (Value from memory of the W3C text; the formula above decides.)
  CHECK(contrast(0x767676, 0xffffff) >= 4.5);
  CHECK(contrast(0x777777, 0xffffff) < 4.5);
}

TEST_CASE("every pair of words and ground reaches its contrast, light and dark") {
  for (const HuePair& pair : palette_pairs) {
    const HueColours &over = colours(pair.over), &ground = colours(pair.ground);
    CAPTURE(over.name.view());
    CAPTURE(ground.name.view());
    CHECK(contrast(over.light, ground.light) >= pair.least);
    CHECK(contrast(over.dark, ground.dark) >= pair.least);
  }
}

TEST_CASE("the two threads of a weave can be told apart") {
  // Not a demand of WCAG (letter and line say the same): our own, so that the weave is seen at all.
  for (const auto& [thread, other] :
       {std::pair{Hue::woad, Hue::woad_pale}, std::pair{Hue::madder, Hue::madder_pale},
        std::pair{Hue::loden, Hue::loden_pale}, std::pair{Hue::bark, Hue::bark_pale}}) {
    CHECK(contrast(colours(thread).light, colours(other).light) >= 2.5);
    CHECK(contrast(colours(thread).dark, colours(other).dark) >= 2.5);
  }
}

TEST_CASE("the style sheet takes colours from the palette alone") {
  const std::string css = page_sheet().text();
  std::set<std::string> known;
  for (const HueColours& each : palette) {
    known.insert(fmt::format("#{:06x}", each.light));
    known.insert(fmt::format("#{:06x}", each.dark));
    CHECK(css.find(fmt::format("--{}:", each.name.view())) != std::string::npos);
  }
  for (std::size_t at = css.find('#'); at != std::string::npos; at = css.find('#', at + 1)) {
    const std::string colour = css.substr(at, 7);
    CAPTURE(colour);
    CHECK(known.contains(colour));
  }
  for (const char* no : {"rgb(", "hsl(", "url(", "@import", "http"}) {
    CHECK(css.find(no) == std::string::npos);
  }
}
