// SPDX-License-Identifier: MIT
#pragma once
/// Borders between the grades of a threshold fault, and the chance of each grade (DEFINITIONS 4).
#include <cstddef>
#include <vector>

#include <doewright/herd/animal_facts.hpp>
#include <doewright/herd/fault_model.hpp>

namespace doewright {

/// Whose borders count. An intersex animal is a genetic doe, a wether a buck; unknown is half a doe
/// and half a buck.
enum class LiabilitySex { doe, buck, either };
LiabilitySex liability_sex(Sex sex) noexcept;

/// A stretch of the liability scale: low < l < high, counted `weight` times.
struct LiabilityStretch {
  double low, high;
  double weight = 1.0;
};

/// The scale of one fault. Liability l = mu + a + e of an animal with F = 0 has variance 1 beside
/// mu; where the incidence is uncertain mu ~ N(0, mu_var) and every border is scaled by
/// sqrt(1 + mu_var), so that an animal of which nothing is known keeps every incidence.
struct ThresholdScale {
  explicit ThresholdScale(const FaultModel& fault);

  double heritability;
  double mu_var = 0.0;            ///< 0: the incidence is taken as known.
  std::size_t wanted;             ///< Index of the wanted grade.
  std::vector<double> doe, buck;  ///< Borders as used, ascending; one fewer than grades.

  /// The stretch of one grade, of the wanted grade or of all the others; `either`: of both sexes,
  /// half of each.
  std::vector<LiabilityStretch> grade(std::size_t grade, LiabilitySex sex) const;
  std::vector<LiabilityStretch> unwanted(LiabilitySex sex) const;

  /// Chance of an unwanted grade for l ~ N(mean, var).
  double unwanted(LiabilitySex sex, double mean, double var) const;
  /// Chance of every grade for l ~ N(mean, var), in their order. \pre sex is not `either`.
  std::vector<double> grades(LiabilitySex sex, double mean, double var) const;
};

/// Chance of stretches for l ~ N(mean, var).
double chance_of(const std::vector<LiabilityStretch>& stretches, double mean, double var);

}  // namespace doewright
