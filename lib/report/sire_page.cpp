// SPDX-License-Identifier: MIT
#include <algorithm>
#include <array>
#include <utility>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
#include "health_words.hpp"
#include "html_band.hpp"
#include "html_page.hpp"
#include "kin_parts.hpp"
#include "pairing_text.hpp"
#include "pedigree_forms.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// One block a doe: woven for go, with an open seam for caution, empty for avoid.
void band_of_verdicts(HtmlWriter& html, const CellsLook& look) {
  woven_band(html, look.table.does.size(), [&](std::size_t k, BandBlock block) {
    const Verdict verdict = look.table.does[k].sires.front().verdict;
    const double from = verdict == Verdict::avoid     ? band_high
                        : verdict == Verdict::caution ? band_high / 2.0
                                                      : 0.0;
    if (from > 0.0) {
      html.leaf("rect", {{"x", block.x}, {"width", block.wide}, {"height", from}, {"class", "g-wool-dark"}});
    }
    if (from == band_high) return;
    html.leaf("rect", {{"x", block.x},
                       {"y", from},
                       {"width", block.wide},
                       {"height", band_high - from},
                       {"fill", "url(#weave", 0, ")"}});
  });
}

void one_figure(HtmlWriter& html, std::string_view title, std::string_view figure,
                std::string_view said) {
  const auto one = html.in("div");
  html.element("h2", title);
  html.element("p", {{"class", "figure"}}, figure);
  html.element("p", {{"class", "small"}}, said);
}

void sire_in_short(HtmlWriter& html, const CellsLook& look) {
  const SireAccount& him = look.table.sires.front();
  std::array<std::size_t, 3> count = {};
  for (const DoeAccount& doe : look.table.does) {
    ++count[static_cast<std::size_t>(doe.sires.front().verdict)];
  }
  const auto part = html.in("div", {{"class", "short"}});
  one_figure(
      html, "Does he may go to",
      fmt::format("{} of {}", count[0] + count[1], look.table.does.size()),
      fmt::format("{} without and {} with caution; avoid for {}.", count[0], count[1], count[2]));
  if (him.cost_per_litter) {
    one_figure(html, "Cost", cell_money(look.herd, *him.cost_per_litter) + " a litter expected",
               fmt::format("{} once and {} a doe.", cell_money(look.herd, him.hire_cost),
                           cell_money(look.herd, him.doe_cost)));
  } else {
    one_figure(html, "Cost", cell_money(look.herd, him.hire_cost),
               fmt::format("once, and {} a doe. No litter is expected of him.",
                           cell_money(look.herd, him.doe_cost)));
  }
  std::size_t in_order = 0;
  std::string papers;
  for (const Paper& paper : him.papers) {
    if (paper.state == PaperState::in_order) ++in_order;
    papers += (papers.empty() ? "" : "; ") + paper_words(paper);
  }
  if (!him.positives.empty()) {
    const std::string ask = papers_to_ask(him.papers);
    one_figure(html, "Health", "ask your veterinarian",
               positives_words(him.positives) + "." + (ask.empty() ? "" : " Papers to ask for: " + ask + "."));
  } else if (him.papers.empty()) {
    one_figure(html, "Papers", "none asked for", "He is of your own herd, or none are required.");
  } else {
    one_figure(html, "Papers", fmt::format("{} of {} in order", in_order, him.papers.size()),
               papers + ".");
  }
}

void questions_to_owner(HtmlWriter& html, const CellsLook& look) {
  const SireAccount& him = look.table.sires.front();
  const auto box = html.in("div", {{"class", "ask"}});
  html.element("h2", "Ask his owner");
  const auto list = html.in("ul");
  for (const Reason& question : him.questions) html.element("li", sentence(look.herd, question));
  html.element("li", "is the pedigree complete, with nobody left out?");
}

/// Sentences on his side alone that stand in the account of every doe.
void of_him_alone(HtmlWriter& html, const CellsLook& look) {
  std::vector<std::pair<std::string, std::size_t>> counted;
  for (const DoeAccount& doe : look.table.does) {
    const PairingAccount& pair = doe.sires.front();
    for (const Reason& reason : pair.reasons) {
      if (!is_of_him_alone(reason, pair.pairing.sire)) continue;
      const std::string words = sentence(look.herd, reason);
      const auto found = std::find_if(counted.begin(), counted.end(),
                                      [&](const auto& each) { return each.first == words; });
      found == counted.end() ? counted.emplace_back(words, 1), void() : void(++found->second);
    }
  }
  std::vector<std::string> said;
  for (const auto& [words, times] : counted) {
    if (times == look.table.does.size()) said.push_back(words);
  }
  if (said.empty()) return;
  html.element("h3", "The same for every doe");
  const auto list = html.in("ul", {{"class", "small"}});
  for (const std::string& each : said) html.element("li", each);
}

void him(HtmlWriter& html, const CellsLook& look) {
  const SireAccount& sire = look.table.sires.front();
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", "What is known of him");
  html.element("p", fmt::format("{}. Ancestors known by generation {}.",
                                terms_words(look.herd, sire), places_in_words(sire.known)));
  of_him_alone(html, look);
  html.element("h3", "What was looked at and found");
  evidence_list(html, look, sire.faults, 0);
}

}  // namespace

void sire_as_page(Sink& out, const Preamble& preamble, const Herd& herd,
                  const PairingTable& table) {
  const CellsLook look = cells_look(herd, table);
  const std::string name = long_name(herd, table.sires.front().offer.sire);
  HtmlSheet sheet = page_sheet();
  add_cells_sheet(sheet, look, 4);
  HtmlWriter html(name + ": before he is hired", sheet);
  {
    const auto page = html.in("main", {{"class", "sheet"}});
    band_of_verdicts(html, look);
    {
      const auto header = html.in("header", {{"class", "head"}});
      html.element("p", {{"class", "t-soft"}},
                   "A sire before he is hired. Records as of " + day_in_words(preamble.as_of));
      html.element("h1", sire_headline(herd, table));
      const std::string aside = set_aside_words(preamble);
      if (!aside.empty()) html.element("p", aside);
      const std::string one_animal = one_animal_words(herd, table.one_animal);
      if (!one_animal.empty()) html.element("p", one_animal);
    }
    sire_in_short(html, look);
    questions_to_owner(html, look);
    if (!table.does.empty()) {
      const auto section = html.in("section", {{"class", "long"}});
      html.element("h2", "Doe by doe");
      html.element(
          "p", {{"class", "small t-soft screen"}},
          "Open a doe's worth for its parts, its reasons, what a kid may show and how the two are "
          "related.");
      one_sire_table(html, look);
      cells_key(html, look, true);
    }
    him(html, look);
    cells_foot(
        html, preamble,
        "Papers are facts of their date, no promise: a veterinarian says what they mean, local law "
        "what moving him needs. Isolate him before he meets the does.");
  }
  html.finish(out);
}

}  // namespace doewright
