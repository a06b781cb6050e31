// SPDX-License-Identifier: MIT
// Henderson's equations, factored: P C P' = L D L' in a minimum-degree order. The diagonal of C^-1
// comes from the elements of C^-1 in the places of L, worked out backwards (Takahashi, Fagan and
// Chin 1973):
//   Z(i,j) = - sum over k > j in column j of L(k,j) Z(i,k),   Z(j,j) = 1/D(j) - sum L(k,j) Z(k,j).
#include <algorithm>

#include <Eigen/SparseCholesky>

#include <doewright/core/errors.hpp>

#include "model_state.hpp"

namespace doewright {

namespace {

using Matrix = Eigen::SparseMatrix<double>;
using Triplets = std::vector<Eigen::Triplet<double>>;

/// Lower triangle.
void put(Triplets& triplets, std::uint32_t a, std::uint32_t b, double value) {
  triplets.emplace_back(static_cast<int>(std::max(a, b)), static_cast<int>(std::min(a, b)), value);
}

void put_records(const MixedModel::State& model, const std::vector<bool>& dropped,
                 Triplets& triplets) {
  std::vector<DesignEntry> row;
  for (std::size_t r = 0; r < model.records(); ++r) {
    row.clear();
    model.for_row(r, [&](std::uint32_t unknown, double coefficient) {
      if (model.is_fixed(unknown) && dropped[unknown - model.fixed_first]) return;
      row.push_back({unknown, coefficient});
    });
    const double weight = model.weight(r);
    for (std::size_t a = 0; a < row.size(); ++a) {
      for (std::size_t b = 0; b <= a; ++b) {
        const double times = a != b && row[a].unknown == row[b].unknown ? 2.0 : 1.0;
        put(triplets, row[a].unknown, row[b].unknown,
            times * weight * row[a].coefficient * row[b].coefficient);
      }
    }
  }
}

/// By unknown: is it set to 0.
std::vector<bool> set_to_zero(const MixedModel::State& model, const std::vector<bool>& dropped) {
  std::vector<bool> zero(model.unknowns, false);
  for (std::uint32_t c = 0; c < dropped.size(); ++c) {
    if (dropped[c]) zero[model.unknown_of_column(c)] = true;
  }
  return zero;
}

/// G^-1 x A^-1.
void put_relationships(const MixedModel::State& model, const std::vector<bool>& zero,
                       Triplets& triplets) {
  const ModelNodes& nodes = model.nodes;
  std::vector<DesignEntry> family;
  for (std::uint32_t node = 0; node < nodes.size(); ++node) {
    family.assign(1, {node, 1.0});
    nodes.for_parents(node, [&](std::uint32_t parent, double part) {
      family.push_back({parent, -part});
    });
    for (const DesignEntry& a : family) {
      for (const DesignEntry& b : family) {
        const double relation = nodes.inverse_own[node] * a.coefficient * b.coefficient;
        for (std::uint32_t p = 0; p < model.parts; ++p) {
          for (std::uint32_t q = 0; q < model.parts; ++q) {
            const std::uint32_t row = a.unknown * model.parts + p;
            const std::uint32_t column = b.unknown * model.parts + q;
            const double value = relation * model.inverse_covariance(p, q);
            if (row >= column && !zero[row] && !zero[column]) put(triplets, row, column, value);
          }
        }
      }
    }
  }
}

Matrix coefficients(const MixedModel::State& model, const std::vector<bool>& dropped) {
  Triplets triplets;
  put_records(model, dropped, triplets);
  put_relationships(model, set_to_zero(model, dropped), triplets);
  for (std::size_t block = 0; block < model.independent.size(); ++block) {
    for (std::uint32_t level = 0; level < model.independent[block].levels; ++level) {
      const std::uint32_t at = model.block_first[block] + level;
      put(triplets, at, at, 1.0 / model.independent[block].variance);
    }
  }
  for (std::uint32_t c = 0; c < dropped.size(); ++c) {
    const std::uint32_t at = model.unknown_of_column(c);
    if (dropped[c]) put(triplets, at, at, 1.0);
  }
  Matrix matrix(static_cast<int>(model.unknowns), static_cast<int>(model.unknowns));
  matrix.setFromTriplets(triplets.begin(), triplets.end());
  return matrix;
}

/// The factor, with its parts laid open.
class OpenFactor : public Eigen::SimplicialLDLT<Matrix, Eigen::Lower> {
 public:
  const Matrix& lower() const { return m_matrix; }
  const Eigen::VectorXd& middle() const { return m_diag; }
  /// Place in the factor of the model's unknown.
  Eigen::Index place_of(Eigen::Index unknown) const {
    return m_P.size() > 0 ? m_P.indices()[unknown] : unknown;
  }
};

/// Diagonal of the inverse, by places of the factor.
std::vector<double> selected_inverse_diagonal(const Matrix& l, const Eigen::VectorXd& d,
                                              const Run& run) {
  const int n = static_cast<int>(l.cols());
  const int* const first = l.outerIndexPtr();
  const int* const rows = l.innerIndexPtr();
  const double* const values = l.valuePtr();
  const auto at = [](int i) { return static_cast<std::size_t>(i); };
  std::vector<double> z(at(first[n]), 0.0), diagonal(at(n), 0.0), sums;
  std::vector<int> place(at(n), -1);  // in column j, of each row
  for (int j = n - 1; j >= 0; --j) {
    if ((j & 1023) == 0) throw_if_stopped(run);
    const int begin = first[j], end = first[j + 1];
    sums.assign(at(end - begin), 0.0);
    for (int k = begin; k < end; ++k) place[at(rows[k])] = k - begin;
    for (int k = begin; k < end; ++k) {
      const int row = rows[k];
      const double part = values[k];
      double own = part * diagonal[at(row)];
      for (int m = first[row]; m < first[row + 1]; ++m) {
        const int other = place[at(rows[m])];
        if (other < 0) continue;
        own += values[begin + other] * z[at(m)];
        sums[at(other)] += part * z[at(m)];
      }
      sums[at(k - begin)] += own;
    }
    double own = 1.0 / d[j];
    for (int k = begin; k < end; ++k) {
      z[at(k)] = -sums[at(k - begin)];
      own -= values[k] * z[at(k)];
      place[at(rows[k])] = -1;
    }
    diagonal[at(j)] = own;
  }
  return diagonal;
}

class ExactEquations : public MeritEquations {
 public:
  ExactEquations(const MixedModel::State& model, std::vector<bool> dropped)
      : dropped_(std::move(dropped)) {
    for (std::uint32_t c = 0; c < dropped_.size(); ++c) {
      if (dropped_[c]) zero_.push_back(model.unknown_of_column(c));
    }
  }

  /// False: too many entries, nothing was factored.
  bool factorise(const MixedModel::State& model, const MixedModelOptions& options, const Run& run) {
    if (model.unknowns == 0) return true;
    const Matrix matrix = coefficients(model, dropped_);
    throw_if_stopped(run);
    factor_.analyzePattern(matrix);
    const auto entries = static_cast<std::size_t>(factor_.lower().data().size());
    if (entries > options.exact_entries) return false;
    throw_if_too_big(run, entries * 20, "the factor of the merit equations");
    factor_.factorize(matrix);
    if (factor_.info() != Eigen::Success || !(factor_.middle().array() > 0.0).all()) {
      throw Error("merit: the equations could not be factored");
    }
    return true;
  }

  MeritMethod method() const override { return MeritMethod::exact; }

  Answer solve(std::vector<double> right, const Run&) const override {
    Answer answer;
    if (right.empty()) return answer;
    Eigen::VectorXd b =
        Eigen::Map<const Eigen::VectorXd>(right.data(), static_cast<Eigen::Index>(right.size()));
    for (const std::uint32_t unknown : zero_) b[static_cast<Eigen::Index>(unknown)] = 0.0;
    const Eigen::VectorXd x = factor_.solve(b);
    answer.solution.assign(x.data(), x.data() + x.size());
    return answer;
  }

  std::vector<double> inverse_diagonal(const Run& run) const override {
    if (factor_.lower().cols() == 0) return {};
    const std::vector<double> ordered =
        selected_inverse_diagonal(factor_.lower(), factor_.middle(), run);
    std::vector<double> diagonal(ordered.size());
    for (std::size_t i = 0; i < diagonal.size(); ++i) {
      diagonal[i] =
          ordered[static_cast<std::size_t>(factor_.place_of(static_cast<Eigen::Index>(i)))];
    }
    for (const std::uint32_t unknown : zero_) diagonal[unknown] = 0.0;
    return diagonal;
  }

 private:
  std::vector<bool> dropped_;        ///< By column that may say nothing.
  std::vector<std::uint32_t> zero_;  ///< The unknowns of those.
  OpenFactor factor_;
};

}  // namespace

std::unique_ptr<MeritEquations> exact_equations(const MixedModel::State& model,
                                                const std::vector<bool>& dropped,
                                                const MixedModelOptions& options, const Run& run) {
  auto equations = std::make_unique<ExactEquations>(model, dropped);
  if (!equations->factorise(model, options, run)) return nullptr;
  return equations;
}

}  // namespace doewright
