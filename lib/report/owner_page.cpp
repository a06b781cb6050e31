// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "html_band.hpp"
#include "html_page.hpp"
#include "owner_words.hpp"
#include "pedigree_forms.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr double strip_long = 1000.0, strip_thick = 12.0;

/// One block a doe put to him: woven if she kidded to him, half if she is in kid or it is too early
/// to tell, else empty.
void band_of_put(HtmlWriter& html, const OwnerReport& report) {
  woven_band(html, report.put.size(), [&](std::size_t k, BandBlock block) {
    const PutToHim& put = report.put[k];
    html.leaf("rect",
              {{"x", block.x}, {"width", block.wide}, {"height", band_high}, {"class", "g-wool-dark"}});
    if (!put.kidded && !put.settled && !put.too_early) return;
    const double from = put.kidded ? 0.0 : band_high / 2.0;
    html.leaf("rect", {{"x", block.x},
                       {"y", from},
                       {"width", block.wide},
                       {"height", band_high - from},
                       {"fill", "url(#weave", 0, ")"}});
  });
}

/// A share of a whole as a bar; the number stands beside it.
void tally_line(HtmlWriter& html, std::string_view what, double number, double of,
                std::string_view said) {
  const auto item = html.in("li");
  html.element("span", what);
  {
    const auto svg = html.in("svg", {{"viewBox", {0, 0, strip_long, strip_thick}},
                                     {"preserveAspectRatio", "none"},
                                     {"class", "tally-bar"},
                                     {"aria-hidden", "true"}});
    html.leaf("rect", {{"width", strip_long}, {"height", strip_thick}, {"class", "g-wool-dark"}});
    if (of > 0.0 && number > 0.0) {
      html.leaf("rect", {{"width", strip_long * std::min(1.0, number / of)},
                         {"height", strip_thick},
                         {"class", "g-woad"}});
    }
  }
  html.element("span", {{"class", "amount"}}, said);
}

void tally_of_kiddings(HtmlWriter& html, std::string_view what, const KidTally& tally,
                       const OwnerReport& r) {
  std::string said = number_of_kids(tally.kids);
  if (tally.not_recorded > 0) {
    said = tally.not_recorded == r.kidded
               ? std::string("not recorded")
               : fmt::format("{}, of {} kiddings", said, r.kidded - tally.not_recorded);
  }
  tally_line(html, what, tally.kids, std::max(r.born.kids, r.kids), said);
}

void in_bars(HtmlWriter& html, const OwnerReport& r) {
  const auto two = html.in("div", {{"class", "two"}});
  {
    const auto part = html.in("section");
    html.element("h2", "His does");
    const auto list = html.in("ul", {{"class", "tally"}});
    const auto line = [&](std::string_view what, std::uint32_t number) {
      tally_line(html, what, number, r.served, std::to_string(number));
    };
    line("served", r.served);
    line("settled", r.settled);
    line("kidded", r.kidded);
    if (r.too_early > 0) line("too early to tell", r.too_early);
  }
  const auto part = html.in("section");
  html.element("h2", "His kids");
  const auto list = html.in("ul", {{"class", "tally"}});
  tally_of_kiddings(html, "born", r.born, r);
  tally_of_kiddings(html, "born alive", r.alive, r);
  tally_of_kiddings(html, "raised", r.raised, r);
  tally_line(html, "looked at", r.examined, std::max(r.born.kids, r.kids),
             number_of_kids(r.examined));
}

/// Three states of the kids in the book: found, looked at and not found, not looked at.
void look_bar(HtmlWriter& html, double found, double looked, double kids) {
  const auto svg = html.in("svg", {{"viewBox", {0, 0, strip_long, strip_thick}},
                                   {"preserveAspectRatio", "none"},
                                   {"class", "look-bar"},
                                   {"aria-hidden", "true"}});
  const double whole = std::max(1e-9, std::max(kids, looked));
  const double a = strip_long * found / whole, b = strip_long * looked / whole;
  html.leaf(
      "rect",
      {{"x", b}, {"y", 4.0}, {"width", strip_long - b}, {"height", 4.0}, {"class", "g-wool-dark"}});
  html.leaf(
      "rect",
      {{"x", a}, {"width", b - a}, {"height", strip_thick}, {"class", "g-woad-pale s-woad rim"}});
  html.leaf("rect", {{"width", a}, {"height", strip_thick}, {"class", "g-ink"}});
}

void faults_found(HtmlWriter& html, const OwnerReport& report, const OwnerWords& words) {
  const auto section = html.in("section");
  html.element("h2", "Kids looked at, fault by fault");
  if (report.looks.empty()) {
    html.element("p", "No kid of his was looked at for a fault.");
    return;
  }
  {
    const auto table = html.in("table", {{"class", "folds looks"}, {"role", "table"}});
    {
      const auto head = html.in("thead", {{"role", "rowgroup"}});
      const auto row = html.in("tr", {{"role", "row"}});
      for (const std::string& title : words.looks.titles) {
        html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, title);
      }
      html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, "of all his kids");
    }
    const auto body = html.in("tbody", {{"role", "rowgroup"}});
    for (std::size_t f = 0; f < report.looks.size(); ++f) {
      const auto row = html.in("tr", {{"role", "row"}});
      const auto& cells = words.looks.rows[f];
      html.element("th", {{"scope", "row"}, {"role", "rowheader"}}, cells.front());
      for (std::size_t c = 1; c < cells.size(); ++c) {
        const auto cell = html.in("td", {{"role", "cell"}});
        html.element("span", {{"class", "column"}, {"aria-hidden", "true"}},
                     words.looks.titles[c] + ": ");
        html.text(cells[c]);
      }
      const auto cell = html.in("td", {{"role", "cell"}, {"class", "drawn"}});
      look_bar(html, report.looks[f].found, report.looks[f].examined, report.kids);
      html.element("span", {{"class", "unseen"}}, number_of_kids(report.kids) + " kids");
    }
  }
  const auto list = html.in("ul", {{"class", "key"}});
  const auto key = [&](HtmlConst look, std::string_view said) {
    const auto item = html.in("li");
    html.element("span", {{"class", look}}, " ");
    html.element("span", said);
  };
  key("box g-ink", "found");
  key("box g-woad-pale edged", "looked at, not found");
  key("box thin g-wool-dark", "not looked at: nothing is known");
}

void table_part(HtmlWriter& html, std::string_view title, const OwnerTable& table,
                std::string_view if_none) {
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", title);
  if (table.rows.empty()) {
    html.element("p", if_none);
  } else {
    html_table(html, "", table.titles, table.rows);
  }
}

/// What the book does not hold is a line to be filled in by hand, never left out.
void blanks(HtmlWriter& html, const OwnerWords& words) {
  const auto section = html.in("section");
  html.element("h2", "Not in the herd book");
  for (const std::string& line : words.not_known) {
    html.element("p", line);
    html.leaf("div", {{"class", "fill-in"}});
  }
}

void add_owner_sheet(HtmlSheet& sheet) {
  sheet.add(R"(.band{margin:0 -40px;width:calc(100% + 80px);height:22px;max-width:none}
.head{padding:22px 0 10px}
.lead{font-size:1.35rem;font-weight:700;line-height:1.2;max-width:34em}
.two{display:grid;grid-template-columns:1fr 1fr;gap:0 40px;border-top:2px solid var(--ink);border-bottom:1px solid var(--soft);margin-top:14px;padding-bottom:10px}
.two>section{min-width:0;margin-top:10px}
.tally{list-style:none;padding:0;margin:.3em 0}
.tally li{display:grid;grid-template-columns:7.4em 1fr 6.2em;gap:12px;align-items:center;padding:.12em 0}
.amount{font-weight:700}
.tally-bar,.look-bar{width:100%;height:12px;max-width:none}
.looks{table-layout:fixed}
.looks thead th:nth-child(1){width:30%}
.looks thead th:last-child{width:28%}
.looks td{vertical-align:middle}
.drawn{padding-right:0}
.key{display:flex;flex-wrap:wrap;gap:.35em 1.4em;list-style:none;margin:.6em 0 0;padding:0;color:var(--soft);font-size:.875rem}
.key li{display:flex;align-items:center;gap:.45em}
.box{display:inline-block;width:1.9em;height:.9em}
.box.thin{height:.35em}
.edged{border:1.5px solid var(--woad)}
.rim{stroke-width:1.5;vector-effect:non-scaling-stroke}
.fill-in{height:2.1em;border-bottom:1px solid var(--soft)}
.notes{margin-top:26px;background:var(--wool);padding:14px 20px}
@media screen and (max-width:760px){
.band{margin:0 -16px;width:calc(100% + 32px)}
.two{grid-template-columns:1fr}
.lead{font-size:1.15rem}
}
@media print{
.band{margin:0 0 5px;width:100%;height:8px}
.head{padding:0 0 4px}
h1{font-size:2em}
.lead{font-size:1.3em}
.long{break-inside:auto}
.two{margin-top:4px;padding-bottom:4px}
.two>section{margin-top:4px}
.tally li{padding:0}
.key{font-size:1em;margin:.3em 0 0}
.notes{margin-top:8px;padding:5px 10px;break-inside:avoid}
}
)");
}

}  // namespace

void owner_as_page(Sink& out, const Preamble& preamble, const OwnerReport& report,
                   const OwnerWords& words) {
  HtmlSheet sheet = page_sheet();
  add_owner_sheet(sheet);
  HtmlWriter html(words.title + ": what his owner is told", sheet);
  {
    const auto page = html.in("main", {{"class", "sheet"}});
    band_of_put(html, report);
    {
      const auto header = html.in("header", {{"class", "head"}});
      html.element(
          "p", {{"class", "t-soft"}},
          "Progeny report for the owner of a buck. Records as of " + day_in_words(preamble.as_of));
      html.element("h1", words.title);
      const std::string aside = set_aside_words(preamble);
      if (!aside.empty()) html.element("p", aside);
      html.element("p", {{"class", "lead"}}, words.headline);
      html.element("p", words.worst);
      html.element("p", words.dates);
    }
    if (report.served > 0 || report.kids > 0.0) in_bars(html, report);
    faults_found(html, report, words);
    table_part(html, "Doe by doe", words.does, "No doe was put to him in this herd book.");
    table_part(html, "Counts", words.counts, "");
    blanks(html, words);
    const auto foot = html.in("footer", {{"class", "notes small"}});
    html.element(
        "p",
        "The band at the top has a block for each doe: woven if she kidded to him, half if "
        "she is in kid or it is too early to tell.");
    for (const std::string& note : words.notes) html.element("p", note);
  }
  html.finish(out);
}

}  // namespace doewright
