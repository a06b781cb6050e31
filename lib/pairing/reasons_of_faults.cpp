// SPDX-License-Identifier: MIT
// Faults among the reasons of a pair: what was found, what tests say, what a kid may show and cost.
#include <algorithm>

#include <doewright/pairing/reason_codes.hpp>
#include "reason_list.hpp"

namespace doewright {

namespace {

void say_count(ReasonList& reasons, std::string_view code, double weight, Animal side, double fault,
               const LookCount& count, bool with_animals) {
  if (count.found == 0) return;
  const double rate = static_cast<double>(count.found) / std::max(1u, count.examined);
  std::vector<double> numbers = {fault, double(count.found), double(count.examined)};
  if (with_animals) numbers.push_back(double(count.animals));
  reasons.add(code, weight * (0.5 + rate), {side}, std::move(numbers), count.rows);
}

/// What was found on one side: the animal itself, its parents, its kids, counts from elsewhere.
void say_faults(const Herd& herd, const std::vector<FaultIndex>& faults,
                const std::vector<FaultEvidence>& evidence, Animal side, bool keep,
                ReasonList& reasons) {
  const double weight = keep ? weight_record : weight_record / 10;  // hardly matters in a meat kid
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (herd.faults[faults[f]].key == "polled") continue;  // being polled is no fault of its own
    const FaultEvidence& e = evidence[f];
    const auto fault = static_cast<double>(faults[f]);
    if (e.own.look == Look::found) {
      reasons.add(reason::fault_own, weight, {side}, {fault}, e.own.rows);
    }
    if (e.dam.look == Look::found) {
      reasons.add(reason::fault_dam, weight * 0.7, {side, *herd.pedigree.dam(side)}, {fault},
                  e.dam.rows);
    }
    if (e.sire.look == Look::found) {
      reasons.add(reason::fault_sire, weight * 0.7, {side, *herd.pedigree.sire(side)}, {fault},
                  e.sire.rows);
    }
    say_count(reasons, reason::fault_kids, weight, side, fault, e.kids, true);
    say_count(reasons, reason::fault_elsewhere, weight, side, fault, e.elsewhere_seen, false);
    say_count(reasons, reason::fault_told, weight * 0.8, side, fault, e.elsewhere_told, false);
  }
}

/// Gene tests: a carrier on one side is said, on both sides loudly.
void say_carriers(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                  const PairingAccount& pair, bool keep, ReasonList& reasons) {
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const auto& his = table.sires[pair.offer].faults[f].test;
    const auto& hers = doe.faults[f].test;
    const auto fault = static_cast<double>(table.faults[f]);
    const FaultModel& model = herd.faults[table.faults[f]];
    const bool he = his.copies.value_or(0) > 0, she = hers.copies.value_or(0) > 0;
    if (he && she && model.inheritance == Inheritance::autosomal) {
      std::vector<Row> rows = his.rows;
      rows.insert(rows.end(), hers.rows.begin(), hers.rows.end());
      const double weight = model.lethal_by_days ? weight_avoid + 1.2 : weight_caution - 0.5;
      reasons.add(
          reason::fault_both_carry, weight, {sire, her},
          {fault, double(*his.copies), double(*hers.copies), model.lethal_by_days ? 1.0 : 0.0},
          std::move(rows));
      continue;
    }
    const double weight = keep ? 1.5 : 0.15;
    if (he)
      reasons.add(reason::fault_carrier, weight, {sire}, {fault, double(*his.copies)}, his.rows);
    if (she)
      reasons.add(reason::fault_carrier, weight - 0.1, {her}, {fault, double(*hers.copies)},
                  hers.rows);
  }
}

std::vector<Row> rows_of(const FaultEvidence& e) {
  std::vector<Row> rows = e.own.rows;
  for (const auto* more : {&e.kids.rows, &e.elsewhere_seen.rows, &e.dam.rows, &e.sire.rows}) {
    rows.insert(rows.end(), more->begin(), more->end());
  }
  return rows;
}

double one_if(bool is_so) {
  return is_so ? 1.0 : 0.0;
}

/// Of the sire, at one locus; 0 for a fault of many genes.
double chance_of_carrying(const KidRisk& risk) {
  if (!risk.joint) return 0.0;
  double none = 0.0;
  for (std::size_t doe = 0; doe < 3; ++doe) none += (*risk.joint)[doe];
  return std::max(0.0, 1.0 - none);
}

/// A chance that a kid dies of it at or above a limit.
bool say_lethal(const Herd& herd, const PairingAccount& pair, const FaultModel& model,
                double index, const KidRisk& risk, const FaultEvidence& his, ReasonList& reasons) {
  const double chance = risk.affected;
  if (!model.lethal_by_days) return false;
  const auto& limits = herd.season.limits.lethal;
  const int step = chance >= limits[1] ? 2 : chance >= limits[0] ? 1 : 0;
  if (step == 0) return false;
  reasons.add(reason::fault_lethal, weight_of(step == 2 ? Verdict::avoid : Verdict::caution) + 1,
              {pair.pairing.sire, pair.pairing.doe},
              {index, chance, limits[step == 2 ? 1 : 0], double(step), risk.standard_error}, rows_of(his));
  return true;
}

/// What each fault may cost, with what it rests on; of a buck nobody knows anything of, that.
void say_risks(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
               const PairingAccount& pair, ReasonList& reasons) {
  const Animal sire = pair.pairing.sire, her = pair.pairing.doe;
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    const PairFault& fault = pair.faults[f];
    const FaultEvidence& his = table.sires[pair.offer].faults[f];
    const FaultEvidence& hers = doe.faults[f];
    const auto index = static_cast<double>(table.faults[f]);
    const double weight = weight_of_money(fault.cost, pair);
    const KidRisk& risk = fault.risk;
    if (fault.told_counts && model.key != "polled") {  // being polled is no fault of its own
      reasons.add(reason::told_heard, weight_of(verdict_of(pair, "told")) - 0.3, {sire},
                  {index, fault.affected, *fault.affected_told}, his.elsewhere_told.rows);
    }
    if (say_lethal(herd, pair, model, index, risk, his, reasons)) continue;
    const bool as_any = table.sires[pair.offer].as_any_buck[f];
    if (as_any && nobody_looked(his) && nobody_looked(hers)) {
      if (fault.cost <= 0.0) continue;
      reasons.add(reason::fault_any_buck, weight, {sire},
                  {index, risk.affected, risk.affected_low, risk.affected_high});
      continue;
    }
    const std::uint32_t found = his.kids.found + his.elsewhere_seen.found;
    const bool seen = found > 0 || his.own.look == Look::found || his.dam.look == Look::found ||
                      hers.own.look == Look::found || hers.dam.look == Look::found;
    if (fault.cost <= 0.0 && (!seen || model.key == "polled")) continue;  // what costs nothing and was not seen
    const std::uint32_t looked_at = his.kids.examined + his.elsewhere_seen.examined;
    std::vector<Row> rows = rows_of(his);
    const std::vector<Row> her_rows = rows_of(hers);
    rows.insert(rows.end(), her_rows.begin(), her_rows.end());
    const double of_record = doe.doe.kids_for == KidsFor::meat ? weight_record / 10 : weight_record;
    reasons.add(reason::fault_risk, fault.cost > 0.0 ? weight : of_record, {sire, her},
                {index, risk.affected, risk.affected_low, risk.affected_high,
                 one_if(model.lethal_by_days.has_value()), double(found), double(looked_at),
                 one_if(his.own.look == Look::found), one_if(hers.own.look == Look::found),
                 one_if(hers.dam.look == Look::found), one_if(his.dam.look == Look::found),
                 one_if(as_any && nobody_looked(his)),
                 as_any || his.test.copies ? 0.0 : chance_of_carrying(risk), risk.standard_error},
                std::move(rows));
  }
}

}  // namespace

/// What a risk's sentence says already: his kids, himself and his dam, her and her dam.
void drop_what_risks_say(std::vector<Reason>& reasons) {
  const std::vector<Reason> risks = [&] {
    std::vector<Reason> found;
    for (const Reason& reason : reasons) {
      if (reason.code == reason::fault_risk) found.push_back(reason);
    }
    return found;
  }();
  std::erase_if(reasons, [&](const Reason& one) {
    return std::any_of(risks.begin(), risks.end(), [&](const Reason& risk) {
      if (one.numbers.empty() || one.numbers[0] != risk.numbers[0]) return false;
      const bool own = one.code == reason::fault_own || one.code == reason::fault_dam;
      const bool kids = one.code == reason::fault_kids || one.code == reason::fault_elsewhere;
      return (own && (one.animals[0] == risk.animals[0] || one.animals[0] == risk.animals[1])) ||
             (kids && one.animals[0] == risk.animals[0]);
    });
  });
}

void say_faults_of_pair(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                        const PairingAccount& pair, ReasonList& reasons) {
  const bool keep = doe.doe.kids_for != KidsFor::meat;
  say_faults(herd, table.faults, table.sires[pair.offer].faults, pair.pairing.sire, keep, reasons);
  say_faults(herd, table.faults, doe.faults, pair.pairing.doe, keep, reasons);
  say_carriers(herd, table, doe, pair, keep, reasons);
  say_risks(herd, table, doe, pair, reasons);
}

}  // namespace doewright
