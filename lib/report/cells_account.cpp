// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
#include "kin_parts.hpp"
#include "pairing_text.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr std::size_t reasons_short = 3;  // where a table is too large for everything

std::string level_with(const Herd& herd, const PairingAccount& pair) {
  std::string names;
  for (const Animal each : pair.tied_with)
    names += (names.empty() ? "" : ", ") + short_name(herd, each);
  return names;
}

void account_head(HtmlWriter& html, const CellsLook& look, const DoeAccount& doe,
                  const PairingAccount& pair) {
  const auto line = html.in("p");
  html.element("strong", fmt::format("{} with {}", short_name(look.herd, doe.doe.doe),
                                     short_name(look.herd, pair.pairing.sire)));
  std::string said = fmt::format(": {}", word(pair.verdict));
  const std::string_view why = short_reason(pair);
  if (!why.empty()) said += fmt::format(", {}", why);
  if (look.table.sires.size() > 1 && pair.verdict != Verdict::avoid) {
    said += pair.tied_with.empty() ? fmt::format("; number {} of her list", pair.rank)
                                   : "; no real difference to " + level_with(look.herd, pair);
  }
  html.text(said + ".");
}

void account_reasons(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair,
                     bool all) {
  const auto list = html.in("ul");
  for (std::size_t r = 0; r < pair.reasons.size() && (all || r < reasons_short); ++r) {
    html.element("li", sentence(look.herd, pair.reasons[r]));
  }
  if (all) return;
  if (pair.reasons.size() > reasons_short) {
    html.element("li", fmt::format("and {} more", pair.reasons.size() - reasons_short));
  }
}

void account_settling(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  html.element(
      "p", {{"class", "t-soft"}},
      fmt::format(
          "She settles to him in {} of 100; {} kids weaned a kidding; {} a kid. His hire, {} "
          "once, is not taken off.",
          in_hundred(pair.settle_probability), fixed(pair.kids_per_kidding, 2),
          cell_money(look.herd, pair.money->value_per_kid),
          cell_money(look.herd, look.table.sires[pair.offer].hire_cost)));
}

void account_chance(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  if (!pair.chance_best || look.table.sires.size() < 2) return;
  const auto line = html.in("div", {{"class", "best"}});
  html.element("span", "his kid is the best");
  draw_chance(html, *pair.chance_best);
  std::string said =
      fmt::format("in {} of 100 draws of what is not known", in_hundred(*pair.chance_best));
  if (pair.regret && *pair.regret > 0.0) {
    said += fmt::format("; choosing him loses {} {} on average against the best in hindsight",
                        fixed(*pair.regret, 1), look.herd.season.currency);
  }
  html.element("span", {{"class", "t-soft"}}, said);
}

std::string readings_words(const Herd& herd, const KidInbreeding& f) {
  const std::string assumes = assumes_in_words(herd, f);
  return fmt::format("{} as recorded, {} to count on, {} with blanks {}, {} at worst{}{}.",
                     percent(f.as_recorded, 2), percent(f.used, 2), percent(f.unknowns_as_breed, 2),
                     unknowns_in_words(f.unknowns_by), percent(f.worst, 2),
                     assumes.empty() ? "" : ": ", assumes);
}

void account_kin(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  html.element("h3", "How close: inbreeding of a kid");
  draw_readings(html, pair,
                fmt::format("{} with {}", short_name(look.herd, pair.pairing.doe),
                            short_name(look.herd, pair.pairing.sire)));
  html.element("p", readings_words(look.herd, pair.kid_inbreeding));
  draw_paths(html, look.herd, pair);
  if (!pair.paths.empty() && pair.paths_left_out > 5e-5) {
    html.element("p", {{"class", "t-soft"}},
                 fmt::format("Further paths, not drawn, add {}.", percent(pair.paths_left_out, 2)));
  }
}

void account_questions(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  if (pair.questions.empty()) return;
  html.element("h3", "What would change the answer");
  const auto list = html.in("ul");
  for (const Reason& question : pair.questions) html.element("li", sentence(look.herd, question));
}

void account_drawn(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  {
    const auto two = html.in("div", {{"class", "pair-two"}});
    {
      const auto left = html.in("div");
      html.element("h3", "Why");
      account_reasons(html, look, pair, true);
      account_questions(html, look, pair);
    }
    const auto right = html.in("div");
    if (pair.money) {
      html.element("h3", fmt::format("What she is worth with him, {}", look.herd.season.currency));
      draw_parts(html, look, pair);
      account_settling(html, look, pair);
    }
    account_kin(html, look, pair);
  }
  account_chance(html, look, pair);
  html.element("h3", "What a kid may show");
  draw_risks(html, look, pair);
}

}  // namespace

void pair_account(HtmlWriter& html, const CellsLook& look, std::size_t doe,
                  const PairingAccount& pair) {
  const auto box = html.in("div", {{"class", "account"}});
  account_head(html, look, look.table.does[doe], pair);
  if (look.drawn(doe, pair)) return account_drawn(html, look, pair);
  if (pair.money) html.element("p", parts_words(*pair.money));
  account_reasons(html, look, pair, false);
}

}  // namespace doewright
