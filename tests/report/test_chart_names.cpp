// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <doewright/core/text.hpp>

#include "report/chart_names.hpp"

using namespace doewright;

TEST_CASE("a drawn name never takes more than its width, and is whole where it fits") {
  for (const std::string name :
       {"Hazel", "Königin Adelheid von der Hohen Wiese", "MMMMMMMMMMMM", "白雪公主的大女儿山羊",
        "Мария-Антуанетта", "Ÿvonne-Gwendolyn’s Midnight Thunder"}) {
    for (double width = 40.0; width < 400.0; width += 7.0) {
      CAPTURE(name);
      CAPTURE(width);
      const std::string cut = drawn_to_fit(name, width, 14.0);
      CHECK(is_utf8(cut));
      CHECK(drawn_width(cut, 14.0) <= width);
      CHECK((cut == name) == (drawn_width(name, 14.0) <= width));
      for (const std::string& line : drawn_lines(name, width, 14.0, 2)) {
        CHECK(is_utf8(line));
        CHECK(drawn_width(line, 14.0) <= width);
      }
    }
  }
  CHECK(drawn_to_fit("Wide", 1.0, 14.0) == "W…");  // its first letter at least
  CHECK(drawn_to_fit("", 1.0, 14.0).empty());
}

TEST_CASE("lines break at blanks and after hyphens") {
  using Lines = std::vector<std::string>;
  CHECK(drawn_lines("Hazel", 200.0, 14.0, 2) == Lines{"Hazel"});
  CHECK(drawn_lines("Bramble Tansy", 80.0, 14.0, 2) == Lines{"Bramble", "Tansy"});
  CHECK(drawn_lines("Bramble-Tansy", 80.0, 14.0, 2) == Lines{"Bramble-", "Tansy"});
  CHECK(drawn_lines("Bramble Tansy Mallow", 80.0, 14.0, 3) == Lines{"Bramble", "Tansy", "Mallow"});
  CHECK(drawn_lines("Bramble Tansy Mallow", 80.0, 14.0, 1).front().ends_with("…"));
}
