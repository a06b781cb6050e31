// SPDX-License-Identifier: MIT
#pragma once
/// Risk of one pair from the joint normal distribution of its parents' liabilities (DEFINITIONS 4,
/// 5).
#include <span>

#include <doewright/faults/kid_risk.hpp>

#include "threshold_scale.hpp"

namespace doewright {

/// Variance of a kid's liability given both parents': h2/2 (1 - (F_s + F_d)/2) + 1 - h2.
double kid_rest_variance(double heritability, double f_sire, double f_dam);

/// What the parents' liabilities may be, and the chance of that.
struct WeightedParents {
  double weight = 1.0;
  ParentLiabilities parents;
};

/// Every chance of the pair; `litter` is the number of kids born, a real exponent. `parents` need
/// means, variances, covariance and one rest_var for all; their weights add up to 1. In the result
/// `liabilities` are the moments over all of them, the thresholds filled in; `method` is left `exact`.
KidRisk threshold_risk(const ThresholdScale& scale, std::span<const WeightedParents> mixture,
                       double litter);

}  // namespace doewright
