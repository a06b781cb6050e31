// SPDX-License-Identifier: MIT
// Q = L D L'. Column by column from the last, with S = Q^-1 and the sums over the entries k of
// column j of L:   S(i,j) = - sum_k S(i,k) L(k,j) for i in the column,   S(j,j) = 1/D(j) - sum_k
// L(k,j) S(k,j). All S(i,k) that are needed stand where L has an entry, since eliminating j joins i
// and k.
#include "ep_posterior.hpp"

#include <algorithm>
#include <functional>
#include <queue>
#include <utility>

namespace doewright {

namespace {

using Triplets = std::vector<Eigen::Triplet<double>>;
using Columns = Eigen::SparseMatrix<double>;

Columns precision_matrix(Eigen::Index nodes, Triplets entries, const std::vector<EpSite>& sites,
                         std::span<const EpFactor> factors) {
  for (std::size_t k = 0; k < sites.size(); ++k) {
    const double precision = factors.empty() ? 0.0 : factors[k].precision;
    for (const auto& column : sites[k].row) {
      for (const auto& row : sites[k].row) {
        if (row.first < column.first) continue;
        entries.emplace_back(static_cast<int>(row.first), static_cast<int>(column.first),
                             precision * row.second * column.second);
      }
    }
  }
  Columns matrix(nodes, nodes);
  matrix.setFromTriplets(entries.begin(), entries.end());
  return matrix;
}

}  // namespace

EpPosterior::EpPosterior(std::size_t nodes, Triplets prior, const std::vector<EpSite>& sites)
    : nodes_(static_cast<Eigen::Index>(nodes)),
      prior_(std::move(prior)),
      mean_(Eigen::VectorXd::Zero(nodes_)) {
  if (nodes_ == 0) return;
  factor_.analyzePattern(precision_matrix(nodes_, prior_, sites, {}));
  const auto& order = factor_.permutationP().indices();
  place_.assign(nodes, 0);
  for (Eigen::Index i = 0; i < nodes_; ++i) {
    place_[static_cast<std::size_t>(i)] = order.size() == 0 ? static_cast<int>(i) : order[i];
  }
}

bool EpPosterior::set(const std::vector<EpSite>& sites, std::span<const EpFactor> factors) {
  if (nodes_ == 0) return true;
  factor_.factorize(precision_matrix(nodes_, prior_, sites, factors));
  if (factor_.info() != Eigen::Success || !(factor_.vectorD().minCoeff() > 0.0)) return false;
  Eigen::VectorXd right = Eigen::VectorXd::Zero(nodes_);
  for (std::size_t k = 0; k < sites.size(); ++k) {
    for (const auto& [node, weight] : sites[k].row) right[node] += factors[k].shift * weight;
  }
  mean_ = factor_.solve(right);
  select_inverse();
  return true;
}

void EpPosterior::select_inverse() {
  const Columns& lower = factor_.matrixL().nestedExpression();
  const int* first = lower.outerIndexPtr();
  const int* row = lower.innerIndexPtr();
  const double* value = lower.valuePtr();
  pivots_ = factor_.vectorD();  // Eigen gives a copy at every call
  const Eigen::VectorXd& pivots = pivots_;
  const auto n = static_cast<int>(nodes_);
  selected_.assign(static_cast<std::size_t>(first[n]), 0.0);
  selected_diagonal_.assign(static_cast<std::size_t>(n), 0.0);
  std::vector<double> of_column(static_cast<std::size_t>(n), 0.0);  // L(.,j)
  std::vector<double> sum(static_cast<std::size_t>(n), 0.0);
  std::vector<int> in_column(static_cast<std::size_t>(n), -1);
  const auto at = [](int index) { return static_cast<std::size_t>(index); };
  for (int j = n - 1; j >= 0; --j) {
    for (int p = first[j]; p < first[j + 1]; ++p) {
      of_column[at(row[p])] = value[p];
      sum[at(row[p])] = 0.0;
      in_column[at(row[p])] = j;
    }
    for (int p = first[j]; p < first[j + 1]; ++p) {
      const int k = row[p];
      sum[at(k)] += selected_diagonal_[at(k)] * value[p];
      for (int q = first[k]; q < first[k + 1]; ++q) {
        const int i = row[q];
        if (in_column[at(i)] != j) continue;
        sum[at(i)] += selected_[at(q)] * value[p];
        sum[at(k)] += selected_[at(q)] * of_column[at(i)];
      }
    }
    double own = 1.0 / pivots[j];
    for (int p = first[j]; p < first[j + 1]; ++p) {
      selected_[at(p)] = -sum[at(row[p])];
      own -= value[p] * selected_[at(p)];
    }
    selected_diagonal_[at(j)] = own;
  }
}

double EpPosterior::covariance(std::uint32_t a, std::uint32_t b) const {
  const auto [column, row] = std::minmax(place_[a], place_[b]);
  if (row == column) return selected_diagonal_[static_cast<std::size_t>(row)];
  const Columns& lower = factor_.matrixL().nestedExpression();
  const int* begin = lower.innerIndexPtr() + lower.outerIndexPtr()[column];
  const int* end = lower.innerIndexPtr() + lower.outerIndexPtr()[column + 1];
  const int* found = std::lower_bound(begin, end, row);
  return selected_[static_cast<std::size_t>(found - lower.innerIndexPtr())];
}

double EpPosterior::log_determinant() const {
  return nodes_ == 0 ? 0.0 : factor_.vectorD().array().log().sum();
}

double EpPosterior::mean_of(const EpRow& row) const {
  double sum = 0.0;
  for (const auto& [node, weight] : row) sum += weight * mean_[node];
  return sum;
}

double EpPosterior::variance_of(const EpRow& row) const {
  double sum = 0.0;
  for (const auto& a : row) {
    for (const auto& b : row) sum += a.second * b.second * covariance(a.first, b.first);
  }
  return sum;
}

double EpPosterior::variance_by_path(const EpRow& row, std::vector<double>& work) const {
  if (row.empty()) return 0.0;
  const Columns& lower = factor_.matrixL().nestedExpression();
  const int* first = lower.outerIndexPtr();
  const int* index = lower.innerIndexPtr();
  const double* value = lower.valuePtr();
  const auto at = [](int i) { return static_cast<std::size_t>(i); };
  std::priority_queue<int, std::vector<int>, std::greater<>> heads;
  for (const auto& [node, weight] : row) {
    work[at(place_[node])] += weight;
    heads.push(place_[node]);
  }
  double sum = 0.0;
  int last = -1;
  while (!heads.empty()) {
    const int j = heads.top();
    heads.pop();
    if (j == last) continue;  // ways that have met
    last = j;
    const double y = std::exchange(work[at(j)], 0.0);
    sum += y * y / pivots_[j];
    for (int p = first[j]; p < first[j + 1]; ++p) work[at(index[p])] -= value[p] * y;
    if (first[j] < first[j + 1]) heads.push(index[first[j]]);
  }
  return sum;
}

Eigen::VectorXd EpPosterior::column(const EpRow& row) const {
  if (nodes_ == 0 || row.empty()) return Eigen::VectorXd::Zero(nodes_);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(nodes_);
  for (const auto& [node, weight] : row) right[node] += weight;
  return factor_.solve(right);
}

}  // namespace doewright
