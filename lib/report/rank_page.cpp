// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
#include "html_band.hpp"
#include "html_page.hpp"
#include "kin_parts.hpp"
#include "pairing_text.hpp"
#include "pedigree_forms.hpp"
#include "preamble.hpp"
#include "rank_words.hpp"

namespace doewright {

namespace {

/// One block a doe, in the weaves of the sires level at the head of her list, one above the other;
/// plain for a doe that must wait or has nobody.
void band_of_does(HtmlWriter& html, const CellsLook& look) {
  woven_band(html, look.heads.size(), [&](std::size_t k, BandBlock block) {
    std::vector<std::size_t> woven;
    for (const std::size_t offer : look.heads[k]) {
      if (look.weave[offer] < threads_most) woven.push_back(look.weave[offer]);
    }
    if (woven.empty()) {
      const HtmlConst ground =
          look.heads[k].empty() ? HtmlConst("g-wool") : HtmlConst("g-wool-dark");
      html.leaf("rect", {{"x", block.x}, {"width", block.wide}, {"height", band_high}, {"class", ground}});
    }
    const double each = band_high / static_cast<double>(std::max<std::size_t>(1, woven.size()));
    for (std::size_t w = 0; w < woven.size(); ++w) {
      html.leaf("rect", {{"x", block.x},
                         {"y", each * static_cast<double>(w)},
                         {"width", block.wide},
                         {"height", each},
                         {"fill", "url(#weave", woven[w], ")"}});
    }
  });
}

constexpr std::size_t named_most = 4;

/// As many as may be named, joined; the rest as a count.
std::string some_of(const std::vector<std::string>& names, std::string_view between) {
  std::string text;
  for (std::size_t k = 0; k < std::min(named_most, names.size()); ++k) {
    text += (k == 0 ? "" : std::string(between)) + names[k];
  }
  if (names.size() > named_most) text += fmt::format(" and {} more", names.size() - named_most);
  return text;
}

/// A doe in one line: whom first, what to mind, who then, whom not.
std::vector<std::string> line_of_doe(const CellsLook& look, std::size_t d) {
  const Herd& herd = look.herd;
  const DoeAccount& doe = look.table.does[d];
  const PairingAccount* best = nullptr;
  std::vector<std::string> first, avoid;
  std::string then = "-";
  for (const PairingAccount& pair : doe.sires) {
    const std::string sire = short_name(herd, pair.pairing.sire);
    if (pair.verdict == Verdict::avoid) {
      avoid.push_back(fmt::format("{} ({})", sire, short_reason(pair)));
    } else if (look.at_head(d, pair.offer)) {
      first.push_back(sire);
      if (best == nullptr) best = &pair;
    } else if (then == "-") {
      then = sire;
    }
  }
  const std::string name = short_name(herd, doe.doe.doe);
  if (doe.fitness.on_hold()) {
    return {name, std::string(hold_words(doe.fitness)), "-", fitness_words(herd, doe.fitness), "-",
            "all"};
  }
  const std::string not_to = avoid.empty() ? "-" : some_of(avoid, ", ");
  if (best == nullptr) return {name, "nobody", "-", "every sire is to be avoided", "-", not_to};
  const std::string mind = best->reasons.empty() ? "nothing recorded speaks against it"
                                                 : short_name(herd, best->pairing.sire) + ": " +
                                                       sentence(herd, best->reasons.front());
  return {name,
          some_of(first, " = "),
          best->money ? cell_money(herd, best->money->value) : "-",
          mind,
          then,
          not_to};
}

void does_in_lines(HtmlWriter& html, const CellsLook& look) {
  const auto section = html.in("section", {{"class", "long lines"}});
  html.element("h2", "Doe by doe");
  std::vector<std::vector<std::string>> rows;
  for (std::size_t d = 0; d < look.table.does.size(); ++d) rows.push_back(line_of_doe(look, d));
  html_table(html, "", {"doe", "put her to", "worth", "mind", "then", "avoid"}, rows);
  html.element(
      "p", {{"class", "small t-soft"}},
      "= no real difference between them. Worth: a doe this season by the first named, his hire "
      "not taken off.");
}

void does_looked_at(HtmlWriter& html, const CellsLook& look) {
  const auto section = html.in("section", {{"class", "long screen"}});
  html.element("h2", "What is recorded of the does");
  for (const DoeAccount& doe : look.table.does) {
    const auto details = html.in("details");
    html.element("summary", long_name(look.herd, doe.doe.doe));
    html.element("p", {{"class", "small"}},
                 fmt::format("{}. Ancestors known by generation {}; {}.",
                             fitness_words(look.herd, doe.fitness), places_in_words(doe.known),
                             horns_words(look.herd, doe.doe.doe)));
    evidence_list(html, look, doe.faults, {});
  }
}

void rank_top(HtmlWriter& html, const Preamble& preamble, const CellsLook& look) {
  const auto header = html.in("header", {{"class", "head"}});
  html.element("p", {{"class", "t-soft"}},
               "Every doe put forward with every sire on offer. Records as of " +
                   day_in_words(preamble.as_of));
  html.element("h1", rank_headline(look.herd, look.table));
  const std::string one_animal = one_animal_words(look.herd, look.table.one_animal);
  if (!one_animal.empty()) html.element("p", one_animal);
  const std::string aside = set_aside_words(preamble);
  if (!aside.empty()) html.element("p", aside);
  const std::string close = rank_close_calls(look.herd, look.table);
  if (!close.empty()) html.element("p", {{"class", "lead"}}, close);
}

}  // namespace

void rank_as_page(Sink& out, const Preamble& preamble, const Herd& herd,
                  const PairingTable& table) {
  const CellsLook look = cells_look(herd, table);
  HtmlSheet sheet = page_sheet();
  add_cells_sheet(sheet, look, std::max<std::size_t>(1, table.sires.size()));
  HtmlWriter html("Which doe to which sire", sheet);
  {
    const auto page = html.in("main", {{"class", "sheet"}});
    band_of_does(html, look);
    rank_top(html, preamble, look);
    if (!table.does.empty() && !table.sires.empty()) {
      {
        const auto section = html.in("section", {{"class", "long"}});
        html.element("h2", "At a glance");
        html.element("p", {{"class", "small t-soft screen"}},
                     "Open a cell for its parts, its reasons, what a kid may show and how the two "
                     "are related.");
        cells_table(html, look);
        cells_key(html, look, false);
        if (!look.all_drawn) {
          html.element(
              "p", {{"class", "small t-soft screen"}},
              "In a table of this size only the first of each doe has pictures, and what is "
              "true of a sire whoever the doe stands below, beside him. Narrowed to one doe, "
              "every cell has all.");
        }
      }
      does_in_lines(html, look);
    }
    if (!table.sires.empty()) {
      const auto section = html.in("section", {{"class", "long"}});
      html.element("h2", "The sires on offer");
      const auto cards = html.in("div", {{"class", "sires"}});
      for (std::size_t s = 0; s < table.sires.size(); ++s) sire_card(html, look, s);
    }
    if (!table.does.empty()) does_looked_at(html, look);
    cells_foot(
        html, preamble,
        "Ask every owner: is the pedigree complete, with nobody left out? Keep an eye on a buck in "
        "rut, use two people and a board; health and drugs are for your veterinarian, moving "
        "animals for local law.");
  }
  html.finish(out);
}

}  // namespace doewright
