// SPDX-License-Identifier: MIT
#include "pedigree_forms.hpp"

namespace doewright {

namespace {

HtmlConst dye(std::size_t mark) {
  switch (mark) {
    case 0:
      return "s-woad";
    case 1:
      return "s-madder";
    case 2:
      return "s-loden";
    case 3:
      return "s-bark";
    default:
      return "s-ink";
  }
}

HtmlConst dyed_words(std::size_t mark) {
  switch (mark) {
    case 0:
      return "t-woad letter";
    case 1:
      return "t-madder letter";
    case 2:
      return "t-loden letter";
    case 3:
      return "t-bark letter";
    default:
      return "t-ink letter";
  }
}

void weave(HtmlWriter& html, std::size_t mark, HtmlConst ground, HtmlConst second, double turn) {
  const auto pattern =
      html.in("pattern", {{"id", "weave", mark, ""},
                          {"width", 7.0},
                          {"height", 7.0},
                          {"patternUnits", "userSpaceOnUse"},
                          {"patternTransform", "rotate(", static_cast<std::size_t>(turn), ")"}});
  html.leaf("rect", {{"width", 7.0}, {"height", 7.0}, {"class", ground}});
  html.leaf("rect", {{"width", 2.6}, {"height", 7.0}, {"class", second}});
}

}  // namespace

HtmlConst thread_class(std::size_t mark) {
  switch (mark) {
    case 0:
      return "s-woad thread";
    case 1:
      return "s-madder thread dashed";
    case 2:
      return "s-loden thread dotted";
    default:
      return "s-bark thread longdash";
  }
}

void weaves(HtmlWriter& html) {
  const auto defs = html.in("defs");
  weave(html, 0, "g-woad", "g-woad-pale", 45);
  weave(html, 1, "g-madder", "g-madder-pale", 0);
  weave(html, 2, "g-loden", "g-loden-pale", 135);
  weave(html, 3, "g-bark", "g-bark-pale", 90);
}

void draw_mark(HtmlWriter& html, std::size_t mark, const std::string& letter, double x, double y) {
  if (mark < threads_most) {
    html.leaf("rect", {{"x", x - 3.0},
                       {"y", y},
                       {"width", 10.0},
                       {"height", 20.0},
                       {"fill", "url(#weave", mark, ")"}});
  }
  html.leaf("circle", {{"cx", x + 13.0}, {"cy", y + 10.0}, {"r", 9.0}, {"class", "g-paper"}});
  html.leaf("circle", {{"cx", x + 13.0},
                       {"cy", y + 10.0},
                       {"r", 9.0},
                       {"fill", "none"},
                       {"stroke-width", 1.8},
                       {"class", dye(mark)}});
  html.element(
      "text",
      {{"x", x + 13.0}, {"y", y + 14.3}, {"text-anchor", "middle"}, {"class", dyed_words(mark)}},
      letter);
}

void add_chart_sheet(HtmlSheet& sheet) {
  sheet.add(R"(.branch{fill:none;stroke-width:1.3}
.thread{fill:none;stroke-width:2.4}
.dashed{stroke-dasharray:8 4}
.dotted{stroke-dasharray:2.5 3.5}
.longdash{stroke-dasharray:14 4 3 4}
.card{stroke-width:1.2}
.blank{stroke-dasharray:3 3}
.chart-name{font-size:14px;font-weight:700}
.chart-text{font-size:13.5px}
.chart-small{font-size:12.5px}
.bold{font-weight:700}
.letter{font-size:12.5px;font-weight:700}
)");
}

}  // namespace doewright
