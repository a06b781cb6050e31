// SPDX-License-Identifier: MIT
#pragma once
/// What the faults of a doe kid cost a keeper, her own examination included.
#include <optional>
#include <span>
#include <vector>

#include <doewright/faults/fault_fit.hpp>
#include <doewright/pairing/keep.hpp>

#include "kid_worth.hpp"

namespace doewright {

struct KeepChances {
  std::vector<KeepFault> faults;  ///< One for each fit.
  std::vector<double> if_shown;   ///< Mean cost_keep of a kid that shows it; 0 at default cost.
};

/// For every kid; `told`, where not empty, has the same fits with owners' words: the larger chance
/// counts.
std::vector<KeepChances> keep_chances(const Herd& herd, const EvidenceIndex& evidence,
                                      const std::vector<FaultFit>& fits,
                                      const std::vector<FaultFit>& told,
                                      std::span<const Animal> kids, const Run& run);

/// Fills the cost of each fault and gives their sum. Prices in the order of the faults.
double charge_faults(const KidPrices& prices, double index, KeepChances& chances);

/// Does it cost a keeper anything that this was found.
bool costs_a_keeper(const FaultModel& model, const LookedAt& look);

}  // namespace doewright
