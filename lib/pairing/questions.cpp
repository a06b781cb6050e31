// SPDX-License-Identifier: MIT
// Questions whose answers would change a pair, or everything about a sire.
#include <algorithm>

#include <doewright/pairing/reason_codes.hpp>

#include "reason_list.hpp"
#include "reasons.hpp"

namespace doewright {

void ask_of_pair(const Herd& herd, const PairingTable& table, PairingAccount& pair) {
  ReasonList questions(pair.questions);
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  const KidInbreeding& f = pair.kid_inbreeding;
  if (verdict_of(pair, "horns-unknown") != Verdict::go) {
    for (const Animal animal : {sire, her}) {
      if (herd.animals.horns[animal.position] == Horns::unknown) {
        questions.add(reason::ask_horns, 0.3, {animal});
      }
    }
  }
  // She carries it, he was never tested: his part of a gene that takes two.
  for (std::size_t k = 0; k < table.faults.size(); ++k) {
    const FaultModel& fault = herd.faults[table.faults[k]];
    const auto& joint = pair.faults[k].risk.joint;
    if (!joint || !fault.same_locus_as.empty() || fault.key == "polled" ||
        fault.inheritance != Inheritance::autosomal) {
      continue;
    }
    const auto& p = *joint;
    const double she = p[1] + p[2] + p[4] + p[5] + p[7] + p[8];
    const double he = p[3] + p[4] + p[5] + p[6] + p[7] + p[8];
    const bool tested = std::any_of(herd.gene_tests.begin(), herd.gene_tests.end(), [&](const auto& test) {
      return test.animal == sire && test.fault == table.faults[k];
    });
    if (she >= 0.9 && he > 1e-6 && he < 0.9 && !tested) {
      questions.add(reason::ask_gene_test, 0.25, {sire, her},
                    {double(table.faults[k]), fault.lethal_by_days ? 1.0 : 0.0});
    }
  }
  for (const Assumption& a : f.worst_assumes) {
    questions.add(reason::ask_worst, f.worst - f.as_recorded, {a.animal, a.taken_as},
                  {a.parent == ParentRole::dam ? 1.0 : 0.0, f.worst});
  }
  const Known& known = table.sires[pair.offer].known;
  if (known.places[0] < 2.0 - 1e-9) {
    const bool sire_known = !herd.pedigree.possible_sires(sire).empty();
    const bool dam_known = herd.pedigree.dam(sire).has_value();
    questions.add(reason::ask_parents, f.used - f.as_recorded, {sire},
                  {double((sire_known ? 0 : 1) | (dam_known ? 0 : 2))});
  }
  questions.add(reason::ask_complete, 0.0, {sire});
  questions.sort();
}

void ask_of_sire(const Herd& herd, PairingTable& table, std::size_t s) {
  SireAccount& sire = table.sires[s];
  const Animal animal = sire.offer.sire;
  ReasonList questions(sire.questions);

  // A parent not recorded: what blanks add to every pair. A named suspect: what he would add at
  // worst.
  if (sire.known.places[0] < 2.0 - 1e-9) {
    const bool sire_known = !herd.pedigree.possible_sires(animal).empty();
    const bool dam_known = herd.pedigree.dam(animal).has_value();
    questions.add(reason::ask_parents, 0.0625 * (1.0 - sire.known.share) + 0.05, {animal},
                  {double((sire_known ? 0 : 1) | (dam_known ? 0 : 2))});
  }
  const Reason* suspect = nullptr;
  std::size_t horns_asked = 0;
  for (const DoeAccount& doe : table.does) {
    for (const PairingAccount& pair : doe.sires) {
      if (pair.offer != s) continue;
      if (verdict_of(pair, "horns-unknown") != Verdict::go) ++horns_asked;
      for (const Reason& question : pair.questions) {
        if (question.code != reason::ask_worst) continue;
        if (question.animals.front() != animal) continue;  // only what his owner can answer
        if (suspect == nullptr || question.effect > suspect->effect) suspect = &question;
      }
    }
  }
  if (suspect != nullptr && sire.known.places[0] >= 1.0) {
    questions.add(suspect->code, suspect->effect, suspect->animals, suspect->numbers);
  }
  if (horns_asked > 0 && herd.animals.horns[animal.position] == Horns::unknown) {
    questions.add(reason::ask_horns,
                  0.2 * static_cast<double>(horns_asked) / static_cast<double>(table.does.size()),
                  {animal});
  }
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    const bool of_many_genes = model.kind == FaultKind::threshold;
    if (of_many_genes && nobody_looked(sire.faults[f])) {
      questions.add(reason::ask_kids_fault, sire.proven ? 0.06 : 0.04, {animal},
                    {double(table.faults[f])});
      break;  // one question on faults is enough; the table shows the rest
    }
  }
  for (std::size_t p = 0; p < sire.papers.size(); ++p) {
    const PaperState state = sire.papers[p].state;
    if (state == PaperState::in_order || state == PaperState::not_negative) continue;
    questions.add(reason::ask_paper, 0.045, {animal}, {double(p)});
    break;
  }
  questions.sort();
  if (sire.questions.size() > 2) sire.questions.resize(2);
  if (sire.questions.empty()) questions.add(reason::ask_complete, 0.0, {animal});
}

}  // namespace doewright
