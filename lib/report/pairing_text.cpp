// SPDX-License-Identifier: MIT
#include "pairing_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/report/words.hpp>

#include "health_words.hpp"
#include "kin_parts.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr std::size_t deciding_facts = 2;

}  // namespace

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
  for (std::size_t i = deciding_facts; i < fitness.reasons.size(); ++i) {  // no positive is left out
    if (fitness.reasons[i].code == reason::health_positive) text += "; " + sentence(herd, fitness.reasons[i]);
  }
  return printable(text);
}

namespace {

std::string money(double amount) {
  return fixed(amount, 0);
}

}  // namespace

/// "kids 208, merit +3, inbreeding -4, faults -40, cost -17".
std::string parts_words(const PairingMoney& m) {
  std::string text = "kids " + money(m.kids);
  const auto add = [&](const char* name, double amount) {
    if (std::abs(amount) < 0.5) return;
    text += fmt::format(", {} {}{}", name, amount > 0 ? "+" : "", money(amount));
  };
  add("merit", m.merit);
  add("inbreeding", m.inbreeding);
  add("faults", m.faults);
  add("if she stays open", m.open);
  add("cost", m.cost);
  return text;
}

std::string in_hundred(double p) {
  return p > 0.0 && p < 0.01 ? "<1" : fixed(100.0 * p, 0);
}

namespace {

/// Chance of each fault in a kid of the pair, with how well the parents are known.
void say_risks(Page& page, const Herd& herd, const PairingTable& table,
               const PairingAccount& pair) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t f = 0; f < pair.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    const PairFault& fault = pair.faults[f];
    const KidRisk& risk = fault.risk;
    if (risk.affected_high < 5e-4 && risk.carrier.value_or(0.0) < 5e-4) continue;
    std::string shows = in_hundred(risk.affected);
    if (std::abs(risk.affected_doe - risk.affected_buck) > 0.005) {
      shows = fmt::format("{} d, {} b", in_hundred(risk.affected_doe),
                          in_hundred(risk.affected_buck));
    }
    rows.push_back(
        {cut_to_width(printable(model.name), 24), shows,
         risk.affected_high == 0.0 && risk.affected > 0.0
             ? std::string("mostly 0")
             : fmt::format("{} to {}", in_hundred(risk.affected_low), in_hundred(risk.affected_high)),
         risk.carrier ? in_hundred(*risk.carrier) : "-", in_hundred(risk.any_in_litter),
         fault.cost > 0.005 ? fixed(fault.cost, 1) : "-"});
  }
  if (rows.empty()) return;
  page.table({{"     of 100 kids", Page::Align::left, 29},
              {"show it", Page::Align::right},
              {"could be", Page::Align::right},
              {"carry it", Page::Align::right},
              {"litters", Page::Align::right},
              {"cost", Page::Align::right}},
             [&] {
               for (auto& row : rows) row[0] = "     " + row[0];
               return rows;
             }());
  page.paragraph(
      fmt::format("Could be: how well the parents are known (90 in 100). Carry it: and do not show it. "
                  "Litters: of 100, with at least one kid that shows it. Cost: {} a doe. d does, b bucks.",
                  printable(herd.season.currency)),
      5, 5);
}

/// `has_choice`: more than one sire is not avoid for her; the best of one is no distinction.
void say_pair(Page& page, const Herd& herd, const PairingTable& table, const PairingAccount& pair,
              bool has_choice, bool full) {
  std::string line = fmt::format(
      "{}  {} {} {} {}  {}", pad_left(std::to_string(pair.rank), 3), pad_right(word(pair.verdict), 7),
      pad_right(cut_to_width(short_name(herd, pair.pairing.sire), 14), 14),
      pad_left(money(pair.money->value), 6), pad_right(printable(herd.season.currency), 3),
      pad_left(percent(pair.kid_inbreeding.used, 2), 8));
  std::string standing;
  if (!pair.tied_with.empty()) {
    standing = "level with ";
    for (std::size_t i = 0; i < pair.tied_with.size(); ++i) {
      standing += (i > 0 ? ", " : "") + cut_to_width(short_name(herd, pair.tied_with[i]), 28);
    }
  } else if (pair.chance_best && has_choice) {
    standing = fmt::format("best in {} of 100", in_hundred(*pair.chance_best));
  }
  page.labelled(standing.empty() ? line : line + "  ", 50, standing);
  constexpr std::size_t indent = 5;
  const std::size_t shown = full ? pair.reasons.size() : deciding_facts;
  for (std::size_t i = 0; i < pair.reasons.size(); ++i) {
    // That his papers are thin is never left out.
    if (i >= shown && pair.reasons[i].code != reason::thin_papers) continue;
    page.labelled(std::string(indent, ' ') + "- ", indent + 2,
                  printable(sentence(herd, pair.reasons[i])));
  }
  if (!full) return;
  const KidInbreeding& f = pair.kid_inbreeding;
  const std::string assumes = assumes_in_words(herd, f);
  page.labelled(
      std::string(indent, ' ') + "F ", indent + 2,
      fmt::format("of a kid: {} as recorded, {} with blanks {}, {} at worst{}{}",
                  percent(f.as_recorded, 2), percent(f.unknowns_as_breed, 2),
                  unknowns_in_words(f.unknowns_by), percent(f.worst, 2), assumes.empty() ? "" : ": ", assumes));
  page.labelled(std::string(indent, ' ') + "= ", indent + 2,
                fmt::format("{} {} a doe: {}; his hire besides, once: {}", money(pair.money->value),
                            printable(herd.season.currency), parts_words(*pair.money),
                            money(table.sires[pair.offer].hire_cost)));
  page.labelled(
      std::string(indent, ' ') + "= ", indent + 2,
      fmt::format("she settles to him in {} of 100; {} kids weaned a kidding; {} {} a kid",
                  in_hundred(pair.settle_probability), fixed(pair.kids_per_kidding, 2),
                  fixed(pair.money->value_per_kid, 0), printable(herd.season.currency)));
  say_risks(page, herd, table, pair);
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

}  // namespace

bool nothing_recorded(const FaultEvidence& e) {
  return !e.test.copies && !e.sire_test.copies && !e.dam_test.copies &&
         e.own.look == Look::not_looked && e.sire.look == Look::not_looked &&
         e.dam.look == Look::not_looked && e.kids.examined == 0 && e.sibs.examined == 0 &&
         e.kids_tested.examined == 0 && e.sibs_tested.examined == 0 &&
         e.elsewhere_seen.examined == 0 && e.elsewhere_told.examined == 0;
}

std::string any_buck_words(const Herd& herd, const PairingTable& table, FaultIndex fault,
                           std::optional<std::size_t> offer) {
  for (const DoeAccount& doe : table.does) {
    if (!offer) break;
    for (const PairingAccount& pair : doe.sires) {
      if (pair.offer != *offer) continue;
      for (const Reason& reason : pair.reasons) {
        if (reason.code == reason::fault_any_buck && reason.numbers[0] == double(fault)) {
          return sentence(herd, reason).substr(herd.faults[fault].name.size() + 2);  // "name: "
        }
      }
    }
  }
  return {};
}

namespace {

std::string count_words(const LookCount& count, std::string_view of) {
  return fmt::format("{} of {} {}", count.found, count.examined, of);
}

std::string test_words(const GeneTested& test) {
  static constexpr const char* words[] = {"no copy", "one copy (a carrier)", "two copies"};
  return std::string("gene test ") + words[*test.copies % 3];
}

}  // namespace

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
  const auto add_tested = [&](const LookCount& tested, std::string_view whose) {
    if (tested.examined == 0) return;
    text += fmt::format("; {} of {} {} with a gene test carr{} it", tested.found, tested.examined, whose,
                        tested.found == 1 ? "ies" : "y");
  };
  add_tested(e.kids_tested, e.kids_tested.examined == 1 ? "kid" : "kids");
  add_tested(e.sibs_tested, e.sibs_tested.examined == 1 ? "brother or sister" : "brothers and sisters");
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
  text += fmt::format(", hire {} {} once", fixed(sire.hire_cost, 0), printable(herd.season.currency));
  if (sire.doe_cost > 0.0) {
    text += fmt::format(" and {} {} a doe", fixed(sire.doe_cost, 0), printable(herd.season.currency));
  }
  return text;
}

void say_evidence(Page& page, const Herd& herd, const PairingTable& table,
                  const std::vector<FaultEvidence>& evidence, std::optional<std::size_t> offer) {
  std::string blank;
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    if (model.key == "polled" || !model.same_locus_as.empty()) continue;  // said as horns
    const bool nothing = nothing_recorded(evidence[f]);
    const std::string said = nothing ? any_buck_words(herd, table, table.faults[f], offer)
                                     : evidence_words(evidence[f], model);
    if (said.empty()) {
      blank += (blank.empty() ? "" : ", ") + model.name;
      continue;
    }
    page.labelled("    " + cut_to_width(printable(model.name), 20), 26, said);
  }
  if (!blank.empty()) {
    page.labelled("    nobody has looked", 26, printable(blank));
  }
}

void say_doe(Page& page, const Herd& herd, const PairingTable& table, const DoeAccount& doe,
             bool full) {
  page.heading(fmt::format("{}, {} - {}", long_name(herd, doe.doe.doe),
                           kids_for_words(doe.doe.kids_for), fitness_words(herd, doe.fitness)));
  const auto open = std::count_if(doe.sires.begin(), doe.sires.end(), [](const PairingAccount& pair) {
    return pair.verdict != Verdict::avoid;
  });
  for (const PairingAccount& pair : doe.sires) say_pair(page, herd, table, pair, open > 1, full);
  if (!full) return;
  page.blank();
  page.paragraph(
      fmt::format("Her ancestors known by generation {}; {}. What was looked at and found:",
                  places_in_words(doe.known), horns_words(herd, doe.doe.doe)),
      2, 2);
  say_evidence(page, herd, table, doe.faults, {});
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
  for (std::size_t s = 0; s < table.sires.size(); ++s) {
    const SireAccount& sire = table.sires[s];
    page.paragraph(
        fmt::format("{}: {}. Ancestors known by generation {}.", long_name(herd, sire.offer.sire),
                    terms_words(herd, sire), places_in_words(sire.known)),
        0, 2);
    say_evidence(page, herd, table, sire.faults, s);
    const std::string positive = positives_words(sire.positives);
    if (!positive.empty()) page.labelled("    health", 26, printable(positive));
    const std::string missing = papers_to_ask(sire.papers);
    if (!missing.empty()) page.labelled("    papers", 26, printable(missing));
    for (const Reason& question : sire.questions) {
      if (!questions) break;
      page.labelled("    ask his owner", 26, printable(sentence(herd, question)));
    }
  }
}

}  // namespace doewright
