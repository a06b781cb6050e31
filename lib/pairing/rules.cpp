// SPDX-License-Identifier: MIT
#include "rules.hpp"

#include <algorithm>

namespace doewright {

namespace {

constexpr double months_sire_may_work = 8.0;  // common practice, no source: use from 7-8 months

bool for_keeping(const DoeForward& doe) {
  return doe.kids_for != KidsFor::meat;
}

void inbreeding_rule(const Herd& herd, const DoeAccount& doe, PairingAccount& pair) {
  const ThreeLimits& limits = herd.season.inbreeding_limits(doe.doe.kids_for);
  const double used = pair.kid_inbreeding.used;
  if (used >= limits[2]) {
    pair.rules.push_back({"inbreeding", Verdict::avoid});
  } else if (used >= limits[1]) {
    pair.rules.push_back({"inbreeding", Verdict::caution});
  }
}

/// One parent must be horned as born. Not recorded is a question, never "horned".
void horn_rules(const Herd& herd, const DoeAccount& doe, PairingAccount& pair) {
  const Horns his = herd.animals.horns[pair.pairing.sire.position];
  const Horns hers = herd.animals.horns[pair.pairing.doe.position];
  if (his == Horns::horned || hers == Horns::horned) return;
  if (his == Horns::polled && hers == Horns::polled) {
    const Verdict verdict = for_keeping(doe.doe) ? herd.season.polled_rule : Verdict::caution;
    pair.rules.push_back({"polled", verdict});
  } else if (for_keeping(doe.doe)) {
    pair.rules.push_back({"horns-unknown", Verdict::caution});
  }
}

/// A kid that dies of it: by its chance, an owner's word taken in where that makes it larger.
void lethal_rule(const Herd& herd, const std::vector<FaultIndex>& faults, PairingAccount& pair) {
  Verdict verdict = Verdict::go;
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (!herd.faults[faults[f]].lethal_by_days) continue;
    const double chance = pair.faults[f].risk.affected;
    if (chance >= herd.season.limits.lethal[1]) {
      verdict = Verdict::avoid;
    } else if (chance >= herd.season.limits.lethal[0]) {
      verdict = std::max(verdict, Verdict::caution);
    }
  }
  if (verdict != Verdict::go) pair.rules.push_back({"lethal", verdict});
}

/// An owner's word that makes a fault likelier is heard; one that makes it less likely is not.
void told_rule(const Herd& herd, const std::vector<FaultIndex>& faults, const DoeAccount& doe,
               PairingAccount& pair) {
  bool heard = false;
  for (std::size_t f = 0; f < faults.size(); ++f) {
    heard = heard || (pair.faults[f].told_counts && herd.faults[faults[f]].key != "polled");
  }
  if (heard && for_keeping(doe.doe)) pair.rules.push_back({"told", Verdict::caution});
}

void doe_rules(const DoeAccount& doe, PairingAccount& pair) {
  if (doe.fitness.on_hold()) pair.rules.push_back({"hold", Verdict::avoid});
  const auto& not_sires = doe.doe.not_sires;
  if (std::find(not_sires.begin(), not_sires.end(), pair.pairing.sire) != not_sires.end()) {
    pair.rules.push_back({"not-sires", Verdict::avoid});
  }
}

void sire_rules(const SireAccount& sire, const DoeAccount& doe, PairingAccount& pair) {
  const auto& not_sires = doe.doe.not_sires;
  const bool listed =
      std::find(not_sires.begin(), not_sires.end(), pair.pairing.sire) != not_sires.end();
  if (sire.gone && !listed) pair.rules.push_back({"not-sires", Verdict::avoid});
  const bool in_order = std::all_of(sire.papers.begin(), sire.papers.end(), [](const Paper& paper) {
    return paper.state == PaperState::in_order;
  });
  const bool positive = std::any_of(sire.positives.begin(), sire.positives.end(),
                                    [](const HealthPositive& each) { return each.stands(); });
  if (!in_order || positive) pair.rules.push_back({"papers", Verdict::caution});
  const bool comes_himself = sire.offer.terms != Terms::semen;
  if (comes_himself && sire.age_months && *sire.age_months < months_sire_may_work) {
    pair.rules.push_back({"young-sire", Verdict::caution});
  }
  const bool both_parents = sire.known.places[0] >= 2.0 - 1e-9;
  if (!both_parents && for_keeping(doe.doe))
    pair.rules.push_back({"thin-papers", Verdict::caution});
}

}  // namespace

void apply_rules(const Herd& herd, const std::vector<FaultIndex>& faults, const SireAccount& sire,
                 const DoeAccount& doe, PairingAccount& pair) {
  inbreeding_rule(herd, doe, pair);
  lethal_rule(herd, faults, pair);
  horn_rules(herd, doe, pair);
  doe_rules(doe, pair);
  sire_rules(sire, doe, pair);
  told_rule(herd, faults, doe, pair);
  for (const RuleHit& hit : pair.rules) pair.verdict = std::max(pair.verdict, hit.verdict);
}

}  // namespace doewright
