// SPDX-License-Identifier: MIT
#include <doewright/merit/mixed_model.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include <doewright/core/errors.hpp>

#include "model_state.hpp"

namespace doewright {

namespace {

void demand(bool kept, const char* promise) {
  if (!kept) throw UsageError(std::string("merit: ") + promise);
}

void check_numbers(const Grid<double>& covariance, const std::vector<IndependentEffects>& blocks,
                   const std::vector<double>& residuals) {
  demand(covariance.rows == covariance.columns && covariance.rows > 0,
         "the genetic covariance is a square table of at least one part");
  for (std::size_t i = 0; i < covariance.rows; ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      demand(covariance(i, j) == covariance(j, i), "the genetic covariance is symmetric");
    }
  }
  for (const IndependentEffects& block : blocks) {
    demand(block.variance > 0.0 && std::isfinite(block.variance), "variances are above 0");
  }
  demand(residuals.size() <= 255, "there are at most 255 kinds of records");
  for (const double variance : residuals) {
    demand(variance > 0.0 && std::isfinite(variance), "residual variances are above 0");
  }
}

}  // namespace

bool cholesky_of(const Grid<double>& matrix, Grid<double>& lower) {
  const std::size_t n = matrix.rows;
  lower = Grid<double>(n, n, 0.0);
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = matrix(i, j);
      for (std::size_t k = 0; k < j; ++k) sum -= lower(i, k) * lower(j, k);
      if (i != j) {
        lower(i, j) = sum / lower(j, j);
      } else {
        if (!(sum > 1e-10 * matrix(i, i))) return false;
        lower(i, i) = std::sqrt(sum);
      }
    }
  }
  return true;
}

Grid<double> inverse_from(const Grid<double>& lower) {
  const std::size_t n = lower.rows;
  Grid<double> of_lower(n, n, 0.0), inverse(n, n, 0.0);
  for (std::size_t j = 0; j < n; ++j) {
    for (std::size_t i = j; i < n; ++i) {
      double sum = i == j ? 1.0 : 0.0;
      for (std::size_t k = j; k < i; ++k) sum -= lower(i, k) * of_lower(k, j);
      of_lower(i, j) = sum / lower(i, i);
    }
  }
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j < n; ++j) {
      for (std::size_t k = std::max(i, j); k < n; ++k) {
        inverse(i, j) += of_lower(k, i) * of_lower(k, j);
      }
    }
  }
  return inverse;
}

MixedModel::MixedModel(const Pedigree& pedigree, std::span<const double> f,
                       Grid<double> genetic_covariance, std::uint32_t fixed_columns,
                       std::vector<IndependentEffects> independent,
                       std::vector<double> residual_variances,
                       const std::vector<Animal>& phantom_dams, const UnknownParentGroups& groups)
    : state_(std::make_unique<State>()) {
  check_numbers(genetic_covariance, independent, residual_variances);
  State& s = *state_;
  demand(cholesky_of(genetic_covariance, s.covariance_factor),
         "the genetic covariance is positive definite");
  demand(!groups.variance_ratio ||
             (*groups.variance_ratio > 0.0 && std::isfinite(*groups.variance_ratio)),
         "the variance of groups is above 0");
  s.nodes = model_nodes(pedigree, f, phantom_dams, groups);
  s.fixed_groups = !groups.variance_ratio;
  s.parts = static_cast<std::uint32_t>(genetic_covariance.rows);
  s.covariance = std::move(genetic_covariance);
  s.inverse_covariance = inverse_from(s.covariance_factor);
  std::uint64_t next = std::uint64_t{s.nodes.size()} * s.parts;
  s.fixed_first = static_cast<std::uint32_t>(next);
  s.fixed_columns = fixed_columns;
  next += fixed_columns;
  s.independent_first = static_cast<std::uint32_t>(next);
  for (const IndependentEffects& block : independent) {
    s.block_first.push_back(static_cast<std::uint32_t>(next));
    next += block.levels;
  }
  demand(next < std::numeric_limits<std::uint32_t>::max(), "there are fewer than 2^32 unknowns");
  s.unknowns = static_cast<std::uint32_t>(next);
  s.independent = std::move(independent);
  s.residual_variances = std::move(residual_variances);
}

MixedModel::MixedModel(MixedModel&&) noexcept = default;
MixedModel& MixedModel::operator=(MixedModel&&) noexcept = default;
MixedModel::~MixedModel() = default;

std::uint32_t MixedModel::genetic(Animal animal, std::size_t part) const {
  demand(animal.position < state_->nodes.animals && part < state_->parts, "no such animal or part");
  return animal.position * state_->parts + static_cast<std::uint32_t>(part);
}

std::uint32_t MixedModel::phantom(std::size_t which, std::size_t part) const {
  const std::size_t node = std::size_t{state_->nodes.animals} + state_->nodes.stand_ins() + which;
  demand(node < state_->nodes.size() && part < state_->parts, "no such phantom dam or part");
  return static_cast<std::uint32_t>(node * state_->parts + part);
}

std::uint32_t MixedModel::group(std::size_t which, std::size_t part) const {
  demand(which < state_->nodes.groups && part < state_->parts, "no such group or part");
  return (state_->nodes.first_group() + static_cast<std::uint32_t>(which)) * state_->parts +
         static_cast<std::uint32_t>(part);
}

std::uint32_t MixedModel::fixed(std::uint32_t column) const {
  demand(column < state_->fixed_columns, "no such fixed column");
  return state_->fixed_first + column;
}

std::uint32_t MixedModel::independent(std::size_t block, std::uint32_t level) const {
  demand(block < state_->independent.size() && level < state_->independent[block].levels,
         "no such independent effect");
  return state_->block_first[block] + level;
}

void MixedModel::reserve(std::size_t records, std::size_t entries) {
  State& s = *state_;
  s.row_first.reserve(records + 1);
  s.values.reserve(records);
  s.residual_of.reserve(records);
  s.columns.reserve(entries);
}

void MixedModel::add(double value, std::size_t residual, std::span<const DesignEntry> design) {
  State& s = *state_;
  demand(std::isfinite(value), "a record is a finite number");
  demand(residual < s.residual_variances.size(), "no such kind of record");
  for (const DesignEntry& entry : design) {
    demand(entry.unknown < s.unknowns && std::isfinite(entry.coefficient), "no such unknown");
    const bool is_group =
        entry.unknown < s.fixed_first && entry.unknown / s.parts >= s.nodes.first_group();
    demand(!is_group, "a record is of animals, not of a group of unknown parents");
  }
  for (const DesignEntry& entry : design) {
    if (entry.coefficient != 1.0 && !s.weighted) {  // until now all coefficients were 1
      s.coefficients.assign(s.columns.size(), 1.0);
      s.weighted = true;
    }
    if (s.weighted) s.coefficients.push_back(entry.coefficient);
    s.columns.push_back(entry.unknown);
  }
  s.row_first.push_back(static_cast<std::uint32_t>(s.columns.size()));
  s.values.push_back(value);
  s.residual_of.push_back(static_cast<std::uint8_t>(residual));
}

void MixedModel::add_together(std::span<const double> values, const Grid<double>& residuals,
                              std::span<const std::vector<DesignEntry>> designs) {
  const std::size_t n = values.size();
  demand(designs.size() == n && residuals.rows == n && residuals.columns == n,
         "records added together have a value, a design and a row of covariances each");
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      demand(residuals(i, j) == residuals(j, i), "covariances of residuals are symmetric");
    }
  }
  Grid<double> lower;
  demand(cholesky_of(residuals, lower), "the covariance of the residuals is positive definite");
  std::vector<double>& kinds = state_->residual_variances;
  if (!state_->unit_residual) {
    demand(kinds.size() < 255, "there are at most 255 kinds of records");
    state_->unit_residual = kinds.size();
    kinds.push_back(1.0);
  }
  // Row i of L^-1 (y, X), one after the other: what the records before it say is taken off.
  std::vector<double> made;
  std::vector<std::vector<DesignEntry>> rows;
  for (std::size_t i = 0; i < n; ++i) {
    double value = values[i];
    std::vector<DesignEntry> row = designs[i];
    for (std::size_t k = 0; k < i; ++k) {
      value -= lower(i, k) * made[k];
      for (const DesignEntry& entry : rows[k]) {
        row.push_back({entry.unknown, -lower(i, k) * entry.coefficient});
      }
    }
    value /= lower(i, i);
    for (DesignEntry& entry : row) entry.coefficient /= lower(i, i);
    made.push_back(value);
    rows.push_back(std::move(row));
  }
  for (std::size_t i = 0; i < n; ++i) add(made[i], *state_->unit_residual, rows[i]);
}

std::size_t MixedModel::unknowns() const noexcept {
  return state_->unknowns;
}
std::size_t MixedModel::records() const noexcept {
  return state_->records();
}
std::size_t MixedModel::genetic_parts() const noexcept {
  return state_->parts;
}

}  // namespace doewright
