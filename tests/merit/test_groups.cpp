// SPDX-License-Identifier: MIT
// Groups of unknown parents. The slow twin is the model itself, u = Q g + a with Q and A written
// out and generalised least squares for g (Quaas 1988, J. Dairy Sci. 71:1338: the equations with
// groups are those equations, transformed). One random group without records is a metafounder:
// Legarra, Christensen, Vitezica, Aguilar and Misztal (2015), Genetics 200:455.
#include <doctest/doctest.h>

#include <cmath>
#include <map>

#include <doewright/core/errors.hpp>

#include "kinship/reference_case.hpp"
#include "merit/random_model.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

constexpr std::uint32_t group_count = 3;

UnknownParentGroups random_groups(Dice& dice, const Pedigree& pedigree) {
  UnknownParentGroups groups;
  groups.groups = group_count;
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
    for (auto* of : {&groups.of_sire, &groups.of_dam}) {
      of->push_back(dice.in_hundred(85) ? dice.below(group_count) : UnknownParentGroups::none);
    }
  }
  return groups;
}

/// Q by its definition: what is not from a known parent is from the group; phantom dams last.
Eigen::MatrixXd shares(const Pedigree& pedigree, const UnknownParentGroups& groups,
                       const std::vector<Animal>& phantoms) {
  const Graph graph(pedigree);
  const auto nodes = static_cast<Eigen::Index>(graph.parents.size());
  Eigen::MatrixXd q =
      Eigen::MatrixXd::Zero(nodes + static_cast<Eigen::Index>(phantoms.size()), group_count);
  const auto give = [&](std::size_t node, std::uint32_t group, double part) {
    if (group != UnknownParentGroups::none) q(static_cast<Eigen::Index>(node), group) += part;
  };
  for (std::size_t k = 0; k < phantoms.size(); ++k) {
    give(graph.parents.size() + k, groups.of_dam[phantoms[k].position], 1.0);
  }
  for (const std::size_t node : graph.order()) {
    const auto at = static_cast<Eigen::Index>(node);
    double known = 0.0;
    for (const auto& part : graph.parents[node]) {
      q.row(at) += part.part * q.row(static_cast<Eigen::Index>(part.parent));
      known += part.part;
    }
    if (graph.is_stand_in[node]) {
      for (std::size_t kid = 0; kid < graph.animals; ++kid) {
        if (graph.parents[kid].empty() || graph.parents[kid].front().parent != node) continue;
        give(node, groups.of_sire[kid], 1.0 - known);
        break;
      }
      continue;
    }
    if (pedigree.sire_slots()[node] == Pedigree::none) give(node, groups.of_sire[node], 0.5);
    if (pedigree.dam_slots()[node] == Pedigree::none) give(node, groups.of_dam[node], 0.5);
  }
  return q;
}

/// Two parts, the second that of the dam; three levels and a covariate fixed.
struct GroupModel {
  Pedigree pedigree;
  UnknownParentGroups groups;
  std::vector<MixedModel> model;  ///< One.
  Eigen::MatrixXd q;              ///< By genetic unknown and group part.
  DenseModel dense;               ///< Of a alone; x: the fixed columns.
};

GroupModel group_model(Dice& dice, std::optional<double> ratio) {
  GroupModel made{random_pedigree(dice, {.animals = 40, .founders = 6, .blank = 25, .unsure = 20}),
                  {},
                  {},
                  {},
                  {}};
  const auto n = static_cast<std::uint32_t>(made.pedigree.size());
  made.groups = random_groups(dice, made.pedigree);
  made.groups.variance_ratio = ratio;
  std::vector<Animal> phantoms;
  std::map<std::uint32_t, std::size_t> phantom_of;
  for (std::uint32_t i = 0; i < n; ++i) {
    if (made.pedigree.dam(Animal{i})) continue;
    phantom_of[i] = phantoms.size();
    phantoms.push_back(Animal{i});
  }
  const Eigen::MatrixXd g = random_covariance(dice, 2);
  Grid<double> covariance(2, 2);
  covariance.cells = {g(0, 0), g(0, 1), g(0, 1), g(1, 1)};
  MixedModel model(made.pedigree, inbreeding(made.pedigree), covariance, 4, {}, {1.3}, phantoms,
                   made.groups);
  made.dense.prior = kronecker(relationships(made.pedigree, phantoms), g);
  made.q = kronecker(shares(made.pedigree, made.groups, phantoms), Eigen::MatrixXd::Identity(2, 2));
  std::vector<std::vector<DesignEntry>> rows;
  std::vector<double> values;
  for (std::uint32_t i = 0; i < n; ++i) {
    for (std::uint32_t times = dice.below(3); times > 0; --times) {
      const auto dam = made.pedigree.dam(Animal{i});
      rows.push_back({{model.fixed(dice.below(3)), 1.0},
                      {model.fixed(3), 10 * half_open(dice)},
                      {model.genetic(Animal{i}), 1.0},
                      {dam ? model.genetic(*dam, 1) : model.phantom(phantom_of.at(i), 1), 1.0}});
      values.push_back(20 * half_open(dice) - 5);
      model.add(values.back(), 0, rows.back());
    }
  }
  const auto count = static_cast<Eigen::Index>(rows.size());
  DenseModel& dense = made.dense;
  dense.x = Eigen::MatrixXd::Zero(count, 4);
  dense.z = Eigen::MatrixXd::Zero(count, dense.prior.rows());
  dense.y.resize(count);
  dense.residual = Eigen::VectorXd::Constant(count, 1.3);
  for (Eigen::Index r = 0; r < count; ++r) {
    dense.y[r] = values[static_cast<std::size_t>(r)];
    for (const DesignEntry& entry : rows[static_cast<std::size_t>(r)]) {
      if (entry.unknown >= model.fixed(0)) {
        dense.x(r, entry.unknown - model.fixed(0)) += entry.coefficient;
      } else {
        dense.z(r, entry.unknown) += entry.coefficient;
      }
    }
  }
  made.model.push_back(std::move(model));
  return made;
}

/// u and its error covariance with fixed groups, of which the fit kept some columns.
struct WithGroups {
  Eigen::VectorXd u;
  Eigen::MatrixXd error;
};
WithGroups by_least_squares(const GroupModel& made, const MixedModelFit& fit) {
  const DenseModel& dense = made.dense;
  Eigen::MatrixXd x(dense.x.rows(), 0), of_u(made.q.rows(), 0);
  const auto keep = [&](const Eigen::VectorXd& of_record, const Eigen::VectorXd& of_animal) {
    x.conservativeResize(Eigen::NoChange, x.cols() + 1);
    of_u.conservativeResize(Eigen::NoChange, of_u.cols() + 1);
    x.rightCols(1) = of_record;
    of_u.rightCols(1) = of_animal;
  };
  for (std::uint32_t c = 0; c < 4; ++c) {
    if (!fit.set_to_zero(c)) keep(dense.x.col(c), Eigen::VectorXd::Zero(made.q.rows()));
  }
  for (std::uint32_t k = 0; k < group_count; ++k) {
    for (std::uint32_t part = 0; part < 2; ++part) {
      const Eigen::VectorXd column = made.q.col(2 * k + part);
      if (!fit.group_set_to_zero(k, part)) keep(dense.z * column, column);
    }
  }
  const Eigen::MatrixXd covariance = dense.prior * dense.z.transpose();
  Eigen::MatrixXd v = dense.z * covariance;
  v.diagonal() += dense.residual;
  const Eigen::MatrixXd v_inverse = v.inverse();
  const Eigen::MatrixXd information = x.transpose() * v_inverse * x;
  REQUIRE(Eigen::FullPivLU<Eigen::MatrixXd>(information).isInvertible());
  const Eigen::MatrixXd spread = information.inverse();
  const Eigen::VectorXd b = spread * x.transpose() * v_inverse * dense.y;
  const Eigen::MatrixXd rest = of_u - covariance * v_inverse * x;
  return {of_u * b + covariance * v_inverse * (dense.y - x * b),
          dense.prior - covariance * v_inverse * covariance.transpose() +
              rest * spread * rest.transpose()};
}

}  // namespace

TEST_CASE("fixed groups: values and their errors are those of u = Q g + a, on 30 random models") {
  std::size_t zero = 0, kept = 0;
  for (std::uint64_t which = 0; which < 30; ++which) {
    CAPTURE(which);
    Dice dice(7000 + which);
    GroupModel made = group_model(dice, std::nullopt);
    const MixedModelFit fit(std::move(made.model.front()));
    const WithGroups twin = by_least_squares(made, fit);
    double worst = 0.0, worst_error = 0.0;
    for (Eigen::Index i = 0; i < twin.u.size(); ++i) {
      const auto at = static_cast<std::size_t>(i);
      worst = std::max(worst, std::abs(fit.solution()[at] - twin.u[i]));
      // Relative: groups that the records hardly tell apart have large errors.
      worst_error = std::max(worst_error, std::abs(fit.error_variances()[at] - twin.error(i, i)) /
                                              std::max(1.0, twin.error(i, i)));
    }
    CHECK(worst < 1e-7);
    CHECK(worst_error < 1e-7);
    for (std::uint32_t k = 0; k < group_count; ++k) {
      if (fit.group_set_to_zero(k)) CHECK(fit.solution()[fit.model().group(k)] == 0.0);
      ++(fit.group_set_to_zero(k) ? zero : kept);
    }
  }
  CHECK(kept > 60);
}

TEST_CASE("fixed groups: the iterated solution is the exact one") {
  for (std::uint64_t which = 0; which < 6; ++which) {
    Dice dice(7100 + which), again(7100 + which);
    const MixedModelFit exact(std::move(group_model(dice, std::nullopt).model.front()));
    const MixedModelFit iterated(std::move(group_model(again, std::nullopt).model.front()),
                                 {.exact_up_to = 0});
    REQUIRE(iterated.method() == MeritMethod::iterated);
    CHECK(iterated.converged());
    for (std::size_t i = 0; i < exact.solution().size(); ++i) {
      CHECK(std::abs(exact.solution()[i] - iterated.solution()[i]) < 1e-6);
    }
  }
}

TEST_CASE("random groups: values and errors are those with the prior G x (A + k Q Q')") {
  for (std::uint64_t which = 0; which < 20; ++which) {
    CAPTURE(which);
    Dice dice(7200 + which);
    const double ratio = 0.2 + 0.1 * static_cast<double>(which);
    GroupModel made = group_model(dice, ratio);
    const MixedModelFit fit(std::move(made.model.front()));
    const Eigen::MatrixXd g = made.dense.prior.topLeftCorner(2, 2);  // of the first animal, F = 0
    made.dense.prior += ratio * made.q *
                        kronecker(Eigen::MatrixXd::Identity(group_count, group_count), g) *
                        made.q.transpose();
    const DenseAnswer twin = by_definition(made.dense);
    double worst = 0.0;
    for (Eigen::Index i = 0; i < twin.random.size(); ++i) {
      const auto at = static_cast<std::size_t>(i);
      worst = std::max(worst, std::abs(fit.solution()[at] - twin.random[i]));
      worst = std::max(worst, std::abs(fit.error_variances()[at] - twin.error(i, i)));
    }
    CHECK(worst < 1e-8);
  }
}

TEST_CASE("one random group without records: relationships under a metafounder, exact fractions") {
  // Legarra and others: A(gamma) = (1 - gamma/2) A + gamma J, a group of variance
  // gamma / (1 - gamma/2) of a genetic variance that is smaller by 1 - gamma/2.
  const auto folder =
      std::filesystem::path(DOEWRIGHT_SOURCE_DIR) / "tests/reference/pedigree/derived-metafounder";
  const BuiltPedigree built = read_pedigree(folder);
  const std::vector<double> f = inbreeding(built.pedigree);
  std::map<std::string, Grid<double>> covariance;
  for (const auto& [name, gamma] :
       {std::pair("Agamma[1/4]", 0.25), std::pair("Agamma[1/2]", 0.5)}) {
    UnknownParentGroups groups;
    groups.groups = 1;
    groups.of_sire.assign(built.pedigree.size(), 0);
    groups.of_dam.assign(built.pedigree.size(), 0);
    groups.variance_ratio = gamma / (1.0 - gamma / 2.0);
    const Grid<double> va(1, 1, 1.0 - gamma / 2.0);
    const MixedModelFit fit(MixedModel(built.pedigree, f, va, 0, {}, {1.0}, {}, groups));
    std::vector<std::uint32_t> all(built.pedigree.size());
    for (std::uint32_t i = 0; i < all.size(); ++i) all[i] = fit.model().genetic(Animal{i});
    covariance[name] = fit.error_covariance(all);
  }
  std::size_t done = 0;
  for (const auto& row : read_csv(folder / "expected.csv")) {
    const auto a = built.ids.find(row.at("animal_a")), b = built.ids.find(row.at("animal_b"));
    REQUIRE((a && b));
    const Grid<double>& found = covariance.at(row.at("quantity"));
    CHECK(std::abs(found(a->position, b->position) - std::stod(row.at("value_decimal"))) < 1e-12);
    ++done;
  }
  CHECK(done == 42);
}

TEST_CASE("groups: broken promises are said") {
  const Pedigree pedigree(std::vector<std::uint32_t>{Pedigree::none}, {Pedigree::none});
  const std::vector<double> f = {0.0};
  const Grid<double> va(1, 1, 1.0);
  const auto model = [&](const UnknownParentGroups& groups) {
    return MixedModel(pedigree, f, va, 0, {}, {1.0}, {}, groups);
  };
  CHECK_THROWS_AS(model({.groups = 1, .of_sire = {}, .of_dam = {}, .variance_ratio = {}}),
                  UsageError);
  CHECK_THROWS_AS(model({.groups = 1, .of_sire = {1}, .of_dam = {0}, .variance_ratio = {}}),
                  UsageError);
  CHECK_THROWS_AS(model({.groups = 1, .of_sire = {0}, .of_dam = {0}, .variance_ratio = 0.0}),
                  UsageError);
  MixedModel good = model({.groups = 1, .of_sire = {0}, .of_dam = {0}, .variance_ratio = {}});
  CHECK_THROWS_AS(good.add(1.0, 0, std::vector<DesignEntry>{{good.group(0), 1.0}}), UsageError);
  CHECK_THROWS_AS(good.group(1), UsageError);
}
