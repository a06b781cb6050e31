// SPDX-License-Identifier: MIT
#include "rank_words.hpp"

#include "cells_forms.hpp"
#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "preamble.hpp"

namespace doewright {

namespace {

constexpr std::size_t names_most = 4;   ///< More are counted, not named.
constexpr std::size_t groups_most = 4;  ///< Of sires that come first together.

std::string names_in_words(std::vector<std::string> parts, std::size_t most) {
  if (parts.size() > most) {
    const std::size_t rest = parts.size() - most;
    parts.resize(most);
    parts.push_back(fmt::format("{} more", rest));
  }
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) text += i + 1 == parts.size() ? " and " : ", ";
    text += parts[i];
  }
  return text;
}

}  // namespace

/// The sires that are not `avoid`, in order of rank.
std::vector<const PairingAccount*> choices_of(const DoeAccount& doe) {
  std::vector<const PairingAccount*> result;
  for (const PairingAccount& pair : doe.sires) {
    if (pair.verdict != Verdict::avoid) result.push_back(&pair);
  }
  return result;
}

/// The sires that are level at the head of a doe's list, by offer.
std::vector<std::size_t> level_at_head(const std::vector<const PairingAccount*>& open) {
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
std::string rank_headline(const Herd& herd, const PairingTable& table) {
  if (table.does.empty()) return "No doe is put forward this season: list them in does.csv.";
  if (table.sires.empty()) return "No sire is on offer this season: list them in sires.csv.";
  // The first of one is no distinction.
  if (table.sires.size() == 1) return "Only one sire is looked at. " + sire_headline(herd, table);
  std::map<std::vector<std::size_t>, std::size_t> first;
  std::size_t held = 0, nobody = 0;
  for (const DoeAccount& doe : table.does) {
    const auto open = choices_of(doe);
    if (doe.fitness.on_hold()) {
      ++held;
    } else if (open.empty()) {
      ++nobody;
    } else {
      ++first[level_at_head(open)];
    }
  }
  std::vector<std::pair<std::vector<std::size_t>, std::size_t>> by_count(first.begin(),
                                                                         first.end());
  std::stable_sort(by_count.begin(), by_count.end(),
                   [](const auto& a, const auto& b) { return a.second > b.second; });
  std::string text;
  std::size_t others = 0;
  for (std::size_t g = groups_most; g < by_count.size(); ++g) others += by_count[g].second;
  if (by_count.size() > groups_most) by_count.resize(groups_most);
  for (const auto& [offers, does] : by_count) {
    std::vector<std::string> names;
    for (const std::size_t offer : offers)
      names.push_back(short_name(herd, table.sires[offer].offer.sire));
    text +=
        fmt::format("{}{} {} for {}", text.empty() ? "" : ", ", names_in_words(names, names_most),
                    names.size() == 1 ? "comes first" : "are level", does);
    if (&offers == &by_count.front().first) text += fmt::format(" of {} does", table.does.size());
  }
  if (others > 0) text += fmt::format(", others for {}", others);
  if (text.empty()) text = "No sire on offer can be put to any doe without being overruled";
  if (held > 0) text += fmt::format("; {} {} on hold", held, held == 1 ? "doe is" : "does are");
  if (nobody > 0) {
    text += fmt::format("; for {} every sire is to be avoided",
                        nobody == 1 ? "one" : std::to_string(nobody));
  }
  return text + ".";
}

/// "Too close to call at these prices for Tansy and Poppy: set kid.value_keep."
std::string rank_close_calls(const Herd& herd, const PairingTable& table) {
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
  std::string who = names_in_words(does, does.size());
  if (does.size() > most_named) who = fmt::format("{} of {} does", does.size(), table.does.size());
  return fmt::format(
      "Too close to call at these prices for {}: half or double of a default, or of several at once, "
      "would put another sire first. Set {}.",
      who, names_in_words(prices, prices.size()));
}

}  // namespace doewright
