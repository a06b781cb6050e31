// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
#include "kin_parts.hpp"
#include "pairing_text.hpp"
#include "preamble.hpp"
#include "rank_words.hpp"

namespace doewright {

namespace {

constexpr std::size_t ties_named = 4;
constexpr std::size_t reasons_short = 2;  // where a table is too large for everything
constexpr std::size_t reasons_open = 6;   // the rest one step further

std::string level_with(const Herd& herd, const PairingAccount& pair) {
  std::string names;
  for (std::size_t k = 0; k < std::min(ties_named, pair.tied_with.size()); ++k) {
    names += (k == 0 ? "" : ", ") + short_name(herd, pair.tied_with[k]);
  }
  if (pair.tied_with.size() > ties_named) {
    names += fmt::format(" and {} more", pair.tied_with.size() - ties_named);
  }
  return names;
}

void account_head(HtmlWriter& html, const CellsLook& look, const DoeAccount& doe,
                  const PairingAccount& pair) {
  const auto line = html.in("p");
  html.element("strong", fmt::format("{} with {}", short_name(look.herd, doe.doe.doe),
                                     short_name(look.herd, pair.pairing.sire)));
  std::string said = fmt::format(": {}", word(pair.verdict));
  const std::string why = short_reason(pair);
  if (!why.empty()) said += fmt::format(", {}", why);
  if (look.table.sires.size() > 1 && pair.verdict != Verdict::avoid) {
    said += pair.tied_with.empty() ? fmt::format("; number {} of her list", pair.rank)
                                   : "; no real difference to " + level_with(look.herd, pair);
  }
  html.text(said + ".");
}

void reasons_from(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair,
                  std::size_t from, std::size_t to) {
  const auto list = html.in("ul");
  for (std::size_t r = from; r < std::min(to, pair.reasons.size()); ++r) {
    html.element("li", sentence(look.herd, pair.reasons[r]));
  }
}

void account_reasons(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  if (pair.reasons.size() <= reasons_open + 1) {
    return reasons_from(html, look, pair, 0, pair.reasons.size());
  }
  reasons_from(html, look, pair, 0, reasons_open);
  if (!look.all_drawn) {
    html.element("p", fmt::format("and {} smaller", pair.reasons.size() - reasons_open));
    return;
  }
  const auto rest = html.in("details");
  html.element("summary", fmt::format("{} smaller reasons", pair.reasons.size() - reasons_open));
  reasons_from(html, look, pair, reasons_open, pair.reasons.size());
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
  if (!pair.chance_best) return;
  for (const DoeAccount& doe : look.table.does) {  // the best of one is no distinction
    if (doe.doe.doe == pair.pairing.doe && choices_of(doe).size() < 2) return;
  }
  html.element("h3", "How sure it is that he is the best for her");
  const auto line = html.in("div", {{"class", "best"}});
  draw_chance(html, *pair.chance_best);
  std::string said =
      fmt::format("Best in {} of 100 draws of what is not known", in_hundred(*pair.chance_best));
  if (pair.regret && *pair.regret > 0.0) {
    said += fmt::format("; choosing him loses {} {} on average against the best in hindsight.",
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
      account_reasons(html, look, pair);
      account_questions(html, look, pair);
    }
    const auto right = html.in("div");
    if (pair.money) {
      html.element("h3", fmt::format("What she is worth with him, {}", look.herd.season.currency));
      draw_parts(html, look, pair);
      account_settling(html, look, pair);
    }
    account_chance(html, look, pair);
  }
  account_kin(html, look, pair);
  html.element("h3", "What a kid may show");
  draw_risks(html, look, pair);
}

/// In words, without what is true of him whoever the doe: that stands once, beside him.
void account_short(HtmlWriter& html, const CellsLook& look, const PairingAccount& pair) {
  std::string text = fmt::format("{} with {}: ", short_name(look.herd, pair.pairing.doe),
                                 short_name(look.herd, pair.pairing.sire));
  if (pair.money) text += parts_words(*pair.money) + ".";
  html.element("p", text);
  const auto list = html.in("ul");
  std::size_t said = 0;
  for (const Reason& reason : pair.reasons) {
    if (is_of_him_alone(reason, pair.pairing.sire)) continue;
    html.element("li", sentence(look.herd, reason));
    if (++said == reasons_short) break;
  }
  if (said == 0) html.element("li", "nothing recorded of the two together");
}

}  // namespace

void pair_account(HtmlWriter& html, const CellsLook& look, std::size_t doe,
                  const PairingAccount& pair) {
  const auto box = html.in("div", {{"class", "account"}});
  if (!look.drawn(pair)) return account_short(html, look, pair);
  account_head(html, look, look.table.does[doe], pair);
  account_drawn(html, look, pair);
}

}  // namespace doewright
