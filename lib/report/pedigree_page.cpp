// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "html_page.hpp"
#include "pedigree_forms.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void scale_of_inbreeding(HtmlWriter& html, const PedigreeReport& report,
                         const PedigreeWords& words) {
  constexpr double wide = 320.0, most = 0.25;
  const double at = 5.0 + std::clamp(report.inbreeding / most, 0.0, 1.0) * wide;
  const auto svg = html.in(
      "svg", {{"viewBox", {0, 0, wide + 10.0, 42}},
              {"width", wide + 10.0},
              {"height", 42.0},
              {"class", "scale"},
              {"role", "img"},
              {HtmlSaid::aria_label,
               words.inbreeding + " on a scale from 0 to 25 per cent. Kids of first cousins have "
                                  "6.25, of half sibs 12.5, of full sibs 25."}});
  html.leaf("rect",
            {{"x", 5.0}, {"y", 10.0}, {"width", wide}, {"height", 9.0}, {"class", "g-wool-dark"}});
  html.leaf("rect",
            {{"x", 5.0}, {"y", 10.0}, {"width", at - 5.0}, {"height", 9.0}, {"class", "g-ink"}});
  const auto landmark = [&](double share, HtmlConst anchor, std::string_view name) {
    const double x = 5.0 + share / most * wide;
    html.leaf("path", {{"d", SvgPath().move(x, 7).down(22)}, {"class", "s-ink"}});
    html.element("text",
                 {{"x", x}, {"y", 36.0}, {"text-anchor", anchor}, {"class", "t-soft chart-small"}},
                 name);
  };
  landmark(0.0, "start", "0");
  landmark(0.0625, "middle", "cousins");
  landmark(0.125, "middle", "half sibs");
  landmark(0.25, "end", "full sibs");
}

/// The band across the top is data: the eight great-grandparents, sire's side first. The same weave
/// twice is the same animal twice.
void band(HtmlWriter& html, const PedigreeWords& words) {
  constexpr double wide = 125.0, high = 22.0;
  const auto svg = html.in("svg", {{"viewBox", {0, 0, 8 * wide, high}},
                                   {"width", 8 * wide},
                                   {"height", high},
                                   {"class", "band"},
                                   {"preserveAspectRatio", "none"},
                                   {"aria-hidden", "true"}});
  double x = 0.0;
  for (const PedigreeCell& cell : words.cells) {
    if (cell.place.size() != 3) continue;
    if (cell.marks.empty() || cell.marks.front() > 3) {
      const HtmlConst look = cell.recorded ? HtmlConst("g-wool-dark") : HtmlConst("g-wool");
      html.leaf("rect", {{"x", x}, {"width", wide - 3.0}, {"height", high}, {"class", look}});
    } else {
      html.leaf("rect", {{"x", x},
                         {"width", wide - 3.0},
                         {"height", high},
                         {"fill", "url(#weave", cell.marks.front(), ")"}});
    }
    x += wide;
  }
}

void who(HtmlWriter& html, const Preamble& preamble, const PedigreeWords& words) {
  {
    const auto header = html.in("header", {{"class", "head"}});
    {
      const auto left = html.in("div");
      html.element("p", {{"class", "t-soft"}}, "Pedigree report for a buyer");
      html.element("h1", words.title);
    }
    const auto right = html.in("div");
    const auto line = html.in("p", {{"class", "small"}});
    html.text(words.seller.empty() ? "Offered by: not recorded" : "Offered by " + words.seller);
    html.leaf("br");
    html.text("Records as of " + day_in_words(preamble.as_of));
  }
  const std::string aside = set_aside_words(preamble);
  if (!aside.empty()) html.element("p", aside);
}

void in_short(HtmlWriter& html, const PedigreeReport& report, const PedigreeWords& words) {
  const auto part = html.in("div", {{"class", "short"}});
  {
    const auto one = html.in("div");
    html.element("h2", "Inbreeding");
    html.element("p", {{"class", "figure"}}, words.inbreeding);
    if (!report.if_sire.empty()) scale_of_inbreeding(html, report, words);
    html.element("p", {{"class", "small"}}, "As recorded: " + words.closeness + ".");
  }
  {
    const auto one = html.in("div");
    html.element("h2", "Ancestors known");
    html.element("p", {{"class", "figure"}}, words.known_figure);
    html.element("p", {{"class", "small"}}, words.known);
  }
  const auto one = html.in("div");
  html.element("h2", "Faults found");
  html.element("p", {{"class", "figure"}}, words.looks_figure);
  html.element("p", {{"class", "small"}}, words.looks);
}

void facts(HtmlWriter& html, const PedigreeWords& words) {
  const auto list = html.in("dl", {{"class", "who"}});
  for (const auto& [label, value] : words.facts) {
    const auto pair = html.in("div");
    html.element("dt", label);
    html.element("dd", value);
  }
}

void key_of_chart(HtmlWriter& html) {
  const auto list = html.in("ul", {{"class", "key"}});
  const auto item = [&](double round, HtmlConst look, std::string_view said) {
    const auto one = html.in("li");
    {
      const auto svg = html.in("svg", {{"viewBox", {0, 0, 22, 16}},
                                       {"width", 22.0},
                                       {"height", 16.0},
                                       {"aria-hidden", "true"}});
      html.leaf("rect", {{"x", 1.0},
                         {"y", 1.0},
                         {"width", 20.0},
                         {"height", 14.0},
                         {"rx", round},
                         {"class", look}});
    }
    html.element("span", said);
  };
  item(0, "g-paper s-ink card", "sire");
  item(7, "g-paper s-ink card", "dam");
  item(0, "g-paper s-soft card blank", "not recorded");
  item(0, "g-ink", "a fault was found");
  html.element("li", "letter, weave and thread: one animal in several places");
  html.element("li", "band at the top: the eight great-grandparents, sire's side first");
}

void chart_as_table(HtmlWriter& html, const PedigreeWords& words) {
  const auto details = html.in("details", {{"class", "screen"}});
  html.element("summary", "The same pedigree as a table");
  std::vector<std::vector<std::string>> rows;
  for (const PedigreeCell& cell : words.cells) {
    std::string marks;
    for (const std::size_t m : cell.marks) marks += words.marks[m].letter;
    std::string name = cell.name;
    if (!cell.detail.empty()) name += (cell.certain ? ", " : " ") + cell.detail;
    rows.push_back({cell.place, place_in_words(cell.place), name,
                    cell.found.empty() ? "-" : cell.found, marks.empty() ? "-" : marks});
  }
  html_table(html, "", {"path", "place", "animal", "faults found", "mark"}, rows);
}

void chart(HtmlWriter& html, const PedigreeReport& report, const PedigreeWords& words) {
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", "Pedigree");
  {
    const auto scroll =
        html.in("div", {{"class", "scroll chart"},
                        {"tabindex", "0"},
                        {"role", "region"},
                        {"aria-label", "Pedigree chart; scrolls sideways on a small screen"}});
    draw_pedigree(html, report, words);
  }
  key_of_chart(html);
  chart_as_table(html, words);
}

void list_of(HtmlWriter& html, const std::vector<std::string>& lines) {
  const auto list = html.in("ul", {{"class", "small"}});
  for (const std::string& line : lines) html.element("li", line);
}

void what_makes_it(HtmlWriter& html, const PedigreeWords& words) {
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", "What makes the inbreeding");
  html.element("p", {{"class", "small"}}, words.rests_on);
  for (std::size_t m = 0; m < words.marks.size(); ++m) {
    const PedigreeMark& mark = words.marks[m];
    const auto row = html.in("div", {{"class", "mark-row small"}});
    {
      const auto svg = html.in("svg", {{"viewBox", {0, 0, 28, 24}},
                                       {"width", 28.0},
                                       {"height", 24.0},
                                       {"aria-hidden", "true"}});
      draw_mark(html, m, mark.letter, 4.0, 2.0);
    }
    const auto words_of = html.in("div");
    html.element("strong", fmt::format("{} adds {}", mark.name, mark.adds));
    html.text(": " + mark.where + ".");
    html.leaf("br");
    html.element("span", {{"class", "t-soft"}}, mark.how);
  }
  if (!words.recompute.empty()) html.element("p", {{"class", "small"}}, words.recompute);
  if (!words.readings.empty()) {
    html.element("h3", "Other readings of what is not certain");
    list_of(html, words.readings);
  }
}

void table_section(HtmlWriter& html, std::string_view title, const PedigreeTable& table,
                   std::string_view if_none) {
  if (table.rows.empty() && if_none.empty()) return;
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", title);
  if (table.rows.empty()) {
    html.element("p", if_none);
  } else {
    html_table(html, "", table.titles, table.rows);
  }
}

void list_section(HtmlWriter& html, std::string_view title, const std::vector<std::string>& lines) {
  if (lines.empty()) return;
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", title);
  list_of(html, lines);
}

void statement(HtmlWriter& html, const PedigreeWords& words) {
  const auto foot = html.in("footer", {{"class", "foot small"}});
  {
    const auto says = html.in("div");
    for (const std::string& line : words.statement) html.element("p", line);
  }
  const auto sign = html.in("div");
  html.leaf("div", {{"class", "sign"}});
  html.element("p", words.seller.empty() ? "Seller, date" : words.seller + ", date");
}

}  // namespace

void pedigree_as_page(Sink& out, const Preamble& preamble, const PedigreeReport& report,
                      const PedigreeWords& words) {
  HtmlSheet sheet = page_sheet();
  add_pedigree_sheet(sheet);
  HtmlWriter html(words.title + ": pedigree report", sheet);
  {
    const auto page = html.in("main", {{"class", "sheet"}});
    band(html, words);
    who(html, preamble, words);
    in_short(html, report, words);
    facts(html, words);
    chart(html, report, words);
    what_makes_it(html, words);
    {
      const auto two = html.in("div", {{"class", "two"}});
      table_section(html, "Looked for in this animal", words.faults,
                    "No fault is recorded in this herd book for any animal.");
      list_section(html, "What the seller does not know", words.not_known);
    }
    table_section(html, "Parents, sibs and kids", words.kin, "");
    table_section(html, "Tests", words.tests, "None recorded.");
    {
      const auto two = html.in("div", {{"class", "two"}});
      table_section(html, "Records", words.records, "");
      table_section(html, "Kiddings", words.kiddings, "");
    }
    list_section(html, "Now", words.now);
    statement(html, words);
  }
  html.finish(out);
}

}  // namespace doewright
