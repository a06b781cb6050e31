// SPDX-License-Identifier: MIT
#pragma once
#include <memory>
#include <optional>
#include <vector>

#include <doewright/faults/fault_fit.hpp>

#include "locus_fit.hpp"
#include "locus_risk.hpp"
#include "threshold_fit.hpp"

namespace doewright {

struct FaultFitState {
  const Herd* herd = nullptr;
  FaultIndex fault = 0;
  FaultOptions options;
  std::shared_ptr<const LocusFit> locus;  ///< Null: a threshold fault.
  std::optional<ThresholdFit> threshold;
  bool possible = true;
  bool has_told = false;
  std::vector<EvidenceEffect> contradiction;

  const FaultModel& model() const { return herd->faults[fault]; }
};

/// One locus: copies of each of `animals`, and the chance that it shows the sign.
std::vector<AnimalFault> animals_of_locus(const FaultFitState& state,
                                          std::span<const Animal> animals, const Run& run);

/// For each of `animals` the records within reach, nearest first: (steps, index into `whose`).
/// `whose[r]` is the animal of record r.
std::vector<std::vector<std::size_t>> nearest_records(const Pedigree& pedigree,
                                                      std::span<const Animal> whose,
                                                      std::span<const Animal> animals);

/// For each animal, the records near it that moved its chance. Empty and `too_many` set beyond the
/// budget.
std::vector<std::vector<EvidenceEffect>> locus_effects(const FaultFitState& state,
                                                       std::span<const Animal> animals,
                                                       bool& too_many, const Run& run);
std::vector<std::vector<EvidenceEffect>> threshold_effects(const FaultFitState& state,
                                                           std::span<const Animal> animals,
                                                           bool& too_many, const Run& run);

EvidenceEffect effect_of(const LocusRecord& record);

}  // namespace doewright
