// SPDX-License-Identifier: MIT
#pragma once
/// Herds with one threshold fault, and looks at their animals.
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include <faults/threshold_fit.hpp>

#include "herd/tiny_herd.hpp"

namespace doewright::testing {

inline FaultModel threshold_fault(std::vector<double> incidence_above, double heritability,
                                  std::optional<double> worth = std::nullopt) {
  FaultModel fault;
  fault.key = "teats";
  fault.kind = FaultKind::threshold;
  fault.grades = {"no"};
  for (std::size_t k = 0; k < incidence_above.size(); ++k) {
    fault.grades.push_back("grade " + std::to_string(k + 1));
  }
  fault.heritability = heritability;
  fault.incidence_above = std::move(incidence_above);
  fault.incidence_worth = worth;
  return fault;
}

inline void look(Herd& herd, Animal animal, std::uint8_t grade,
                 std::optional<std::int32_t> age = std::nullopt) {
  Examination examination;
  examination.animal = animal;
  examination.found = Found::grade;
  examination.grade = grade;
  examination.age_days = age;
  examination.row = {Table::examinations, static_cast<std::uint32_t>(herd.examinations.size() + 2)};
  herd.examinations.push_back(examination);
}

inline void look(Herd& herd, std::string_view id, std::uint8_t grade,
                 std::optional<std::int32_t> age = std::nullopt) {
  look(herd, animal(herd, id), grade, age);
}

inline void looks_shown(Herd& herd, Animal animal, Found found) {
  look(herd, animal, 0);
  herd.examinations.back().found = found;
}

inline KidCount& count_kids(Herd& herd, std::string_view sire, std::uint32_t examined,
                            std::uint32_t affected, std::string_view dam = {}) {
  KidCount count;
  count.sire = animal(herd, sire);
  if (!dam.empty()) count.dam = animal(herd, dam);
  count.examined = examined;
  count.affected = affected;
  count.row = {Table::kid_counts, static_cast<std::uint32_t>(herd.kid_counts.size() + 2)};
  herd.kid_counts.push_back(count);
  return herd.kid_counts.back();
}

inline ThresholdFit fit(const Herd& herd, ThresholdOptions options = {}) {
  return ThresholdFit(herd, 0, Kinship(herd.pedigree), EvidenceIndex(herd), options);
}

inline KidRisk risk_of(const ThresholdFit& fit, Animal sire, Animal doe, double litter = 1.0) {
  return fit.kids({&sire, 1}, {&doe, 1}, {&litter, 1})(0, 0);
}

inline KidRisk risk_of(const Herd& herd, const ThresholdFit& fit, std::string_view sire,
                       std::string_view doe, double litter = 1.0) {
  return risk_of(fit, animal(herd, sire), animal(herd, doe), litter);
}

}  // namespace doewright::testing
