// SPDX-License-Identifier: MIT
#pragma once
/// From traits and their records to the equations, and from the solution back to effects by name.
#include <optional>
#include <vector>

#include <doewright/merit/merit.hpp>

#include "trait_records.hpp"

namespace doewright {

/// A trait in the model.
struct TraitInModel {
  TraitIndex trait = 0;
  TraitVariances variances;
  TraitRecords records;
  std::vector<bool> linked, recorded;            ///< By animal.
  std::optional<std::size_t> direct, maternal;   ///< Genetic parts; none without variance.
  std::optional<std::size_t> permanent, litter;  ///< Blocks of independent effects.
  std::size_t residual = 0;

  // Fixed columns. The largest classification has all its levels and takes the mean's place.
  std::optional<std::size_t> largest;       ///< Into records.fixed.
  std::vector<std::uint32_t> first_column;  ///< By classification.
  std::optional<std::uint32_t> mean_column, age_column, no_age_column;
  double age_mean = 0.0, age_sd = 1.0;

  /// Column of a level. Of the largest they ascend, of the others they descend, so that the first
  /// level is the one that is dropped.
  std::uint32_t column(std::size_t classification, std::uint32_t level) const {
    const std::uint32_t first = first_column[classification];
    if (largest == classification) return first + level;
    const auto levels = static_cast<std::uint32_t>(records.fixed[classification].names.size());
    return first + levels - 1 - level;
  }
};

/// \throws UsageError if nothing is left for the rest.
TraitVariances trait_variances(const Trait& trait, TraitIndex index);

/// The traits with their records, parts, blocks and columns; notes on what could not be as written.
struct TraitModelPlan {
  std::vector<TraitInModel> traits;
  Grid<double> covariance;  ///< Of the genetic parts; 0 x 0 if no trait has variance.
  std::uint32_t fixed_columns = 0;
  std::vector<IndependentEffects> independent;
  std::vector<double> residual_variances;
  std::vector<std::uint32_t> litter_level;  ///< By animal, where some trait has litters.
  std::vector<Animal> phantom_dams;
  std::vector<std::uint32_t> phantom_of;  ///< By animal.
  std::vector<MeritNote> notes;
};

TraitModelPlan plan_traits(const Herd& herd, const std::vector<TraitIndex>& traits,
                           std::span<const double> f);

MixedModel trait_model(const Herd& herd, const TraitModelPlan& plan, std::span<const double> f);

/// Effects by name, the largest classification as differences from its first level.
std::vector<FixedEstimate> fixed_estimates(const TraitModelPlan& plan, const MixedModelFit& fit);

}  // namespace doewright
