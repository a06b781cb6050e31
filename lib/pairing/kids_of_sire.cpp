// SPDX-License-Identifier: MIT
#include "kids_of_sire.hpp"

#include <algorithm>
#include <tuple>

namespace doewright {

namespace {

/// Grades in their order, then found without a grade, then removed.
using GradeKey = std::tuple<bool, bool, std::uint8_t>;

GradeKey key_of(const LookedAt& look) {
  return {look.removed, !look.grade.has_value(), look.grade.value_or(std::uint8_t{0})};
}

void count_fault(const Herd& herd, const EvidenceIndex& evidence, FaultIndex fault,
                 const KidsOfSire& kids, std::map<Animal, bool>& looked, OwnerReport& report) {
  OwnerLook sum{.fault = fault};
  std::map<GradeKey, OwnerFinding> found;
  for (const auto& [kid, chance] : kids) {
    const LookedAt look = evidence.looked_at(kid, fault);
    if (!truly_looked_at(herd.faults[fault], look)) continue;
    looked[kid] = true;
    sum.examined += chance;
    if (look.look != Look::found) continue;
    sum.found += chance;
    OwnerFinding& finding = found[key_of(look)];
    finding.fault = fault;
    finding.grade = look.removed ? std::nullopt : look.grade;
    finding.removed = look.removed;
    finding.count += chance;
    finding.rows.insert(finding.rows.end(), look.rows.begin(), look.rows.end());
  }
  if (sum.examined > 0.0) report.looks.push_back(sum);
  for (auto& [key, finding] : found) report.findings.push_back(std::move(finding));
}

void count_sex(Sex sex, double chance, OwnerReport& report) {
  if (sex == Sex::doe) report.doe_kids += chance;
  if (sex == Sex::buck || sex == Sex::wether) report.buck_kids += chance;
  if (sex == Sex::intersex) report.intersex_kids += chance;
}

void count_fate(const Herd& herd, Animal kid, double chance, OwnerReport& report) {
  if (!herd.animals.gone[kid.position]) {
    (in_own_herd(herd, kid) ? report.here : report.left_otherwise) += chance;
    return;
  }
  switch (herd.animals.left_why[kid.position]) {
    case LeftWhy::sold:
      report.sold += chance;
      return;
    case LeftWhy::slaughtered:
      report.slaughtered += chance;
      return;
    case LeftWhy::died:
      report.died += chance;
      return;
    default:
      report.left_otherwise += chance;
  }
}

}  // namespace

std::optional<double> chance_of_sire(const Pedigree& pedigree, Animal kid, Animal sire) {
  const std::vector<SireChance> list = pedigree.possible_sires(kid);
  if (list.empty()) return std::nullopt;
  for (const SireChance& each : list) {
    if (each.sire == sire) return each.probability;
  }
  return 0.0;
}

bool truly_looked_at(const FaultModel& fault, const LookedAt& look) {
  if (look.look == Look::not_looked) return false;
  const bool examined = std::any_of(look.rows.begin(), look.rows.end(), [](const Row& row) {
    return row.table == Table::examinations;
  });
  return examined || (look.look == Look::found && fault.key != "polled");
}

void count_kids(const Herd& herd, const KidsOfSire& kids, OwnerReport& report) {
  const EvidenceIndex evidence(herd);
  std::map<Animal, bool> looked;
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    if (!herd.faults[f].use) continue;
    count_fault(herd, evidence, static_cast<FaultIndex>(f), kids, looked, report);
  }
  for (const auto& [kid, chance] : kids) {
    report.kids += chance;
    if (chance < 1.0) report.possible_kids += chance;
    if (looked.contains(kid)) report.examined += chance;
    count_sex(herd.animals.sex[kid.position], chance, report);
    count_fate(herd, kid, chance, report);
  }
  const double rest = report.kids - report.examined;
  report.not_examined = rest < 1e-9 ? 0.0 : rest;
}

}  // namespace doewright
