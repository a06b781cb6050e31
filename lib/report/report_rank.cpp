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

/// "Rowan comes first for 9 of 14 does, Alder for 3; 2 must wait."
std::string headline(const Herd& herd, const PairingTable& table) {
  std::map<std::size_t, std::size_t> first;  // offer -> does
  std::size_t held = 0, nobody = 0;
  for (const DoeAccount& doe : table.does) {
    const auto open = choices(doe);
    if (doe.fitness.on_hold()) {
      ++held;
    } else if (open.empty()) {
      ++nobody;
    } else {
      ++first[open.front()->offer];
    }
  }
  std::vector<std::pair<std::size_t, std::size_t>> by_count(first.begin(), first.end());
  std::stable_sort(by_count.begin(), by_count.end(),
                   [](const auto& a, const auto& b) { return a.second > b.second; });
  std::vector<std::string> parts;
  for (const auto& [offer, does] : by_count) {
    const std::string name = short_name(herd, table.sires[offer].offer.sire);
    parts.push_back(parts.empty()
                        ? fmt::format("{} comes first for {} of {} does", name, does, table.does.size())
                        : fmt::format("{} for {}", name, does));
  }
  std::string text = parts.empty() ? "No sire on offer can be put to any doe without being overruled"
                                   : names_in_words(parts);
  if (held > 0) text += fmt::format("; {} {} on hold", held, held == 1 ? "doe is" : "does are");
  if (nobody > 0) {
    text += fmt::format("; for {} every sire is to be avoided", nobody == 1 ? "one" : std::to_string(nobody));
  }
  return text + ".";
}

std::string cell(const Herd& herd, const PairingAccount& pair) {
  const std::string mark = pair.verdict == Verdict::caution ? " *" : "";
  return short_name(herd, pair.pairing.sire) + mark;
}

void overview(Page& page, const Herd& herd, const PairingTable& table) {
  std::vector<std::vector<std::string>> rows;
  for (const DoeAccount& doe : table.does) {
    std::vector<std::string> row = {short_name(herd, doe.doe.doe), std::string(word(doe.doe.kids_for))};
    const auto open = choices(doe);
    for (std::size_t i = 0; i < 2; ++i) {
      if (i < open.size()) {
        row.push_back(cell(herd, *open[i]));
        row.push_back(percent(open[i]->kid_inbreeding.used, 1));
      } else {
        row.push_back(i == 0 && doe.fitness.on_hold()
                          ? std::string(doe.fitness.answer == Fitness::no ? "not this year" : "must wait")
                          : "-");
        row.push_back("");
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
  page.table({{"doe", Page::Align::left, 14},
              {"kids for", Page::Align::left, 8},
              {"first", Page::Align::left, 14},
              {"F", Page::Align::right},
              {"then", Page::Align::left, 14},
              {"F", Page::Align::right},
              {"avoid", Page::Align::left, 12}},
             rows);
  page.paragraph("F: inbreeding of a kid to count on, blanks in the sire's papers included. * with "
                 "caution: the reason stands below.");
}

}  // namespace

void report_rank(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const PairingTable& table, bool full) {
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
  page.paragraph("In order of the kid's inbreeding, closest last. Worth in money and the chances of "
                 "faults are not worked out: read the records on faults under each doe.");
  page.blank();
  overview(page, herd, table);
  for (const DoeAccount& doe : table.does) say_doe(page, herd, table, doe, full);
  say_sires(page, herd, table);
  page.blank();
  page.paragraph("Ask every owner: is the pedigree complete, with nobody left out? Keep an eye on a "
                 "buck in rut, use two people and a board; health and drugs are for your veterinarian, "
                 "moving animals for local law.");
  say_inputs(page, preamble);
}

}  // namespace doewright
