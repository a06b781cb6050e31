// SPDX-License-Identifier: MIT
#pragma once
/// Risk of one pair from the joint normal distribution of its parents' liabilities (DEFINITIONS 4,
/// 5).
#include <doewright/faults/kid_risk.hpp>

#include "threshold_scale.hpp"

namespace doewright {

/// Variance of a kid's liability given both parents': h2/2 (1 - (F_s + F_d)/2) + 1 - h2.
double kid_rest_variance(double heritability, double f_sire, double f_dam);

/// Every chance of the pair; `litter` is the number of kids born, a real exponent. `parents` needs
/// means, variances, covariance and rest_var; its thresholds are filled in. `method` is left
/// `exact`.
KidRisk threshold_risk(const ThresholdScale& scale, ParentLiabilities parents, double litter);

}  // namespace doewright
