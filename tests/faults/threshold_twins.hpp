// SPDX-License-Identifier: MIT
#pragma once
/// Slow and obvious answers for threshold faults: quadrature over the parents of one family, and a
/// sampler of all liabilities. Nothing here uses the engine; the normal distribution is std::erfc.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <random>
#include <vector>

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <Eigen/LU>

#include <doewright/pedigree/pedigree.hpp>

namespace doewright::testing {

inline double below(double z) {
  return 0.5 * std::erfc(-z / std::sqrt(2.0));
}
inline double density(double z) {
  return std::exp(-0.5 * z * z) / std::sqrt(2.0 * std::acos(-1.0));
}

/// By bisection: the slow inverse.
inline double point_below(double share) {
  double low = -40.0, high = 40.0;
  for (int k = 0; k < 200; ++k) {
    const double middle = (low + high) / 2.0;
    (below(middle) < share ? low : high) = middle;
  }
  return (low + high) / 2.0;
}
inline double threshold_at(double incidence) {
  return -point_below(incidence);
}

/// E[f(z)], z standard normal: trapezoidal rule, steps of 0.05 to 9 sd.
inline double normal_mean(const std::function<double(double)>& f) {
  double sum = 0.0, weights = 0.0;
  for (int i = -180; i <= 180; ++i) {
    const double z = 0.05 * i;
    sum += density(z) * f(z);
    weights += density(z);
  }
  return sum / weights;
}

/// One family of unrelated parents: each 'U' not looked at, 'C' clear or 'A' affected; kids that
/// show it and kids that do not. Risk of the next kid, and of at least one among `litter`.
struct FamilyTwin {
  double incidence, heritability;
  char sire, dam;
  double sibs_affected, sibs_clear;

  double risk(double litter = 1.0) const {
    const double t = threshold_at(incidence), sd = std::sqrt(heritability);
    const auto parent = [&](char state, double a) {
      const double shows = below((a - t) / std::sqrt(1.0 - heritability));
      return state == 'U' ? 1.0 : state == 'A' ? shows : 1.0 - shows;
    };
    double top = 0.0, bottom = 0.0;
    const double rest = std::sqrt(1.0 - heritability / 2.0);
    for (int i = -90; i <= 90; ++i) {
      const double a_s = 0.1 * i * sd;
      const double by_sire = density(0.1 * i) * parent(sire, a_s);
      for (int j = -90; j <= 90; ++j) {
        const double a_d = 0.1 * j * sd;
        const double p = below(((a_s + a_d) / 2.0 - t) / rest);
        const double weight = by_sire * density(0.1 * j) * parent(dam, a_d) *
                              std::pow(p, sibs_affected) * std::pow(1.0 - p, sibs_clear);
        bottom += weight;
        top += weight * (1.0 - std::pow(1.0 - p, litter));
      }
    }
    return top / bottom;
  }
};

/// Additive relationships by the tabular rule (uncertain sires: the mean over the chances).
inline Eigen::MatrixXd tabular_relationships(const Pedigree& pedigree) {
  const auto n = static_cast<Eigen::Index>(pedigree.size());
  Eigen::MatrixXd a = Eigen::MatrixXd::Zero(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Animal animal{static_cast<std::uint32_t>(i)};
    Eigen::VectorXd row = Eigen::VectorXd::Zero(n);
    double between = 0.0;
    const auto dam = pedigree.dam(animal);
    if (dam) row += 0.5 * a.col(dam->position);
    for (const SireChance& chance : pedigree.possible_sires(animal)) {
      row += 0.5 * chance.probability * a.col(chance.sire.position);
      if (dam) between += 0.5 * chance.probability * a(chance.sire.position, dam->position);
    }
    a.col(i) = row;
    a.row(i) = row.transpose();
    a(i, i) = 1.0 + between;
  }
  return a;
}

/// What one look says of a liability: disjoint stretches with weights (0 elsewhere).
struct SeenStretch {
  double low, high, weight;
};
struct SeenLiability {
  Eigen::Index animal;
  std::vector<SeenStretch> stretches;
};

/// Data augmentation (Albert and Chib 1993; Sorensen and others 1995): liabilities of the animals
/// looked at given a, then all of a and mu at once given the liabilities. Fixed seed.
class GibbsTwin {
 public:
  /// `mu_var` 0: mu is 0.
  GibbsTwin(const Eigen::MatrixXd& relationships, double heritability, double mu_var,
            std::vector<SeenLiability> seen)
      : seen_(std::move(seen)), rest_(1.0 - heritability) {
    const Eigen::Index n = relationships.rows(), m = static_cast<Eigen::Index>(seen_.size());
    Eigen::MatrixXd prior = Eigen::MatrixXd::Zero(n + 1, n + 1);  // mu is the last
    prior.topLeftCorner(n, n) = heritability * relationships;
    prior(n, n) = mu_var;
    design_ = Eigen::MatrixXd::Zero(m, n + 1);
    for (Eigen::Index k = 0; k < m; ++k) {
      design_(k, seen_[static_cast<std::size_t>(k)].animal) = 1.0;
      design_(k, n) = 1.0;
    }
    const Eigen::MatrixXd whole =
        design_ * prior * design_.transpose() + rest_ * Eigen::MatrixXd::Identity(m, m);
    gain_ = prior * design_.transpose() * whole.inverse();
    const Eigen::MatrixXd left = prior - gain_ * design_ * prior;
    const Eigen::LDLT<Eigen::MatrixXd> root((left + left.transpose()) / 2.0);
    root_ = root.transpositionsP().transpose() *
            (Eigen::MatrixXd(root.matrixL()) *
             root.vectorD().cwiseMax(0.0).cwiseSqrt().asDiagonal().toDenseMatrix());
  }

  /// Mean of f over `draws` draws of (a, mu), after a twentieth of them thrown away.
  double mean(int draws, const std::function<double(const Eigen::VectorXd&)>& f) {
    std::mt19937_64 random(20260915);
    const Eigen::Index m = design_.rows();
    Eigen::VectorXd world = Eigen::VectorXd::Zero(root_.rows()), liability(m);
    double sum = 0.0;
    for (int draw = -draws / 20; draw < draws; ++draw) {
      const Eigen::VectorXd expected = design_ * world;
      for (Eigen::Index k = 0; k < m; ++k) {
        liability[k] = seen_draw(seen_[static_cast<std::size_t>(k)], expected[k], random);
      }
      Eigen::VectorXd noise(root_.cols());
      for (Eigen::Index i = 0; i < noise.size(); ++i) noise[i] = normal(uniform(random));
      world = gain_ * liability + root_ * noise;
      if (draw >= 0) sum += f(world);
    }
    return sum / draws;
  }

 private:
  static double uniform(std::mt19937_64& random) {
    return (static_cast<double>(random() >> 11) + 0.5) * 0x1.0p-53;
  }

  /// Bisection for every draw would be slow: a table of the inverse, refined by Newton.
  static double normal(double u) {
    static const std::vector<double> table = [] {
      std::vector<double> points;
      for (int k = 0; k <= 1024; ++k) {
        points.push_back(point_below(std::min(std::max(k / 1024.0, 1e-6), 1.0 - 1e-6)));
      }
      return points;
    }();
    if (u < 1e-3 || u > 1.0 - 1e-3) return point_below(u);
    const double at = 1024.0 * u;
    const auto k = static_cast<std::size_t>(at);
    double z = table[k] + (at - static_cast<double>(k)) * (table[k + 1] - table[k]);
    for (int step = 0; step < 3; ++step) z -= (below(z) - u) / density(z);
    return z;
  }

  double seen_draw(const SeenLiability& seen, double expected, std::mt19937_64& random) const {
    const double sd = std::sqrt(rest_);
    std::vector<double> chance;
    double total = 0.0;
    for (const SeenStretch& part : seen.stretches) {
      const double low = (part.low - expected) / sd, high = (part.high - expected) / sd;
      chance.push_back(part.weight *
                       (low > 0.0 ? below(-low) - below(-high) : below(high) - below(low)));
      total += chance.back();
    }
    double left = uniform(random) * total;
    std::size_t k = 0;
    while (k + 1 < chance.size() && left > chance[k]) left -= chance[k++];
    const SeenStretch& part = seen.stretches[k];
    const double low = (part.low - expected) / sd, high = (part.high - expected) / sd;
    const double u = uniform(random);
    if (low > 0.0) return expected - sd * normal(below(-high) + u * (below(-low) - below(-high)));
    return expected + sd * normal(below(low) + u * (below(high) - below(low)));
  }

  std::vector<SeenLiability> seen_;
  double rest_;
  Eigen::MatrixXd design_, gain_, root_;
};

}  // namespace doewright::testing
