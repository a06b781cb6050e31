// SPDX-License-Identifier: MIT
#pragma once
/// From what the parents may carry to what their kid may show or carry (DEFINITIONS 3 and 5).
#include <doewright/faults/kid_risk.hpp>
#include <doewright/herd/fault_model.hpp>

#include "locus_world.hpp"

namespace doewright {

/// What a kid of parents with known copies is, for one sign. Indexed by 3 i + j, sire i, doe j.
struct KidOfCopies {
  std::array<double, 9> affected{}, affected_doe{}, affected_buck{};
  std::array<double, 9> carrier_doe{}, carrier_buck{};
  std::vector<std::array<double, 9>> grades_doe, grades_buck;  ///< Empty: not scored.
};

KidOfCopies kid_of_copies(const FaultModel& fault, bool x_linked);

/// \param litter  kids born, a real exponent.
KidRisk risk_of_joint(const KidOfCopies& kid, const JointCopies& joint, double litter);

}  // namespace doewright
