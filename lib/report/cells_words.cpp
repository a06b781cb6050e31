// SPDX-License-Identifier: MIT
#include <array>
#include <utility>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/reason_codes.hpp>

#include "cells_forms.hpp"

namespace doewright {

std::string cell_money(const Herd& herd, double amount) {
  return fixed(amount, 0) + "\u00a0" + printable(herd.season.currency);
}

std::string short_reason(const PairingAccount& pair) {
  // In the order in which they are said where several are equally strict; two at most.
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 10> words = {{
      {"hold", "doe on hold"},
      {"not-sires", "you ruled him out"},
      {"lethal", "deadly fault"},
      {"inbreeding", "close kin"},
      {"polled", "both polled"},
      {"told", "owner\u2019s word"},
      {"thin-papers", "parents unknown"},
      {"young-sire", "young sire"},
      {"horns-unknown", "horns unknown"},
      {"papers", "papers missing"},
  }};
  std::string text;
  std::size_t count = 0;
  const bool positive = std::any_of(pair.reasons.begin(), pair.reasons.end(), [](const Reason& each) {
    return each.code == reason::health_positive && each.effect >= 1.0;  // less: a negative came after it
  });
  if (positive && pair.verdict == Verdict::caution) text = "health test", ++count;
  for (const auto& [rule, said] : words) {
    if (positive && rule == "papers") continue;
    for (const RuleHit& hit : pair.rules) {
      if (hit.verdict != pair.verdict || hit.rule != rule || count == 2) continue;
      text += (count == 0 ? "" : ", ") + std::string(said);
      ++count;
    }
    if (rule == "hold" && count > 0) break;  // on hold with every sire: the rest is in the account
  }
  return text;
}

std::string short_terms(const Herd& herd, const SireAccount& sire) {
  std::string text(word(sire.offer.terms));
  if (text.empty()) text = "terms not recorded";
  if (sire.hire_cost > 0.0) text += fmt::format(", {} once", cell_money(herd, sire.hire_cost));
  if (sire.doe_cost > 0.0) text += fmt::format(", {} a doe", cell_money(herd, sire.doe_cost));
  return text;
}

std::string_view hold_words(const DoeFitness& fitness) {
  if (!fitness.on_hold()) return {};
  return fitness.answer == Fitness::no ? "not this year" : "must wait";
}

}  // namespace doewright
