// SPDX-License-Identifier: MIT
#pragma once
/// A linear mixed model on a pedigree, in bare numbers: no herd, no trait, no names.
///
/// y = X b + Z a + W c + e. The genetic effects a have covariance G x A (A: relationships, average
/// ones where a sire is not certain), the independent effects c (permanent or common environment)
/// a variance each, residuals are independent (or see add_together()). Maternal effects and
/// correlated traits are further genetic parts of one animal. merit.hpp builds it from a herd book.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// Effects with one variance, unrelated to each other: one a level.
struct IndependentEffects {
  std::uint32_t levels = 0;
  double variance = 0.0;  ///< Above 0.
};

/// One place in a record's row of the design: the unknown and its coefficient, mostly 1.
struct DesignEntry {
  std::uint32_t unknown = 0;
  double coefficient = 1.0;
};

/// Groups of unknown parents: strangers of one origin (a breed, a herd, a decade) need not be as
/// good as those of another. An animal's whole value is u = Q g + a: g of the groups, weighted by
/// what the animal has from each, and its own deviation a. Without groups every unknown parent has
/// the mean 0.
///
/// Source: Westell, Quaas and Van Vleck (1988), J. Dairy Sci. 71:1310: A^-1 with a row for each
/// group, by the rules of A^-1 with the group in the place of the unknown parent.
struct UnknownParentGroups {
  static constexpr std::uint32_t none = Pedigree::none;
  std::uint32_t groups = 0;
  /// By animal: the group of its unknown sire and dam; `none`: a stranger with the mean 0. Not
  /// looked at where the parent is known. Where a sire is one of several and another buck is not
  /// excluded, that other buck is of the group in `of_sire`. Phantom dams are of their kid's
  /// `of_dam`.
  std::vector<std::uint32_t> of_sire, of_dam;
  /// Empty: g is fixed. Else g has the covariance ratio x G, one group unrelated to the others.
  std::optional<double> variance_ratio;
};

/// The model and its records. Unknowns are numbered: genetic parts node by node (animals in
/// pedigree order, stand-ins, phantom dams, groups), then fixed columns, then independent effects
/// block by block; genetic(), fixed(), independent() and group() say the number.
class DOEWRIGHT_EXPORT MixedModel {
 public:
  /// `f`: inbreeding of the pedigree. `genetic_covariance`: q x q, positive definite, of an animal
  /// with F = 0. `phantom_dams`: animals without known dam that get a dam of their own, an
  /// unrelated founder who kidded nobody else; she is needed where the dam has an effect.
  /// `residual_variances`: one a kind of record, above 0.
  /// \throws UsageError if a promise is broken.
  MixedModel(const Pedigree& pedigree, std::span<const double> f, Grid<double> genetic_covariance,
             std::uint32_t fixed_columns, std::vector<IndependentEffects> independent,
             std::vector<double> residual_variances, const std::vector<Animal>& phantom_dams = {},
             const UnknownParentGroups& groups = {});
  MixedModel(MixedModel&&) noexcept;
  MixedModel& operator=(MixedModel&&) noexcept;
  ~MixedModel();

  std::uint32_t genetic(Animal animal, std::size_t part = 0) const;
  std::uint32_t phantom(std::size_t which, std::size_t part = 0) const;
  /// The unknown g. With groups the unknown of an animal is u, its group parts included.
  std::uint32_t group(std::size_t which, std::size_t part = 0) const;
  std::uint32_t fixed(std::uint32_t column) const;
  std::uint32_t independent(std::size_t block, std::uint32_t level) const;

  /// Makes room, so that memory does not grow beyond what is needed.
  void reserve(std::size_t records, std::size_t entries);

  /// A record. Two entries of one unknown add up. \throws UsageError: no such unknown or residual,
  /// or a group (records are of animals).
  void add(double value, std::size_t residual, std::span<const DesignEntry> design);

  /// Records whose residuals are correlated: several traits of one animal, measured together. One
  /// value and one design each, `residuals` their covariance. They are kept as as many records with
  /// independent residuals (multiplied by the inverse of its Cholesky factor): for solve_for() the
  /// values are those. \throws UsageError: as add(); `residuals` not symmetric and positive
  /// definite.
  void add_together(std::span<const double> values, const Grid<double>& residuals,
                    std::span<const std::vector<DesignEntry>> designs);

  std::size_t unknowns() const noexcept;
  std::size_t records() const noexcept;
  std::size_t genetic_parts() const noexcept;

  struct State;  // lib/merit/model_state.hpp
  const State& state() const noexcept { return *state_; }

 private:
  std::unique_ptr<State> state_;
};

enum class MeritMethod : std::uint8_t {
  exact,     ///< Sparse factorisation; reliabilities exact.
  iterated,  ///< Conjugate gradients; reliabilities sampled, with a standard error.
};

struct MixedModelOptions {
  std::size_t exact_up_to = 30'000;  ///< Animals. Beyond, or where the factor would be too full:
  std::size_t exact_entries = 60'000'000;  ///< Most entries of the factor; 20 bytes each.
  /// Of the iteration: what is left unexplained against the right-hand side, both weighted by the
  /// diagonal. The mean dominates the right-hand side, so the values themselves are less exact than
  /// this: at 1e-8 of a million animals by 1e-5 of a unit (tests/bench/bench_merit).
  double tolerance = 1e-12;
  std::size_t most_iterations = 5'000;
};

/// The equations, set up and solved. Immutable; const calls are safe from any number of threads.
///
/// Fixed columns that say nothing beyond the others (in the order of their numbers, those before
/// them first; fixed groups after all of them) are set to 0: estimates of fixed effects depend on
/// that, breeding values do not. With fixed groups breeding values are deviations from the groups
/// set to 0; what does not depend on the choice is the difference of two animals.
///
/// Source: Henderson (1973, 1975); selected inverse: Takahashi, Fagan and Chin (1973), as in
/// Erisman and Tinney (1975), Comm. ACM 18:177.
class DOEWRIGHT_EXPORT MixedModelFit {
 public:
  /// \throws LimitError, Cancelled. Cost: exact, grows with the fill of the factor (20,000 animals:
  /// see tests/bench/bench_merit); iterated, iterations x (records + animals).
  explicit MixedModelFit(MixedModel model, const MixedModelOptions& options = {},
                         const Run& run = {});

  const MixedModel& model() const noexcept;
  MeritMethod method() const noexcept;
  std::size_t iterations() const noexcept;  ///< Of the solution; 0 if exact.
  bool converged() const noexcept;          ///< False: most_iterations was not enough.

  std::span<const double> solution() const noexcept;   ///< By unknown.
  bool set_to_zero(std::uint32_t fixed_column) const;  ///< A fixed column that says nothing more.
  bool group_set_to_zero(std::size_t which, std::size_t part = 0) const;

  /// Prediction error variance of every unknown, by unknown; 0 of columns set to zero. Exact method
  /// only: \throws UsageError otherwise.
  std::span<const double> error_variances() const;

  /// Joint prediction error covariance of some unknowns (the posterior covariance of true values).
  /// Cost: one solution of the equations an unknown.
  Grid<double> error_covariance(std::span<const std::uint32_t> unknowns, const Run& run = {}) const;

  /// Solution with the right-hand side of other records: the same rows, other values.
  std::vector<double> solve_for(std::span<const double> values, const Run& run = {}) const;

  /// Draws of all unknowns and records from the prior (fixed effects 0) with their predictions:
  /// `true_values` and `predicted` by unknown. From many of them reliabilities are estimated.
  struct Sample {
    std::vector<double> true_values, predicted;
  };
  Sample sample(std::uint64_t seed, std::uint64_t index, const Run& run = {}) const;

 private:
  struct Solved;
  std::shared_ptr<const Solved> solved_;
};

}  // namespace doewright
