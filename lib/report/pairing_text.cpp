// SPDX-License-Identifier: MIT
#include "pairing_text.hpp"

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "kin_parts.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr std::size_t deciding_facts = 2;

std::string kids_for_words(KidsFor kids_for) {
  switch (kids_for) {
    case KidsFor::keep:
      return "kids to keep";
    case KidsFor::meat:
      return "kids for meat";
    case KidsFor::either:
      return "kids to keep or for meat";
  }
  return "";
}

std::string fitness_words(const Herd& herd, const DoeFitness& fitness) {
  if (fitness.reasons.empty()) return std::string(word(fitness.answer));
  std::string text = std::string(word(fitness.answer)) + ": ";
  for (std::size_t i = 0; i < fitness.reasons.size() && i < deciding_facts; ++i) {
    if (i > 0) text += "; ";
    text += sentence(herd, fitness.reasons[i]);
  }
  return printable(text);
}

void say_pair(Page& page, const Herd& herd, const PairingAccount& pair, bool full) {
  const std::string label = fmt::format(
      "{}  {} {} {}  ", pad_left(std::to_string(pair.rank), 3), pad_right(word(pair.verdict), 7),
      pad_right(cut_to_width(short_name(herd, pair.pairing.sire), 14), 14),
      pad_left(percent(pair.kid_inbreeding.used, 2), 8));
  const std::size_t indent = display_width(label);
  const std::size_t shown = full ? pair.reasons.size() : deciding_facts;
  for (std::size_t i = 0; i < pair.reasons.size() && i < shown; ++i) {
    page.labelled(i == 0 ? label : "", indent, printable(sentence(herd, pair.reasons[i])));
  }
  if (!full) return;
  const KidInbreeding& f = pair.kid_inbreeding;
  const std::string assumes = assumes_in_words(herd, f);
  page.labelled("", indent,
                fmt::format("F of a kid: {} as recorded, {} with blanks {}, {} at worst{}{}",
                            percent(f.as_recorded, 2), percent(f.unknowns_as_breed, 2),
                            unknowns_in_words(f.unknowns_by), percent(f.worst, 2),
                            assumes.empty() ? "" : ": ", assumes));
}

std::string look_words(const LookedAt& look, const FaultModel& model) {
  switch (look.look) {
    case Look::not_looked:
      return "not looked at";
    case Look::clear:
      return "looked at, not found";
    case Look::found:
      break;
  }
  if (look.removed) return "found: removed";
  if (look.grade && *look.grade < model.grades.size() && model.grades[*look.grade] != "yes") {
    return "found: " + model.grades[*look.grade];
  }
  return "found";
}

bool nothing_recorded(const FaultEvidence& e) {
  return !e.test.copies && !e.sire_test.copies && !e.dam_test.copies &&
         e.own.look == Look::not_looked && e.sire.look == Look::not_looked &&
         e.dam.look == Look::not_looked && e.kids.examined == 0 && e.sibs.examined == 0 &&
         e.elsewhere_seen.examined == 0 && e.elsewhere_told.examined == 0;
}

std::string count_words(const LookCount& count, std::string_view of) {
  return fmt::format("{} of {} {}", count.found, count.examined, of);
}

std::string test_words(const GeneTested& test) {
  static constexpr const char* words[] = {"no copy", "one copy (a carrier)", "two copies"};
  return std::string("gene test ") + words[*test.copies % 3];
}

std::string evidence_words(const FaultEvidence& e, const FaultModel& model) {
  std::string text;
  if (e.test.copies) text = test_words(e.test) + "; ";
  if (e.dam_test.copies) text += "dam's " + test_words(e.dam_test) + "; ";
  if (e.sire_test.copies) text += "sire's " + test_words(e.sire_test) + "; ";
  text += "itself " + look_words(e.own, model);
  if (e.dam.look != Look::not_looked) text += "; dam " + look_words(e.dam, model);
  if (e.sire.look != Look::not_looked) text += "; sire " + look_words(e.sire, model);
  if (e.kids.animals > 0 && e.kids.examined == 0) {
    text += fmt::format("; none of {} kids looked at", e.kids.animals);
  } else if (e.kids.animals > 0) {
    text += fmt::format("; found in {} of {} kids looked at", e.kids.found, e.kids.examined);
    if (e.kids.animals > e.kids.examined) {
      text += fmt::format(" ({} not looked at)", e.kids.animals - e.kids.examined);
    }
  }
  if (e.sibs.examined > 0) text += "; " + count_words(e.sibs, "brothers and sisters");
  if (e.elsewhere_seen.examined > 0) text += "; " + count_words(e.elsewhere_seen, "kids elsewhere");
  if (e.elsewhere_told.examined > 0) {
    text += "; " + count_words(e.elsewhere_told, "kids elsewhere by the owner's word");
  }
  return text;
}

std::string horns_words(const Herd& herd, Animal animal) {
  const Horns horns = herd.animals.horns[animal.position];
  return horns == Horns::unknown ? "horns not recorded" : std::string(word(horns)) + " as born";
}

std::string terms_words(const Herd& herd, const SireAccount& sire) {
  std::string text(word(sire.offer.terms));
  if (text.empty()) text = "terms not recorded";
  if (sire.age_months) {
    const int months = static_cast<int>(*sire.age_months);
    text +=
        months < 24 ? fmt::format(", {} months", months) : fmt::format(", {} years", months / 12);
  } else {
    text += ", age not recorded";
  }
  text += sire.proven ? ", proven" : ", unproven";
  text += ", " + horns_words(herd, sire.offer.sire);
  if (sire.most_does) text += fmt::format(", at most {} does", *sire.most_does);
  return text;
}

}  // namespace

void say_evidence(Page& page, const Herd& herd, const PairingTable& table,
                  const std::vector<FaultEvidence>& evidence) {
  std::string blank;
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    if (model.key == "polled" || !model.same_locus_as.empty()) continue;  // said as horns
    if (nothing_recorded(evidence[f])) {
      blank += (blank.empty() ? "" : ", ") + model.name;
      continue;
    }
    page.labelled("    " + cut_to_width(printable(model.name), 20), 26,
                  evidence_words(evidence[f], model));
  }
  if (!blank.empty()) {
    page.labelled("    nobody has looked", 26, printable(blank));
  }
}

void say_doe(Page& page, const Herd& herd, const PairingTable& table, const DoeAccount& doe,
             bool full) {
  page.heading(fmt::format("{}, {} - {}", long_name(herd, doe.doe.doe),
                           kids_for_words(doe.doe.kids_for), fitness_words(herd, doe.fitness)));
  for (const PairingAccount& pair : doe.sires) say_pair(page, herd, pair, full);
  if (!full) return;
  page.blank();
  page.paragraph(
      fmt::format("Her ancestors known by generation {}; {}. What was looked at and found:",
                  places_in_words(doe.known), horns_words(herd, doe.doe.doe)),
      2, 2);
  say_evidence(page, herd, table, doe.faults);
  if (doe.sires.empty()) return;
  page.blank();
  page.paragraph("What would change the answer:", 2, 2);
  for (const PairingAccount& pair : doe.sires) {
    for (std::size_t q = 0; q < pair.questions.size() && q < deciding_facts; ++q) {
      page.labelled("    " + cut_to_width(short_name(herd, pair.pairing.sire), 14), 20,
                    printable(sentence(herd, pair.questions[q])));
    }
  }
}

void say_sires(Page& page, const Herd& herd, const PairingTable& table, bool questions) {
  page.heading("The sires on offer");
  for (const SireAccount& sire : table.sires) {
    page.paragraph(
        fmt::format("{}: {}. Ancestors known by generation {}.", long_name(herd, sire.offer.sire),
                    terms_words(herd, sire), places_in_words(sire.known)),
        0, 2);
    say_evidence(page, herd, table, sire.faults);
    std::string missing;
    for (const Paper& paper : sire.papers) {
      if (paper.state == PaperState::in_order) continue;
      missing += fmt::format("{}{}: {}", missing.empty() ? "" : "; ", printable(paper.disease),
                             word(paper.state));
    }
    if (!missing.empty()) page.labelled("    papers", 26, missing);
    for (const Reason& question : sire.questions) {
      if (!questions) break;
      page.labelled("    ask his owner", 26, printable(sentence(herd, question)));
    }
  }
}

}  // namespace doewright
