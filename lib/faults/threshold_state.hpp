// SPDX-License-Identifier: MIT
#pragma once
/// What a ThresholdFit holds.
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <unordered_map>
#include <vector>

#include <doewright/kinship/kinship.hpp>

#include "ep_fit.hpp"
#include "ep_posterior.hpp"
#include "threshold_evidence.hpp"
#include "threshold_fit.hpp"
#include "threshold_rows.hpp"
#include "threshold_scale.hpp"

namespace doewright {

/// An item of the evidence that was found without its end, read as lying at one of them.
struct LiabilityEnd {
  std::size_t item = 0;
  bool high = false;
};

struct ThresholdState {
  ThresholdState(const Herd& herd, FaultIndex fault, const Kinship& with_kinship,
                 const EvidenceIndex& index, ThresholdOptions options,
                 std::span<const LiabilityEnd> ends, const Run& run);

  std::string key;  ///< Of the fault: draws of different faults are independent.
  Kinship kinship;
  ThresholdScale scale;
  ThresholdEvidence evidence;
  LiabilityNodes nodes;
  std::vector<EpSite> sites;
  EpPosterior posterior;
  EpResult fit;
  double log_chance = 0.0;  ///< Of the evidence (log_evidence): to weigh ends against each other.
  std::vector<ThresholdSite> named_sites;
  std::unordered_map<std::uint32_t, std::size_t> look_of;  ///< Site by position of the animal.
  std::vector<LiabilitySex> sexes;                         ///< Empty: the borders do not differ.

  LiabilitySex sex_of(Animal animal) const {
    return sexes.empty() ? LiabilitySex::either : sexes[animal.position];
  }

  /// The row of [mu +] the core part, as a scalar of the posterior.
  EpRow with_mu(EpRow row) const;
  /// P(shows) of an animal whose [mu +] a ~ N(mean, var) once everything but its own look is
  /// counted by `mean_without`, `var_without` where it was looked at.
  double shows(Animal animal, double mean, double var) const;
  double shows_when_looked(std::size_t site, double mean, double var) const;
};

/// Liabilities of several animals with the columns of the posterior that belong to them.
struct AskedLiabilities {
  AskedLiabilities(const ThresholdState& state, std::span<const Animal> animals, bool with_mu,
                   const Run& run);

  double mean(std::size_t a) const;
  double covariance(std::size_t a, std::size_t b) const;
  bool touched(std::size_t a) const { return !rows[a].empty(); }  ///< Evidence reaches it.

  const ThresholdState& state;
  LiabilityParts parts;
  std::vector<EpRow> rows;  ///< Core parts, mu among them where asked for.
  std::vector<Eigen::VectorXd> columns;
};

}  // namespace doewright
