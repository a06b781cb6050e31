// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
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
  constexpr double all = 1000.0, high = 24.0;
  const auto svg = html.in("svg", {{"viewBox", {0, 0, all, high}},
                                   {"class", "band"},
                                   {"preserveAspectRatio", "none"},
                                   {"aria-hidden", "true"}});
  weaves(html);
  const double wide = all / static_cast<double>(std::max<std::size_t>(1, look.heads.size()));
  for (std::size_t d = 0; d < look.heads.size(); ++d) {
    const double x = wide * static_cast<double>(d), to = wide - std::min(3.0, wide / 4.0);
    const auto& head = look.heads[d];
    if (head.empty()) {
      html.leaf("rect", {{"x", x}, {"width", to}, {"height", high}, {"class", "g-wool"}});
    }
    const double each = high / static_cast<double>(std::max<std::size_t>(1, head.size()));
    for (std::size_t k = 0; k < head.size(); ++k) {
      const double y = each * static_cast<double>(k);
      if (look.weave[head[k]] < threads_most) {
        html.leaf("rect", {{"x", x},
                           {"y", y},
                           {"width", to},
                           {"height", each},
                           {"fill", "url(#weave", look.weave[head[k]], ")"}});
      } else {
        html.leaf("rect",
                  {{"x", x}, {"y", y}, {"width", to}, {"height", each}, {"class", "g-wool-dark"}});
      }
    }
  }
}

std::string names_of(const Herd& herd, const std::vector<const PairingAccount*>& pairs) {
  std::string text;
  for (const PairingAccount* pair : pairs) {
    text += (text.empty() ? "" : " = ") + short_name(herd, pair->pairing.sire);
  }
  return text;
}

/// A doe in one line: whom first, what to mind, who then, whom not.
std::vector<std::string> line_of_doe(const CellsLook& look, std::size_t d) {
  const Herd& herd = look.herd;
  const DoeAccount& doe = look.table.does[d];
  std::vector<const PairingAccount*> first, then;
  std::string avoid;
  for (const PairingAccount& pair : doe.sires) {
    if (pair.verdict == Verdict::avoid) {
      avoid += fmt::format("{}{} ({})", avoid.empty() ? "" : ", ",
                           short_name(herd, pair.pairing.sire), short_reason(pair));
    } else if (look.at_head(d, pair.offer)) {
      first.push_back(&pair);
    } else if (then.empty()) {
      then.push_back(&pair);
    }
  }
  const std::string name = short_name(herd, doe.doe.doe);
  if (doe.fitness.on_hold()) {
    return {name, std::string(hold_words(doe.fitness)), "-", fitness_words(herd, doe.fitness), "-",
            "all"};
  }
  if (first.empty()) return {name, "nobody", "-", "every sire is to be avoided", "-", avoid};
  const PairingAccount& best = *first.front();
  const std::string mind = best.reasons.empty() ? "nothing recorded speaks against it"
                                                : short_name(herd, best.pairing.sire) + ": " +
                                                      sentence(herd, best.reasons.front());
  return {name,
          names_of(herd, first),
          best.money ? cell_money(herd, best.money->value) : "-",
          mind,
          then.empty() ? "-" : names_of(herd, then),
          avoid.empty() ? "-" : avoid};
}

void does_in_lines(HtmlWriter& html, const CellsLook& look) {
  const auto section = html.in("section", {{"class", "long"}});
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
    evidence_list(html, look, doe.faults);
  }
}

void rank_top(HtmlWriter& html, const Preamble& preamble, const CellsLook& look) {
  const auto header = html.in("header", {{"class", "head"}});
  html.element("p", {{"class", "t-soft"}},
               "Every doe put forward with every sire on offer. Records as of " +
                   day_in_words(preamble.as_of));
  html.element("h1", rank_headline(look.herd, look.table));
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
  add_cells_sheet(sheet, std::max<std::size_t>(1, table.sires.size()));
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
              "In a table of this size only the cells at the head of a doe's list have their "
              "pictures; narrowed to one doe all have.");
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
