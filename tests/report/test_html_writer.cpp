// SPDX-License-Identifier: MIT
#include <string>
#include <string_view>
#include <type_traits>

#include <doctest/doctest.h>

#include "report/html_page.hpp"
#include "report/html_writer.hpp"

using namespace doewright;

// Only a literal becomes an element, an attribute, a fixed value or a style. That a literal of the
// wrong kind does not compile either is tested by tests/scripts/test_one_door.py.
static_assert(!std::is_constructible_v<HtmlTag, std::string>);
static_assert(!std::is_constructible_v<HtmlTag, std::string_view>);
static_assert(!std::is_constructible_v<HtmlTag, const char*>);
static_assert(!std::is_constructible_v<HtmlName, std::string_view>);
static_assert(!std::is_constructible_v<HtmlConst, std::string>);
static_assert(!std::is_constructible_v<HtmlConst, const char*>);
static_assert(!std::is_constructible_v<HtmlCss, std::string>);
static_assert(!std::is_constructible_v<HtmlAttr, HtmlName, std::string>);
static_assert(!std::is_constructible_v<HtmlAttr, HtmlName, std::string_view>);
static_assert(std::is_constructible_v<HtmlAttr, HtmlSaid, std::string>);

namespace {

std::string page_of(auto&& fill) {
  HtmlWriter html("title", HtmlSheet());
  fill(html);
  StringSink out;
  html.finish(out);
  return out.text();
}

bool contains(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

}  // namespace

TEST_CASE("a name is shown, never obeyed: as words, as a title, in an attribute") {
  const std::string hostile = "</title><script>alert(1)</script>\"'&<img src=x onerror=alert(1)>";
  HtmlWriter html(hostile, HtmlSheet());
  html.element("p", hostile);
  html.leaf("svg", {{"role", "img"}, {HtmlSaid::aria_label, hostile}});
  StringSink out;
  html.finish(out);
  CHECK_FALSE(contains(out.text(), "<script"));
  CHECK_FALSE(contains(out.text(), "<img"));
  CHECK(
      contains(out.text(), "&lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39;&amp;"));
  CHECK(contains(out.text(), "aria-label=\"&lt;/title&gt;"));
}

TEST_CASE("control and direction-changing characters are made visible, line ends become blanks") {
  CHECK(html_escaped("a\nb\tc") == "a b c");
  CHECK(html_escaped("\x1b[1m") == "\\u{1B}[1m");
  CHECK(html_escaped("\u202Eevil") == "\\u{202E}evil");
  CHECK(html_escaped("\xff") == "\\x{FF}");
  CHECK(html_escaped("Zo\xc3\xab") == "Zo\xc3\xab");
}

TEST_CASE("elements close in the order in which they were opened") {
  const std::string page = page_of([](HtmlWriter& html) {
    const auto outer = html.in("div", {{"class", "a"}});
    const auto inner = html.in("span");
    html.text("x");
    html.leaf("br");
  });
  CHECK(contains(page, "<div class=\"a\"><span>x<br></span></div></body></html>\n"));
  CHECK(page.starts_with("<!doctype html>\n<html lang=\"en\">"));
}

TEST_CASE("drawings are numbers with two decimals, a point and no minus zero") {
  const std::string page = page_of([](HtmlWriter& html) {
    const auto svg = html.in("svg", {{"viewBox", {0, 0, 100.126, -0.001}}});
    html.leaf("path", {{"d", SvgPath().move(1, 2.5).across(3.14159).down(4).close()}});
    html.leaf("rect", {{"fill", "url(#weave", 3, ")"}, {"width", 10.0}});
  });
  CHECK(contains(page, "viewBox=\"0 0 100.13 0\""));
  CHECK(contains(page, "d=\"M1 2.5H3.14V4Z\""));
  CHECK(contains(page, "fill=\"url(#weave3)\" width=\"10\""));
}

TEST_CASE("a table says its roles, and each cell its column for a phone") {
  const std::string page = page_of([](HtmlWriter& html) {
    html_table(html, "Looks", {"what", "found"}, {{"teats", "<2>"}});
  });
  CHECK(contains(page, "<table class=\"folds\" role=\"table\">"));
  CHECK(contains(page, "<span class=\"column\" aria-hidden=\"true\">found: </span>&lt;2&gt;</td>"));
}
