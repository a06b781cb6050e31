// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "cells_forms.hpp"
#include "kin_parts.hpp"
#include "pairing_text.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

HtmlConst cell_class(Verdict verdict, bool head) {
  switch (verdict) {
    case Verdict::go:
      return head ? HtmlConst("cell head-of") : HtmlConst("cell");
    case Verdict::caution:
      return head ? HtmlConst("cell stitched head-of") : HtmlConst("cell stitched");
    case Verdict::avoid:
      return "cell hatched";
  }
  return "cell";
}

/// What stands in a cell before it is opened.
void cell_face(HtmlWriter& html, const CellsLook& look, std::size_t doe, const PairingAccount& pair,
               bool many_sires) {
  const bool head = many_sires && look.at_head(doe, pair.offer);
  const auto face = html.in("summary", {{"class", cell_class(pair.verdict, head)}});
  if (many_sires) {
    html.element("span", {{"class", "of"}}, short_name(look.herd, pair.pairing.sire) + " ");
  }
  html.element("span", {{"class", "worth"}},
               pair.money ? cell_money(look.herd, pair.money->value) : "not worked out");
  if (head) {
    html.text(" ");
    html.element("span", {{"class", "tag"}}, look.heads[doe].size() > 1 ? "= level" : "first");
  }
  if (pair.money) draw_value(html, look, pair.money->value);
  html.text(" ");
  if (many_sires) {
    html.element("span", {{"class", "kid"}}, "kid " + percent(pair.kid_inbreeding.used, 1));
    html.text(" ");
  }
  std::string verdict(word(pair.verdict));
  const std::string why = short_reason(pair);
  if (!why.empty()) verdict += fmt::format(": {}", why);
  html.element("span", {{"class", "verdict"}}, verdict);
}

void doe_heading(HtmlWriter& html, const CellsLook& look, const DoeAccount& doe) {
  const auto head = html.in("th", {{"scope", "row"}, {"role", "rowheader"}});
  html.element("span", {{"class", "name"}}, short_name(look.herd, doe.doe.doe));
  html.text(" ");
  html.element("span", {{"class", "what"}}, kids_for_words(doe.doe.kids_for));
  const std::string_view hold = hold_words(doe.fitness);
  if (!hold.empty()) {
    html.text(" ");
    html.element("span", {{"class", "hold"}}, hold);
  }
}

const PairingAccount* with_offer(const DoeAccount& doe, std::size_t offer) {
  for (const PairingAccount& pair : doe.sires) {
    if (pair.offer == offer) return &pair;
  }
  return nullptr;
}

void key_item(HtmlWriter& html, HtmlConst look, std::string_view sign, std::string_view said) {
  const auto item = html.in("li");
  html.element("span", {{"class", look}}, sign);
  html.element("span", said);
}

}  // namespace

void cells_table(HtmlWriter& html, const CellsLook& look) {
  const auto scroll =
      html.in("div", {{"class", "scroll wide"},
                      {"tabindex", "0"},
                      {"role", "region"},
                      {"aria-label", "Every doe with every sire; a wide table scrolls sideways"}});
  const auto table = html.in("table", {{"class", "cells"}, {"role", "table"}});
  html.element(
      "caption", {{"class", "unseen"}},
      fmt::format(
          "Worth in {} of each doe with each sire this season; each cell opens to its account",
          look.herd.season.currency));
  {
    const auto head = html.in("thead", {{"role", "rowgroup"}});
    const auto row = html.in("tr", {{"role", "row"}});
    html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, "doe");
    for (std::size_t s = 0; s < look.table.sires.size(); ++s) {
      const auto cell = html.in("th", {{"scope", "col"}, {"role", "columnheader"}});
      {
        const auto name = html.in("span", {{"class", "name"}});
        draw_swatch(html, look, s);
        html.text(short_name(look.herd, look.table.sires[s].offer.sire));
      }
      html.text(" ");
      html.element("span", {{"class", "what"}}, short_terms(look.herd, look.table.sires[s]));
    }
  }
  const auto body = html.in("tbody", {{"role", "rowgroup"}});
  for (std::size_t d = 0; d < look.table.does.size(); ++d) {
    const DoeAccount& doe = look.table.does[d];
    const auto row = html.in("tr", {{"role", "row"}});
    doe_heading(html, look, doe);
    for (std::size_t s = 0; s < look.table.sires.size(); ++s) {
      const auto cell = html.in("td", {{"role", "cell"}});
      const PairingAccount* pair = with_offer(doe, s);
      if (pair == nullptr) continue;
      const auto details = html.in("details");
      cell_face(html, look, d, *pair, true);
      pair_account(html, look, d, *pair);
    }
  }
}

void one_sire_table(HtmlWriter& html, const CellsLook& look) {
  const auto table = html.in("table", {{"class", "cells one"}, {"role", "table"}});
  html.element("caption", {{"class", "unseen"}},
               fmt::format("Each doe with {}: worth in {}, inbreeding of a kid, how much is known",
                           short_name(look.herd, look.table.sires.front().offer.sire),
                           look.herd.season.currency));
  {
    const auto head = html.in("thead", {{"role", "rowgroup"}});
    const auto row = html.in("tr", {{"role", "row"}});
    for (const char* title :
         {"doe", "with him", "inbreeding of a kid", "recorded, count on, at worst", "known"}) {
      html.element("th", {{"scope", "col"}, {"role", "columnheader"}}, title);
    }
  }
  const auto body = html.in("tbody", {{"role", "rowgroup"}});
  for (std::size_t d = 0; d < look.table.does.size(); ++d) {
    const DoeAccount& doe = look.table.does[d];
    const PairingAccount& pair = doe.sires.front();
    const auto row = html.in("tr", {{"role", "row"}});
    doe_heading(html, look, doe);
    {
      const auto cell = html.in("td", {{"role", "cell"}});
      const auto details = html.in("details");
      cell_face(html, look, d, pair, false);
      pair_account(html, look, d, pair);
    }
    {
      const auto cell = html.in("td", {{"role", "cell"}});
      draw_readings(html, pair, short_name(look.herd, doe.doe.doe));
    }
    const KidInbreeding& f = pair.kid_inbreeding;
    {
      const auto cell = html.in("td", {{"role", "cell"}});
      html.element("span", {{"class", "of"}}, "recorded, count on, at worst: ");
      html.text(fmt::format("{}, ", percent(f.as_recorded, 2)));
      html.element("strong", percent(f.used, 2));
      html.text(fmt::format(", {}", percent(f.worst, 2)));
    }
    const auto cell = html.in("td", {{"role", "cell"}});
    html.element("span", {{"class", "of"}}, "known: ");
    html.text(percent(pair.known, 0));
  }
}

void cells_key(HtmlWriter& html, const CellsLook& look, bool one_sire) {
  const std::string_view currency = look.herd.season.currency;
  const auto list = html.in("ul", {{"class", "key"}});
  if (!one_sire) {
    key_item(html, "tag", "first", "ahead of the others for her");
    key_item(html, "tag", "= level", "no real difference between these: take either");
  }
  key_item(html, "box stitched", " ", "caution: go with care");
  key_item(html, "box hatched", " ", "avoid");
  html.element("li", fmt::format("blue bar: worth in {} a doe from {} to {}, hire not taken off",
                                 currency, fixed(look.lowest, 0), fixed(look.highest, 0)));
  if (one_sire) {
    html.element(
        "li", "inbreeding: bar from the lowest to the highest reading, ring the one to count on");
    html.element("li", "known: share of both pedigrees to five generations");
    html.element("li", "band at the top: one block a doe, in the order below");
  } else {
    html.element("li", "kid: inbreeding of a kid to count on, blanks in the papers included");
    html.element("li", "band at the top: one block a doe, in the weave of her first sires");
  }
  html.element("li",
               "at worst: one blank filled as badly as it can be; what to count on counts every "
               "blank a little, so it can be the larger of the two");
}

}  // namespace doewright
