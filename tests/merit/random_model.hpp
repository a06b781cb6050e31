// SPDX-License-Identifier: MIT
#pragma once
/// Random mixed models, once for the library and once as the dense twin.
#include <cmath>

#include <doewright/kinship/inbreeding.hpp>
#include <doewright/merit/mixed_model.hpp>

#include "kinship/twins.hpp"
#include "merit/dense_twin.hpp"

namespace doewright::testing {

struct RandomModel {
  Pedigree pedigree;
  std::vector<MixedModel> model;  ///< One.
  DenseModel dense;
  std::vector<std::vector<std::uint32_t>> fixed_of;  ///< Unknowns of the fixed part of each record.
  std::vector<std::uint32_t> random;                 ///< Unknown of each random effect of the twin.
};

struct RandomModelShape {
  RandomShape pedigree = {.animals = 40, .founders = 6, .blank = 15, .unsure = 20};
  std::size_t parts = 1;
  bool independent = false;  ///< Two blocks: an effect an animal, and one of six groups.
  bool maternal = false;     ///< The last part is that of the dam; unknown dams are phantoms.
};

inline double half_open(Dice& dice) {
  return (dice.below(1'000'000) + 0.5) / 1'000'000;
}

/// Covariance of the parts: B B' + 0.3 I with random B.
inline Eigen::MatrixXd random_covariance(Dice& dice, std::size_t parts) {
  const auto q = static_cast<Eigen::Index>(parts);
  Eigen::MatrixXd b(q, q);
  for (Eigen::Index i = 0; i < b.size(); ++i) b.data()[i] = 2 * half_open(dice) - 1;
  return b * b.transpose() + 0.3 * Eigen::MatrixXd::Identity(q, q);
}

/// Additive relationships of animals, stand-ins and phantom dams, by the tabular rule.
inline Eigen::MatrixXd relationships(const Pedigree& pedigree,
                                     const std::vector<Animal>& phantoms) {
  Graph graph(pedigree);
  for (const Animal kid : phantoms) {
    graph.parents[kid.position].push_back({graph.parents.size(), 0.5});
    graph.parents.emplace_back();
    graph.is_stand_in.push_back(false);
  }
  const Matrix k = graph.kinship();
  Eigen::MatrixXd a(k.size(), k.size());
  for (std::size_t i = 0; i < k.size(); ++i) {
    for (std::size_t j = 0; j < k.size(); ++j) {
      a(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) = 2 * k[i][j];
    }
  }
  return a;
}

inline RandomModel random_model(Dice& dice, const RandomModelShape& shape) {
  RandomModel result{random_pedigree(dice, shape.pedigree), {}, {}, {}, {}};
  const auto n = static_cast<std::uint32_t>(result.pedigree.size());
  std::vector<Animal> phantoms;
  std::vector<std::size_t> phantom_of(n, 0);
  for (std::uint32_t i = 0; i < n && shape.maternal; ++i) {
    if (result.pedigree.dam(Animal{i})) continue;
    phantom_of[i] = phantoms.size();
    phantoms.push_back(Animal{i});
  }
  const Eigen::MatrixXd g = random_covariance(dice, shape.parts);
  Grid<double> covariance(shape.parts, shape.parts);
  for (std::size_t i = 0; i < shape.parts; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      covariance(i, j) = covariance(j, i) =
          g(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
    }
  }
  const std::vector<double> residuals = {0.7 + half_open(dice), 1.5};
  std::vector<IndependentEffects> blocks;
  if (shape.independent) blocks = {{n, 0.4}, {6, 0.9}};
  // Fixed: five levels, three levels, a mean (which says nothing beside them), a covariate.
  MixedModel model(result.pedigree, inbreeding(result.pedigree), covariance, 10, blocks, residuals,
                   phantoms);
  struct Made {
    std::vector<DesignEntry> fixed, random;
    double value, variance;
  };
  std::vector<Made> records;
  for (std::uint32_t i = 0; i < n; ++i) {
    for (std::uint32_t times = dice.below(3); times > 0; --times) {
      Made made;
      made.fixed = {{model.fixed(dice.below(5)), 1.0},
                    {model.fixed(5 + dice.below(3)), 1.0},
                    {model.fixed(8), 1.0},
                    {model.fixed(9), 10 * half_open(dice)}};
      const std::size_t own =
          dice.below(static_cast<std::uint32_t>(shape.maternal ? shape.parts - 1 : shape.parts));
      made.random = {{model.genetic(Animal{i}, own), 1.0}};
      if (shape.maternal) {
        const auto dam = result.pedigree.dam(Animal{i});
        made.random.push_back({dam ? model.genetic(*dam, shape.parts - 1)
                                   : model.phantom(phantom_of[i], shape.parts - 1),
                               1.0});
      }
      if (shape.independent) {
        made.random.push_back({model.independent(0, i), 1.0});
        made.random.push_back({model.independent(1, dice.below(6)), 1.0});
      }
      made.value = 20 * half_open(dice) - 5;
      const std::size_t kind = dice.below(2);
      made.variance = residuals[kind];
      std::vector<DesignEntry> all = made.fixed;
      all.insert(all.end(), made.random.begin(), made.random.end());
      model.add(made.value, kind, all);
      records.push_back(std::move(made));
    }
  }
  // The twin numbers its random effects: nodes with their parts, then the blocks.
  const Eigen::MatrixXd a = relationships(result.pedigree, phantoms);
  const auto genetic = static_cast<std::uint32_t>(a.rows() * g.rows());
  for (std::uint32_t i = 0; i < genetic; ++i) result.random.push_back(i);
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    for (std::uint32_t k = 0; k < blocks[b].levels; ++k) {
      result.random.push_back(model.independent(b, k));
    }
  }
  const auto count = static_cast<Eigen::Index>(result.random.size());
  const auto rows = static_cast<Eigen::Index>(records.size());
  DenseModel& dense = result.dense;
  dense.prior = Eigen::MatrixXd::Zero(count, count);
  dense.prior.topLeftCorner(genetic, genetic) = kronecker(a, g);
  Eigen::Index at = genetic;
  for (const IndependentEffects& block : blocks) {
    for (std::uint32_t k = 0; k < block.levels; ++k, ++at) dense.prior(at, at) = block.variance;
  }
  dense.x = Eigen::MatrixXd::Zero(rows, 10);
  dense.z = Eigen::MatrixXd::Zero(rows, count);
  dense.y.resize(rows);
  dense.residual.resize(rows);
  for (Eigen::Index r = 0; r < rows; ++r) {
    const Made& made = records[static_cast<std::size_t>(r)];
    auto& fixed = result.fixed_of.emplace_back();
    for (const DesignEntry& each : made.fixed) {
      dense.x(r, each.unknown - model.fixed(0)) += each.coefficient;
      fixed.push_back(each.unknown);
    }
    for (const DesignEntry& each : made.random) {
      const auto place = std::find(result.random.begin(), result.random.end(), each.unknown);
      dense.z(r, place - result.random.begin()) += each.coefficient;
    }
    dense.y[r] = made.value;
    dense.residual[r] = made.variance;
  }
  result.model.push_back(std::move(model));
  return result;
}

}  // namespace doewright::testing
