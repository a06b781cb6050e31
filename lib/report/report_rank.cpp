// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/report.hpp>
#include <doewright/report/words.hpp>

#include "json_writer.hpp"
#include "kin_parts.hpp"
#include "page.hpp"
#include "pairing_json.hpp"
#include "pairing_text.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// The sires that are not `avoid`, in order of rank.
std::vector<const PairingAccount*> choices(const DoeAccount& doe) {
  std::vector<const PairingAccount*> result;
  for (const PairingAccount& pair : doe.sires) {
    if (pair.verdict != Verdict::avoid) result.push_back(&pair);
  }
  return result;
}

std::string names_in_words(const std::vector<std::string>& parts) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) text += i + 1 == parts.size() ? " and " : ", ";
    text += parts[i];
  }
  return text;
}

/// The sires that are level at the head of a doe's list, by offer.
std::vector<std::size_t> firsts(const std::vector<const PairingAccount*>& open) {
  std::vector<std::size_t> result;
  for (const PairingAccount* pair : open) {
    const auto& ties = open.front()->tied_with;
    const bool level = pair == open.front() ||
                       std::find(ties.begin(), ties.end(), pair->pairing.sire) != ties.end();
    if (level) result.push_back(pair->offer);
  }
  std::sort(result.begin(), result.end());
  return result;
}

/// "Rowan comes first for 9 of 14 does, Alder and Ash are level for 3; 2 does are on hold."
std::string headline(const Herd& herd, const PairingTable& table) {
  if (table.does.empty()) return "No doe is put forward this season: list them in does.csv.";
  if (table.sires.empty()) return "No sire is on offer this season: list them in sires.csv.";
  std::map<std::vector<std::size_t>, std::size_t> first;
  std::size_t held = 0, nobody = 0;
  for (const DoeAccount& doe : table.does) {
    const auto open = choices(doe);
    if (doe.fitness.on_hold()) {
      ++held;
    } else if (open.empty()) {
      ++nobody;
    } else {
      ++first[firsts(open)];
    }
  }
  std::vector<std::pair<std::vector<std::size_t>, std::size_t>> by_count(first.begin(),
                                                                         first.end());
  std::stable_sort(by_count.begin(), by_count.end(),
                   [](const auto& a, const auto& b) { return a.second > b.second; });
  std::string text;
  for (const auto& [offers, does] : by_count) {
    std::vector<std::string> names;
    for (const std::size_t offer : offers)
      names.push_back(short_name(herd, table.sires[offer].offer.sire));
    text += fmt::format("{}{} {} for {}", text.empty() ? "" : ", ", names_in_words(names),
                        names.size() == 1 ? "comes first" : "are level", does);
    if (&offers == &by_count.front().first) text += fmt::format(" of {} does", table.does.size());
  }
  if (text.empty()) text = "No sire on offer can be put to any doe without being overruled";
  if (held > 0) text += fmt::format("; {} {} on hold", held, held == 1 ? "doe is" : "does are");
  if (nobody > 0) {
    text += fmt::format("; for {} every sire is to be avoided",
                        nobody == 1 ? "one" : std::to_string(nobody));
  }
  return text + ".";
}

/// "Too close to call at these prices for Tansy and Poppy: set kid.value_keep."
std::string close_calls(const Herd& herd, const PairingTable& table) {
  std::vector<std::string> does, prices;
  for (const DoeAccount& doe : table.does) {
    if (doe.close_at.empty()) continue;
    does.push_back(short_name(herd, doe.doe.doe));
    for (const std::string& price : doe.close_at) {
      if (std::find(prices.begin(), prices.end(), price) == prices.end()) prices.push_back(price);
    }
  }
  if (does.empty()) return {};
  constexpr std::size_t most_named = 6;
  std::string who = names_in_words(does);
  if (does.size() > most_named) who = fmt::format("{} of {} does", does.size(), table.does.size());
  return fmt::format(
      "Too close to call at these prices for {}: half or double of a default would put another sire "
      "first. Set {}.",
      who, names_in_words(prices));
}

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
    const auto open = choices(doe);
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
  if (format == Format::html) refuse_page("rank");
  if (format == Format::csv) return write_pairs_as_csv(out, herd, table);
  if (format == Format::json) {
    JsonWriter json(out);
    begin_document(json, "doewright.rank/1", preamble);
    write_does(json, herd, table);
    json.end_object();
    json.finish();
    return;
  }
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) + headline(herd, table));
  const std::string close = close_calls(herd, table);
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
