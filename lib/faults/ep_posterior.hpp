// SPDX-License-Identifier: MIT
#pragma once
/// A normal distribution of many nodes by its sparse precision: prior plus one rank-one term a
/// site.
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>

#include "ep_site.hpp"

namespace doewright {

/// Precision Q = prior + sum over sites of precision_k w_k w_k', and mean Q^-1 sum of shift_k w_k.
///
/// The pattern is fixed at the beginning, so the order of elimination depends on it alone.
/// Variances of nodes that share an entry of the factor come from the selected inverse: Takahashi,
/// Fagan and Chen (1973), Formation of a sparse bus impedance matrix.
class EpPosterior {
 public:
  /// `prior`: entries of the lower triangle and the diagonal, positive definite.
  EpPosterior(std::size_t nodes, std::vector<Eigen::Triplet<double>> prior,
              const std::vector<EpSite>& sites);

  /// False, and the posterior unusable until the next call: the precision is not positive definite.
  bool set(const std::vector<EpSite>& sites, std::span<const EpFactor> factors);

  double mean_of(const EpRow& row) const;
  /// \pre every two nodes of `row` are of one site, or the row has one node.
  double variance_of(const EpRow& row) const;
  /// The same of any row, by the part of L y = row that is not 0: y'D^-1 y. Cost: the way from its nodes
  /// to the root of the elimination tree. `work`: zeros, one a node; zeros again afterwards.
  double variance_by_path(const EpRow& row, std::vector<double>& work) const;
  std::size_t nodes() const noexcept { return static_cast<std::size_t>(nodes_); }
  double mean(std::uint32_t node) const { return mean_[node]; }
  double log_determinant() const;  ///< Of the precision.

  /// Covariance of every node with the scalar `row`: one column Q^-1 row. Thread-safe.
  Eigen::VectorXd column(const EpRow& row) const;

 private:
  void select_inverse();
  double covariance(std::uint32_t a, std::uint32_t b) const;

  Eigen::Index nodes_;
  std::vector<Eigen::Triplet<double>> prior_;
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factor_;
  Eigen::VectorXd mean_;
  Eigen::VectorXd pivots_;           // D
  std::vector<std::int32_t> place_;  // of a node in the order of elimination
  std::vector<double> selected_;     // covariances, where the factor has an entry
  std::vector<double> selected_diagonal_;
};

}  // namespace doewright
