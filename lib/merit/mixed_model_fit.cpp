// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>
#include <doewright/core/stream.hpp>

#include "model_state.hpp"

namespace doewright {

struct MixedModelFit::Solved {
  explicit Solved(MixedModel taken) : model(std::move(taken)) {}
  MixedModel model;
  std::vector<bool> dropped;
  std::unique_ptr<MeritEquations> equations;
  MeritEquations::Answer answer;
  std::vector<double> error_variances;
};

namespace {

std::vector<double> right_hand_side(const MixedModel::State& model,
                                    std::span<const double> values) {
  std::vector<double> right(model.unknowns, 0.0);
  for (std::size_t r = 0; r < model.records(); ++r) {
    const double weighted = values[r] * model.weight(r);
    model.for_row(r, [&](std::uint32_t i, double c) { right[i] += c * weighted; });
  }
  return right;
}

/// Genetic effects from the top of the pedigree downwards, then the independent ones.
std::vector<double> draw_truth(const MixedModel::State& model, Stream& stream) {
  std::vector<double> truth(model.unknowns, 0.0), luck(model.parts);
  const ModelNodes& nodes = model.nodes;
  const std::size_t q = model.parts;
  for (const std::uint32_t node : nodes.parents_first()) {
    if (nodes.inverse_own[node] == 0.0) continue;  // a fixed group, like all fixed effects 0
    for (double& each : luck) each = stream.normal();
    const double scale = std::sqrt(1.0 / nodes.inverse_own[node]);
    for (std::size_t k = 0; k < q; ++k) {
      double own = 0.0;
      for (std::size_t m = 0; m <= k; ++m) own += model.covariance_factor(k, m) * luck[m];
      truth[node * q + k] = scale * own;
    }
    nodes.for_parents(node, [&](std::uint32_t p, double part) {
      for (std::size_t k = 0; k < q; ++k) truth[node * q + k] += part * truth[p * q + k];
    });
  }
  for (std::size_t b = 0; b < model.independent.size(); ++b) {
    const double sd = std::sqrt(model.independent[b].variance);
    const std::uint32_t first = model.block_first[b];
    for (std::uint32_t i = first; i < first + model.independent[b].levels; ++i) {
      truth[i] = sd * stream.normal();
    }
  }
  return truth;
}

}  // namespace

MixedModelFit::MixedModelFit(MixedModel model, const MixedModelOptions& options, const Run& run) {
  auto solved = std::make_shared<Solved>(std::move(model));
  const MixedModel::State& s = solved->model.state();
  solved->dropped = columns_to_drop(s);
  // Entries are counted in int: with more unknowns than this the count itself could overflow.
  const bool small = s.nodes.animals <= options.exact_up_to && s.unknowns <= 200'000;
  if (small) solved->equations = exact_equations(s, solved->dropped, options, run);
  if (!solved->equations) {
    throw_if_too_big(run, std::size_t{s.unknowns} * 48, "solving the merit equations");
    solved->equations = iterated_equations(s, solved->dropped, options);
  }
  solved->answer = solved->equations->solve(right_hand_side(s, s.values), run);
  if (solved->equations->method() == MeritMethod::exact) {
    solved->error_variances = solved->equations->inverse_diagonal(run);
  }
  solved_ = std::move(solved);
}

const MixedModel& MixedModelFit::model() const noexcept {
  return solved_->model;
}
MeritMethod MixedModelFit::method() const noexcept {
  return solved_->equations->method();
}
std::size_t MixedModelFit::iterations() const noexcept {
  return solved_->answer.iterations;
}
bool MixedModelFit::converged() const noexcept {
  return solved_->answer.converged;
}
std::span<const double> MixedModelFit::solution() const noexcept {
  return solved_->answer.solution;
}

bool MixedModelFit::set_to_zero(std::uint32_t fixed_column) const {
  if (fixed_column >= solved_->model.state().fixed_columns)
    throw UsageError("merit: no such fixed column");
  return solved_->dropped[fixed_column];
}

bool MixedModelFit::group_set_to_zero(std::size_t which, std::size_t part) const {
  const MixedModel::State& s = solved_->model.state();
  const std::uint32_t unknown = solved_->model.group(which, part);
  return s.fixed_groups &&
         solved_->dropped[s.fixed_columns + unknown - s.nodes.first_group() * s.parts];
}

std::span<const double> MixedModelFit::error_variances() const {
  if (method() != MeritMethod::exact) {
    throw UsageError("merit: error variances of all unknowns come from the exact method alone");
  }
  return solved_->error_variances;
}

Grid<double> MixedModelFit::error_covariance(std::span<const std::uint32_t> unknowns,
                                             const Run& run) const {
  const std::size_t n = unknowns.size();
  const std::uint32_t all = solved_->model.state().unknowns;
  for (const std::uint32_t each : unknowns) {
    if (each >= all) throw UsageError("merit: no such unknown");
  }
  throw_if_too_big(run, n * n * 8 + std::size_t{all} * 32, "covariances of breeding values");
  Grid<double> result(n, n, 0.0);
  std::vector<double> right(all, 0.0);
  for (std::size_t i = 0; i < n; ++i) {
    throw_if_stopped(run);
    right[unknowns[i]] = 1.0;
    const std::vector<double> column = solved_->equations->solve(right, run).solution;
    right[unknowns[i]] = 0.0;
    for (std::size_t j = 0; j < n; ++j) result(j, i) = column[unknowns[j]];
  }
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      result(i, j) = result(j, i) = 0.5 * (result(i, j) + result(j, i));
    }
  }
  return result;
}

std::vector<double> MixedModelFit::solve_for(std::span<const double> values, const Run& run) const {
  const MixedModel::State& s = solved_->model.state();
  if (values.size() != s.records()) throw UsageError("merit: one value a record is needed");
  return solved_->equations->solve(right_hand_side(s, values), run).solution;
}

MixedModelFit::Sample MixedModelFit::sample(std::uint64_t seed, std::uint64_t index,
                                            const Run& run) const {
  const MixedModel::State& s = solved_->model.state();
  Stream stream(seed, "merit.sample", index);
  Sample sample;
  sample.true_values = draw_truth(s, stream);
  std::vector<double> values(s.records());
  for (std::size_t r = 0; r < values.size(); ++r) {
    double sum = std::sqrt(s.residual_variances[s.residual_of[r]]) * stream.normal();
    s.for_row(r, [&](std::uint32_t i, double c) { sum += c * sample.true_values[i]; });
    values[r] = sum;
  }
  sample.predicted = solve_for(values, run);
  return sample;
}

}  // namespace doewright
