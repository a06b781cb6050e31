// SPDX-License-Identifier: MIT
#pragma once
/// Which animals the evidence on a threshold fault reaches, and how the additive part of any other
/// animal hangs on theirs.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <unordered_map>
#include <utility>
#include <vector>

#include <Eigen/SparseCore>

#include <doewright/core/animal.hpp>
#include <doewright/pedigree/pedigree.hpp>

#include "ep_site.hpp"

namespace doewright {

/// The animals with evidence and their ancestors, in pedigree order, then their stand-ins, then mu
/// where the incidence is uncertain: the nodes of the posterior. Nobody else changes a bit of it.
class LiabilityNodes {
 public:
  LiabilityNodes(const Pedigree& pedigree, std::span<const Animal> with_evidence, bool with_mu);

  std::size_t size() const noexcept { return nodes_; }
  std::optional<std::uint32_t> node(Animal animal) const;
  /// Of a stand-in, by its number in the whole pedigree.
  std::optional<std::uint32_t> stand_in_node(std::uint32_t s) const;
  std::optional<std::uint32_t> mu() const noexcept { return mu_; }
  const Pedigree& pedigree() const noexcept { return pedigree_; }

  /// Lower triangle of the prior precision: A^-1 / h2, and 1 / mu_var.
  std::vector<Eigen::Triplet<double>> prior_precision(double heritability, double mu_var) const;

 private:
  Pedigree pedigree_;
  Pedigree core_;
  std::unordered_map<std::uint32_t, std::uint32_t> node_of_, stand_in_node_of_;
  std::optional<std::uint32_t> mu_;
  std::size_t nodes_ = 0;
};

/// Additive part of one animal: sum of core weights x nodes, and an own remainder that no evidence
/// reaches: sum of weights x Mendelian sampling terms, by a number that two animals asked for
/// together share.
struct LiabilityPart {
  EpRow core;
  EpRow own;
};

/// The parts of several animals, and what their own terms are worth.
struct LiabilityParts {
  std::vector<LiabilityPart> of;     ///< In the order asked for.
  std::vector<double> own_variance;  ///< D of each own term, in units of the additive variance.

  /// Covariance of the remainders of two of them, in units of the additive variance.
  double own_covariance(std::size_t a, std::size_t b) const;
};

/// \throws UsageError if an animal is not of the pedigree.
/// Cost: one pass over the ancestors of all of them, and one over them for each that is not a node.
LiabilityParts liability_parts(const LiabilityNodes& nodes, std::span<const Animal> asked);

}  // namespace doewright
