// SPDX-License-Identifier: MIT
#pragma once
/// Selection index: weights of an animal's records, or of its kin's, for the best linear prediction
/// of what it is worth.
#include <span>
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/export.hpp>

namespace doewright {

/// I = b'(y - mean) predicts T = v'a, the breeding values of m traits in money (or whatever v has
/// as unit).
struct SelectionIndex {
  std::vector<double> weights;  ///< b, one a record, in units of v a unit of the record.
  double index_variance = 0.0;  ///< Of I.
  double merit_variance = 0.0;  ///< Of T.
  double accuracy = 0.0;        ///< Correlation of I and T, 0..1: not its square, the reliability.
  /// By trait: change of the mean breeding value where animals are chosen by I with an intensity of
  /// one standard deviation. Empty where I has no variance.
  std::vector<double> response;
};

/// b = P^-1 G v, with known means: deviations from fixed effects that are known, as textbooks have
/// it. Where they are estimated from the same records, MixedModel is right and this is not.
///
/// \param phenotypic  P, n x n: covariance of the records.
/// \param covariance  G, n x m: of each record with each true breeding value.
/// \param genetic     C, m x m: of the true breeding values.
/// \param values      v, one a trait.
/// \throws UsageError: tables that do not fit together, P not positive definite, C not symmetric,
/// or an
///         accuracy above 1: the three tables contradict each other.
/// Cost: n^3. Source: Hazel (1943), Genetics 28:476; the examples of Mrode, Linear Models for the
/// Prediction of Animal Breeding Values, chapter 1, stand in tests/merit/test_selection_index.cpp.
DOEWRIGHT_EXPORT SelectionIndex selection_index(const Grid<double>& phenotypic,
                                                const Grid<double>& covariance,
                                                const Grid<double>& genetic,
                                                std::span<const double> values);

}  // namespace doewright
