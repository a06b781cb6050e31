// SPDX-License-Identifier: MIT
// Conjugate gradients with the diagonal as preconditioner (Hestenes and Stiefel 1952). No matrix is
// stored: C v = sum over records of x (x'v) / VE, over nodes of w (w'v) G^-1 / D, over independent
// effects of v / variance.
#include <algorithm>
#include <cmath>

#include "model_state.hpp"

namespace doewright {

namespace {

using Numbers = std::vector<double>;

class IteratedEquations : public MeritEquations {
 public:
  IteratedEquations(const MixedModel::State& model, std::vector<bool> dropped,
                    const MixedModelOptions& options)
      : model_(model),
        dropped_(std::move(dropped)),
        options_(options),
        one_over_diagonal_(one_over_diagonal()) {}

  MeritMethod method() const override { return MeritMethod::iterated; }

  Answer solve(Numbers right, const Run& run) const override {
    Answer answer;
    Numbers& x = answer.solution;
    x.assign(right.size(), 0.0);
    Numbers& left = right;  // what is not explained yet
    Numbers direction(right.size()), image(right.size());
    clear_dropped(left);
    double size = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) {
      direction[i] = one_over_diagonal_[i] * left[i];
      size += left[i] * direction[i];
    }
    const double enough = options_.tolerance * options_.tolerance * size;
    while (size > enough) {
      if (answer.iterations == options_.most_iterations) {
        answer.converged = false;
        break;
      }
      throw_if_stopped(run);
      const double curvature = times(direction, image);
      if (!(curvature > 0.0)) {
        answer.converged = false;
        break;
      }
      const double step = size / curvature;
      double next = 0.0;
      for (std::size_t i = 0; i < x.size(); ++i) {
        x[i] += step * direction[i];
        left[i] -= step * image[i];
        next += left[i] * left[i] * one_over_diagonal_[i];
      }
      const double turn = next / size;
      for (std::size_t i = 0; i < x.size(); ++i) {
        direction[i] = one_over_diagonal_[i] * left[i] + turn * direction[i];
      }
      size = next;
      ++answer.iterations;
    }
    return answer;
  }

  Numbers inverse_diagonal(const Run&) const override { return {}; }

 private:
  void clear_dropped(Numbers& v) const {
    for (std::uint32_t c = 0; c < dropped_.size(); ++c) {
      if (dropped_[c]) v[model_.unknown_of_column(c)] = 0.0;
    }
  }

  /// result = C v; returns v'C v.
  double times(const Numbers& v, Numbers& result) const {
    std::fill(result.begin(), result.end(), 0.0);
    if (model_.parts == 1) {
      add_one_part(v, result);
    } else {
      add_parts(v, result);
    }
    for (std::size_t r = 0; r < model_.records(); ++r) {
      double sum = 0.0;
      model_.for_row(r, [&](std::uint32_t i, double c) { sum += c * v[i]; });
      sum *= model_.weight(r);
      model_.for_row(r, [&](std::uint32_t i, double c) { result[i] += c * sum; });
    }
    for (std::size_t b = 0; b < model_.independent.size(); ++b) {
      const std::uint32_t first = model_.block_first[b];
      for (std::uint32_t i = first; i < first + model_.independent[b].levels; ++i) {
        result[i] += v[i] / model_.independent[b].variance;
      }
    }
    clear_dropped(result);
    double curvature = 0.0;
    for (std::size_t i = 0; i < v.size(); ++i) curvature += v[i] * result[i];
    return curvature;
  }

  void add_one_part(const Numbers& v, Numbers& result) const {
    const ModelNodes& nodes = model_.nodes;
    const double inverse = model_.inverse_covariance(0, 0);
    for (std::uint32_t node = 0; node < nodes.size(); ++node) {
      double own = v[node];
      nodes.for_parents(node, [&](std::uint32_t p, double part) { own -= part * v[p]; });
      own *= nodes.inverse_own[node] * inverse;
      result[node] += own;
      nodes.for_parents(node, [&](std::uint32_t p, double part) { result[p] -= part * own; });
    }
  }

  void add_parts(const Numbers& v, Numbers& result) const {
    const ModelNodes& nodes = model_.nodes;
    const std::size_t q = model_.parts;
    Numbers own(q), mixed(q);
    for (std::uint32_t node = 0; node < nodes.size(); ++node) {
      for (std::size_t k = 0; k < q; ++k) own[k] = v[node * q + k];
      nodes.for_parents(node, [&](std::uint32_t p, double part) {
        for (std::size_t k = 0; k < q; ++k) own[k] -= part * v[p * q + k];
      });
      for (std::size_t k = 0; k < q; ++k) {
        mixed[k] = 0.0;
        for (std::size_t m = 0; m < q; ++m) mixed[k] += model_.inverse_covariance(k, m) * own[m];
        mixed[k] *= nodes.inverse_own[node];
        result[node * q + k] += mixed[k];
      }
      nodes.for_parents(node, [&](std::uint32_t p, double part) {
        for (std::size_t k = 0; k < q; ++k) result[p * q + k] -= part * mixed[k];
      });
    }
  }

  Numbers one_over_diagonal() const {
    Numbers sum(model_.unknowns, 0.0);
    const ModelNodes& nodes = model_.nodes;
    const std::size_t q = model_.parts;
    for (std::uint32_t node = 0; node < nodes.size(); ++node) {
      const auto add = [&](std::uint32_t to, double part) {
        for (std::size_t k = 0; k < q; ++k) {
          sum[to * q + k] +=
              part * part * nodes.inverse_own[node] * model_.inverse_covariance(k, k);
        }
      };
      add(node, 1.0);
      nodes.for_parents(node, add);
    }
    for (std::size_t r = 0; r < model_.records(); ++r) {
      model_.for_row(r, [&](std::uint32_t i, double c) { sum[i] += c * c * model_.weight(r); });
    }
    for (std::size_t b = 0; b < model_.independent.size(); ++b) {
      const std::uint32_t first = model_.block_first[b];
      for (std::uint32_t i = first; i < first + model_.independent[b].levels; ++i) {
        sum[i] += 1.0 / model_.independent[b].variance;
      }
    }
    for (double& each : sum) each = each > 0.0 ? 1.0 / each : 0.0;
    clear_dropped(sum);
    return sum;
  }

  const MixedModel::State& model_;
  std::vector<bool> dropped_;
  MixedModelOptions options_;
  Numbers one_over_diagonal_;
};

}  // namespace

std::unique_ptr<MeritEquations> iterated_equations(const MixedModel::State& model,
                                                   const std::vector<bool>& dropped,
                                                   const MixedModelOptions& options) {
  return std::make_unique<IteratedEquations>(model, dropped, options);
}

}  // namespace doewright
