// SPDX-License-Identifier: MIT
#include <doewright/merit/selection_index.hpp>

#include <algorithm>
#include <cmath>
#include <string>

#include <doewright/core/errors.hpp>

#include "model_state.hpp"

namespace doewright {

namespace {

void demand_of_index(bool kept, const char* promise) {
  if (!kept) throw UsageError(std::string("selection index: ") + promise);
}

bool symmetric(const Grid<double>& table) {
  if (table.rows != table.columns) return false;
  for (std::size_t i = 0; i < table.rows; ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (table(i, j) != table(j, i)) return false;
    }
  }
  return true;
}

double product(const std::vector<double>& a, const std::vector<double>& b) {
  double sum = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

std::vector<double> times(const Grid<double>& table, std::span<const double> v) {
  std::vector<double> result(table.rows, 0.0);
  for (std::size_t i = 0; i < table.rows; ++i) {
    for (std::size_t j = 0; j < table.columns; ++j) result[i] += table(i, j) * v[j];
  }
  return result;
}

/// Solves L L' x = right.
std::vector<double> solved_by(const Grid<double>& lower, std::vector<double> right) {
  const std::size_t n = right.size();
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t k = 0; k < i; ++k) right[i] -= lower(i, k) * right[k];
    right[i] /= lower(i, i);
  }
  for (std::size_t i = n; i-- > 0;) {
    for (std::size_t k = i + 1; k < n; ++k) right[i] -= lower(k, i) * right[k];
    right[i] /= lower(i, i);
  }
  return right;
}

}  // namespace

SelectionIndex selection_index(const Grid<double>& phenotypic, const Grid<double>& covariance,
                               const Grid<double>& genetic, std::span<const double> values) {
  const std::size_t records = phenotypic.rows, traits = values.size();
  demand_of_index(symmetric(phenotypic), "the covariance of the records is symmetric");
  demand_of_index(symmetric(genetic) && genetic.rows == traits,
                  "the covariance of the breeding values is symmetric, a row a value");
  demand_of_index(covariance.rows == records && covariance.columns == traits,
                  "the table of records and breeding values has a row a record, a column a value");
  Grid<double> lower;
  demand_of_index(cholesky_of(phenotypic, lower),
                  "the covariance of the records is positive definite");
  SelectionIndex index;
  const std::vector<double> right = times(covariance, values);
  index.weights = solved_by(lower, right);
  index.index_variance = product(index.weights, right);
  const std::vector<double> spread = times(genetic, values);
  for (std::size_t t = 0; t < traits; ++t) index.merit_variance += values[t] * spread[t];
  demand_of_index(
      index.index_variance <= index.merit_variance * (1.0 + 1e-9),
      "an index cannot vary more than what it predicts: the tables contradict each other");
  if (!(index.index_variance > 0.0)) return index;
  index.accuracy = std::min(1.0, std::sqrt(index.index_variance / index.merit_variance));
  index.response.assign(traits, 0.0);
  for (std::size_t t = 0; t < traits; ++t) {
    for (std::size_t r = 0; r < records; ++r) {
      index.response[t] += index.weights[r] * covariance(r, t);
    }
    index.response[t] /= std::sqrt(index.index_variance);
  }
  return index;
}

}  // namespace doewright
