// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/report.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
#include "json_writer.hpp"
#include "kin_parts.hpp"
#include "page.hpp"
#include "pairing_json.hpp"
#include "pairing_text.hpp"
#include "preamble.hpp"
#include "rank_words.hpp"

namespace doewright {

namespace {

/// Sires level from `at` on, as "Alder* = Bracken"; moves `at` behind them.
std::string level_cell(const Herd& herd, const std::vector<const PairingAccount*>& open,
                       std::size_t& at) {
  const PairingAccount& first = *open[at];
  std::string text;
  for (; at < open.size(); ++at) {
    const PairingAccount& pair = *open[at];
    const auto& ties = first.tied_with;
    if (&pair != &first && std::find(ties.begin(), ties.end(), pair.pairing.sire) == ties.end())
      break;
    text += (text.empty() ? "" : " = ") + short_name(herd, pair.pairing.sire) +
            (pair.verdict == Verdict::caution ? "*" : "");
  }
  return text;
}

void overview(Page& page, const Herd& herd, const PairingTable& table) {
  std::vector<std::vector<std::string>> rows;
  for (const DoeAccount& doe : table.does) {
    std::vector<std::string> row = {short_name(herd, doe.doe.doe),
                                    std::string(word(doe.doe.kids_for))};
    const auto open = choices_of(doe);
    std::size_t at = 0;
    for (std::size_t i = 0; i < 2; ++i) {
      if (at < open.size()) {
        const PairingAccount& best = *open[at];
        row.push_back(level_cell(herd, open, at));
        if (i == 0) {
          row.push_back(fixed(best.money->value, 0));
          row.push_back(percent(best.kid_inbreeding.used, 1));
        }
      } else {
        row.push_back(
            i == 0 && doe.fitness.on_hold()
                ? std::string(doe.fitness.answer == Fitness::no ? "not this year" : "must wait")
                : "-");
        if (i == 0) row.insert(row.end(), 2, "");
      }
    }
    std::string avoid;
    if (!doe.fitness.on_hold()) {
      for (const PairingAccount& pair : doe.sires) {
        if (pair.verdict != Verdict::avoid) continue;
        avoid += (avoid.empty() ? "" : ", ") + short_name(herd, pair.pairing.sire);
      }
    }
    row.push_back(avoid);
    rows.push_back(std::move(row));
  }
  page.table({{"doe", Page::Align::left, 10},
              {"for", Page::Align::left, 6},
              {"first", Page::Align::left, 19},
              {"worth", Page::Align::right},
              {"F", Page::Align::right},
              {"then", Page::Align::left, 15},
              {"avoid", Page::Align::left, 8}},
             rows);
  page.paragraph(fmt::format(
      "Worth: {} a doe this season by the first sire, his hire not taken off. F: inbreeding of a "
      "kid to count on, blanks in his papers included. * with caution, = no real difference.",
      printable(herd.season.currency)));
}

}  // namespace

void report_rank(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const PairingTable& table, bool full) {
  if (format == Format::html) return rank_as_page(out, preamble, herd, table);
  if (format == Format::csv) return write_pairs_as_csv(out, herd, table);
  if (format == Format::json) {
    JsonWriter json(out);
    begin_document(json, "doewright.rank/1", with_questions(preamble, herd, table.one_animal));
    write_does(json, herd, table);
    json.end_object();
    json.finish();
    return;
  }
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) + rank_headline(herd, table) +
                past_days_words(herd, herd.sires));
  const std::string one_animal = one_animal_words(herd, table.one_animal);
  if (!one_animal.empty()) page.paragraph(one_animal);
  const std::string close = rank_close_calls(herd, table);
  if (!close.empty()) page.paragraph(close);
  page.paragraph(
      "In order of worth in money a doe, avoid last. What a sire costs to hire is not in that "
      "order: it stands beside him below.");
  page.blank();
  overview(page, herd, table);
  for (const DoeAccount& doe : table.does) say_doe(page, herd, table, doe, full);
  say_sires(page, herd, table, true);
  page.blank();
  page.paragraph(
      "Ask every owner: is the pedigree complete, with nobody left out? Keep an eye on a "
      "buck in rut, use two people and a board; health and drugs are for your veterinarian, "
      "moving animals for local law.");
  say_inputs(page, preamble);
}

}  // namespace doewright
