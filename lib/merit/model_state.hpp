// SPDX-License-Identifier: MIT
#pragma once
/// What a MixedModel holds: the nodes of its pedigree with their parts, and the rows of its
/// records.
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include <doewright/merit/mixed_model.hpp>

namespace doewright {

/// Animals, stand-ins, phantom dams and groups with the parts of their parents and 1/D, so that
/// A^-1 = sum over nodes of w w' / D, w = 1 for the node and minus the part of each parent.
struct ModelNodes {
  static constexpr std::uint32_t none = Pedigree::none;
  std::vector<std::uint32_t> sire, dam;  ///< Node numbers; of stand-ins and phantoms none.
  std::vector<double> inverse_own;       ///< 1/D; of a fixed group 0.
  std::uint32_t animals = 0;
  std::vector<std::uint32_t> list_first;  ///< By stand-in, into buck and chance.
  std::uint32_t groups = 0;               ///< The last nodes.
  std::vector<std::uint32_t> buck;        ///< Or the group of a buck not on the list.
  std::vector<double> chance;

  std::uint32_t size() const noexcept { return static_cast<std::uint32_t>(sire.size()); }
  std::uint32_t first_group() const noexcept { return size() - groups; }
  std::uint32_t stand_ins() const noexcept {
    return static_cast<std::uint32_t>(list_first.size()) - 1;
  }

  template <class Call>
  void for_parents(std::uint32_t node, Call&& call) const {
    if (node >= animals && node - animals < stand_ins()) {
      const std::uint32_t s = node - animals;
      for (std::uint32_t k = list_first[s]; k < list_first[s + 1]; ++k) call(buck[k], chance[k]);
      return;
    }
    if (sire[node] != none) call(sire[node], 0.5);
    if (dam[node] != none) call(dam[node], 0.5);
  }

  /// Every node after its parents: an order for drawing.
  std::vector<std::uint32_t> parents_first() const;
};

ModelNodes model_nodes(const Pedigree& pedigree, std::span<const double> f,
                       std::span<const Animal> phantom_dams, const UnknownParentGroups& groups);

/// The lower triangle L of a Cholesky factor, L L' = matrix; false if it is not positive definite.
bool cholesky_of(const Grid<double>& matrix, Grid<double>& lower);
/// Inverse of a small positive definite matrix from its factor.
Grid<double> inverse_from(const Grid<double>& lower);

struct MixedModel::State {
  ModelNodes nodes;
  std::uint32_t parts = 1;
  Grid<double> covariance, inverse_covariance, covariance_factor;
  bool fixed_groups = false;
  std::uint32_t fixed_first = 0, fixed_columns = 0, independent_first = 0, unknowns = 0;
  std::vector<IndependentEffects> independent;
  std::vector<std::uint32_t> block_first;
  std::vector<double> residual_variances;
  std::optional<std::size_t> unit_residual;  ///< Kind of records added together.

  std::vector<std::uint32_t> row_first = {0};
  std::vector<std::uint32_t> columns;
  bool weighted = false;             ///< Some coefficient is not 1.
  std::vector<double> coefficients;  ///< Empty while all are 1.
  std::vector<double> values;
  std::vector<std::uint8_t> residual_of;

  std::size_t records() const noexcept { return values.size(); }
  double weight(std::size_t record) const { return 1.0 / residual_variances[residual_of[record]]; }
  template <class Call>
  void for_row(std::size_t record, Call&& call) const {
    for (std::uint32_t k = row_first[record]; k < row_first[record + 1]; ++k) {
      call(columns[k], weighted ? coefficients[k] : 1.0);
    }
  }
  bool is_fixed(std::uint32_t unknown) const {
    return unknown >= fixed_first && unknown < independent_first;
  }
  /// Fixed columns, then the parts of fixed groups: whatever may say nothing beyond the others.
  std::uint32_t group_columns() const { return fixed_groups ? nodes.groups * parts : 0; }
  std::uint32_t unknown_of_column(std::uint32_t column) const {
    return column < fixed_columns ? fixed_first + column
                                  : nodes.first_group() * parts + column - fixed_columns;
  }
};

/// Which of them are set to 0, because the columns kept say all they could say.
std::vector<bool> columns_to_drop(const MixedModel::State& model);

/// The equations of a model, ready to be solved for any right-hand side.
class MeritEquations {
 public:
  virtual ~MeritEquations() = default;
  virtual MeritMethod method() const = 0;
  struct Answer {
    std::vector<double> solution;
    std::size_t iterations = 0;
    bool converged = true;
  };
  virtual Answer solve(std::vector<double> right, const Run& run) const = 0;
  /// Diagonal of the inverse; exact method only.
  virtual std::vector<double> inverse_diagonal(const Run& run) const = 0;
};

/// Empty if the factor would have more entries than allowed.
std::unique_ptr<MeritEquations> exact_equations(const MixedModel::State& model,
                                                const std::vector<bool>& dropped,
                                                const MixedModelOptions& options, const Run& run);
/// Keeps a reference to the model.
std::unique_ptr<MeritEquations> iterated_equations(const MixedModel::State& model,
                                                   const std::vector<bool>& dropped,
                                                   const MixedModelOptions& options);

}  // namespace doewright
