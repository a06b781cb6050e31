// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
#include "health_words.hpp"
#include "kin_parts.hpp"
#include "pairing_text.hpp"
#include "preamble.hpp"

namespace doewright {

void evidence_list(HtmlWriter& html, const CellsLook& look,
                   const std::vector<FaultEvidence>& evidence, std::optional<std::size_t> offer) {
  std::string blank;
  const auto list = html.in("dl", {{"class", "looked"}});
  const auto entry = [&](std::string_view name, std::string_view said) {
    const auto pair = html.in("div");
    html.element("dt", name);
    html.element("dd", said);
  };
  for (std::size_t f = 0; f < look.table.faults.size(); ++f) {
    const FaultModel& model = look.herd.faults[look.table.faults[f]];
    if (model.key == "polled" || !model.same_locus_as.empty()) continue;  // said as horns
    const bool nothing = nothing_recorded(evidence[f]);
    const std::string said = nothing ? any_buck_words(look.herd, look.table, look.table.faults[f], offer)
                                     : evidence_words(evidence[f], model);
    if (said.empty()) {
      blank += (blank.empty() ? "" : ", ") + model.name;
      continue;
    }
    entry(model.name, said);
  }
  if (!blank.empty()) entry("nobody has looked", blank);
}

void sire_card(HtmlWriter& html, const CellsLook& look, std::size_t offer) {
  const SireAccount& sire = look.table.sires[offer];
  const auto card = html.in("section", {{"class", "sire-card"}});
  {
    const auto name = html.in("h3");
    draw_swatch(html, look, offer);
    html.text(long_name(look.herd, sire.offer.sire));
  }
  html.element("p", fmt::format("{}. Ancestors known by generation {}.",
                                terms_words(look.herd, sire), places_in_words(sire.known)));
  const std::string positive = positives_words(sire.positives);
  if (!positive.empty()) html.element("p", "Health. " + positive + ".");
  const std::string missing = papers_to_ask(sire.papers);
  if (!missing.empty()) html.element("p", "Papers. " + missing + ".");
  for (const Reason& question : sire.questions) {
    html.element("p", "Ask his owner: " + sentence(look.herd, question));
  }
  const auto details = html.in("details");
  html.element("summary", "What was looked at and found");
  evidence_list(html, look, sire.faults, offer);
}

void cells_foot(HtmlWriter& html, const Preamble& preamble, std::string_view caution) {
  const auto foot = html.in("footer", {{"class", "notes small"}});
  html.element("p", caution);
  StringSink said;
  Page page(said, false);
  say_inputs(page, preamble);
  std::string paragraph;
  // The text of a terminal, a blank line before each paragraph: its lines are put together again.
  std::string_view rest = said.text();
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    const std::string_view line = rest.substr(0, end);
    if (line.empty() && !paragraph.empty()) html.element("p", paragraph), paragraph.clear();
    if (!line.empty()) paragraph += (paragraph.empty() ? "" : " ") + std::string(line);
    rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + 1);
  }
  if (!paragraph.empty()) html.element("p", paragraph);
}

}  // namespace doewright
