// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <doewright/core/text.hpp>

#include "report/page.hpp"

using namespace doewright;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    lines.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return lines;
}

}  // namespace

TEST_CASE("paragraphs wrap within 80 columns, and a figure stays with its percent sign") {
  StringSink out;
  Page page(out, false);
  std::string text;
  for (int i = 0; i < 60; ++i) text += "about 12.50 % of Brämbel's kids ";
  page.labelled("label", 12, text);
  for (const std::string& line : lines_of(out.text())) {
    CAPTURE(line);
    CHECK(display_width(line) <= 80);
    CHECK(line.find_first_not_of(' ') != line.find('%'));
  }
  CHECK(lines_of(out.text()).front().starts_with("label       about"));
  CHECK(lines_of(out.text())[1].starts_with("            "));
}

TEST_CASE("tables line up by display width and cut what is too long") {
  StringSink out;
  Page page(out, false);
  page.table({{"name", Page::Align::left, 6}, {"F", Page::Align::right}},
             {{"Zoë", "1.0 %"}, {"山羊", "12.5 %"}, {"Bartholomew", "0.0 %"}});
  const auto lines = lines_of(out.text());
  REQUIRE(lines.size() == 4);
  for (std::size_t i = 1; i < lines.size(); ++i) CHECK(display_width(lines[i]) == 14);
  CHECK(lines[3].starts_with("Barth…"));
}

TEST_CASE("no colour codes unless asked for") {
  StringSink plain, colour;
  Page(plain, false).heading("Why");
  Page(colour, true).heading("Why");
  CHECK(plain.text() == "\nWhy\n");
  CHECK(colour.text().find("\x1b[1m") != std::string::npos);
}
