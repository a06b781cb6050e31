// SPDX-License-Identifier: MIT
#pragma once
/// From what the parents may carry to what their kid may show or carry (DEFINITIONS 3 and 5).
#include <doewright/faults/kid_risk.hpp>
#include <doewright/herd/fault_model.hpp>

#include "locus_world.hpp"

namespace doewright {

KidOfCopies kid_of_copies(const FaultModel& fault, bool x_linked);

/// \param litter  kids born, a real exponent.
KidRisk risk_of_joint(const KidOfCopies& kid, const JointCopies& joint, double litter);

}  // namespace doewright
