// SPDX-License-Identifier: MIT
// Indexes of two traits: Mrode, Linear Models for the Prediction of Animal Breeding Values (3rd
// edition), examples 1.5, 1.6 and that of section 1.7.3, to the printed digits (SOURCE.md of
// si-textbook-indexes). Twice each: by selection_index(), and by the mixed model with known means,
// in which the residuals of the two traits are correlated. Both must also agree where no textbook
// looks.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <string>

#include <doewright/core/errors.hpp>
#include <doewright/merit/selection_index.hpp>

#include "merit/published_model.hpp"
#include "merit/random_model.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

double cell(const std::map<std::string, std::string>& row, const char* column) {
  const auto& text = row.at(column);
  return text.empty() ? 0.0 : std::stod(text);
}

/// Phenotypic and genetic covariances of the two traits of a row.
struct TwoTraits {
  Grid<double> phenotypic{2, 2}, genetic{2, 2};
  Grid<double> residual() const {
    Grid<double> rest(2, 2);
    for (std::size_t i = 0; i < 4; ++i) rest.cells[i] = phenotypic.cells[i] - genetic.cells[i];
    return rest;
  }
};

TwoTraits two_traits(const std::map<std::string, std::string>& row) {
  const double sd[] = {cell(row, "sd_1"), cell(row, "sd_2")};
  const double h[] = {std::sqrt(cell(row, "h2_1")), std::sqrt(cell(row, "h2_2"))};
  TwoTraits two;
  for (std::size_t i = 0; i < 2; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      const double p = i == j ? 1.0 : cell(row, "rp"), g = i == j ? 1.0 : cell(row, "rg");
      two.phenotypic(i, j) = two.phenotypic(j, i) = p * sd[i] * sd[j];
      two.genetic(i, j) = two.genetic(j, i) = g * h[i] * h[j] * sd[i] * sd[j];
    }
  }
  return two;
}

/// An animal alone, both traits recorded: what a unit of record `which` adds to v'a.
double weight_by_equations(const TwoTraits& two, std::span<const double> v, std::size_t which) {
  const Pedigree pedigree(std::vector<std::uint32_t>{Pedigree::none}, {Pedigree::none});
  const std::vector<double> f = {0.0};
  MixedModel model(pedigree, f, two.genetic, 0, {}, {1.0});
  const std::vector<std::vector<DesignEntry>> designs = {{{model.genetic(Animal{0}, 0), 1.0}},
                                                         {{model.genetic(Animal{0}, 1), 1.0}}};
  const double values[] = {which == 0 ? 1.0 : 0.0, which == 1 ? 1.0 : 0.0};
  model.add_together(values, two.residual(), designs);
  const MixedModelFit fit(std::move(model));
  return v[0] * fit.solution()[0] + v[1] * fit.solution()[1];
}

}  // namespace

TEST_CASE("Mrode's examples 1.5, 1.6 and of section 1.7.3: a trait by another, two with weights") {
  std::size_t done = 0;
  for (const auto& row : read_csv(merit_reference() / "si-textbook-indexes/expected.csv")) {
    const std::string& query = row.at("query");
    CAPTURE(query);
    double found = 0.0, by_equations = 0.0;
    const TwoTraits two = two_traits(row);
    if (query.rfind("corr_", 0) == 0) {  // growth is recorded, lean growth wanted
      Grid<double> records(1, 1, two.phenotypic(0, 0)), covariance(1, 1, two.genetic(0, 1)),
          wanted(1, 1, two.genetic(1, 1));
      const double one[] = {1.0};
      const SelectionIndex index = selection_index(records, covariance, wanted, one);
      found = query == "corr_b" ? index.weights[0] : index.accuracy;

      const Pedigree pedigree(std::vector<std::uint32_t>{Pedigree::none}, {Pedigree::none});
      const std::vector<double> f = {0.0};
      MixedModel model(pedigree, f, two.genetic, 0, {}, {two.residual()(0, 0)});
      model.add(1.0, 0, std::vector<DesignEntry>{{model.genetic(Animal{0}, 0), 1.0}});
      const MixedModelFit fit(std::move(model));
      by_equations = query == "corr_b" ? fit.solution()[1]
                                       : std::sqrt(1.0 - fit.error_variances()[1] / wanted(0, 0));
    } else if (query.rfind("two_", 0) == 0) {
      const double v[] = {cell(row, "w_1"), cell(row, "w_2")};
      const std::size_t which = query == "two_b1" ? 0 : 1;
      found = selection_index(two.phenotypic, two.genetic, two.genetic, v).weights[which];
      by_equations = weight_by_equations(two, v, which);
    } else {
      continue;  // test_index_theory.cpp
    }
    CHECK(std::abs(found - cell(row, "expected")) <= cell(row, "tol"));
    CHECK(std::abs(by_equations - cell(row, "expected")) <= cell(row, "tol"));
    CHECK(std::abs(by_equations - found) < 1e-9 * std::max(1.0, std::abs(found)));
    ++done;
  }
  CHECK(done == 8);
}

TEST_CASE("the index of one record is h2, its accuracy h, its response h2 times the deviation") {
  const Grid<double> p(1, 1, 25.0), g(1, 1, 10.0);
  const double two[] = {2.0};
  const SelectionIndex index = selection_index(p, g, g, two);
  CHECK(index.weights[0] == doctest::Approx(2.0 * 0.4));
  CHECK(index.accuracy == doctest::Approx(std::sqrt(0.4)));
  CHECK(index.merit_variance == doctest::Approx(40.0));
  CHECK(index.response[0] == doctest::Approx(0.4 * 5.0));
}

TEST_CASE("no other weights predict better: Hazel 1943") {
  Dice dice(3);
  const Eigen::MatrixXd g = random_covariance(dice, 3), e = random_covariance(dice, 3);
  Grid<double> genetic(3, 3), phenotypic(3, 3);
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = 0; j < 3; ++j) {
      const auto low = static_cast<Eigen::Index>(std::min(i, j));
      const auto high = static_cast<Eigen::Index>(std::max(i, j));
      genetic(i, j) = g(low, high);
      phenotypic(i, j) = g(low, high) + e(low, high);
    }
  }
  const double v[] = {1.0, -0.5, 2.0};
  const SelectionIndex index = selection_index(phenotypic, genetic, genetic, v);
  const auto accuracy_of = [&](const std::vector<double>& b) {
    double own = 0.0, across = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
      for (std::size_t j = 0; j < 3; ++j) {
        own += b[i] * b[j] * phenotypic(i, j);
        across += b[i] * genetic(i, j) * v[j];
      }
    }
    return across / std::sqrt(own * index.merit_variance);
  };
  CHECK(accuracy_of(index.weights) == doctest::Approx(index.accuracy).epsilon(1e-12));
  for (std::size_t k = 0; k < 3; ++k) {
    for (const double step : {-0.05, 0.05}) {
      std::vector<double> other = index.weights;
      other[k] += step;
      CHECK(accuracy_of(other) < index.accuracy);
    }
  }
}

TEST_CASE("records added together: the definition with a full residual covariance, 12 pedigrees") {
  for (std::uint64_t which = 0; which < 12; ++which) {
    CAPTURE(which);
    Dice dice(9100 + which);
    const Pedigree pedigree = random_pedigree(dice, {.animals = 30, .founders = 6});
    const Eigen::MatrixXd g = random_covariance(dice, 2), r = random_covariance(dice, 2);
    Grid<double> genetic(2, 2), residual(2, 2);
    genetic.cells = {g(0, 0), g(0, 1), g(0, 1), g(1, 1)};
    residual.cells = {r(0, 0), r(0, 1), r(0, 1), r(1, 1)};
    MixedModel model(pedigree, inbreeding(pedigree), genetic, 2, {}, {r(0, 0), r(1, 1)});
    std::vector<double> values;
    std::vector<std::pair<std::uint32_t, std::size_t>> of;  // animal, trait
    Eigen::MatrixXd rest = Eigen::MatrixXd::Zero(60, 60);
    for (std::uint32_t i = 0; i < 30; ++i) {
      const auto row_of = [&](std::size_t trait) {
        return std::vector<DesignEntry>{{model.fixed(static_cast<std::uint32_t>(trait)), 1.0},
                                        {model.genetic(Animal{i}, trait), 1.0}};
      };
      const auto at = static_cast<Eigen::Index>(values.size());
      if (dice.in_hundred(60)) {
        const double both[] = {10 * half_open(dice), 10 * half_open(dice)};
        const std::vector<std::vector<DesignEntry>> rows = {row_of(0), row_of(1)};
        model.add_together(both, residual, rows);
        rest.block(at, at, 2, 2) = r;
        rest(at + 1, at) = r(0, 1);
        values.insert(values.end(), {both[0], both[1]});
        of.insert(of.end(), {{i, 0}, {i, 1}});
      } else {
        const std::size_t trait = dice.below(2);
        values.push_back(10 * half_open(dice));
        model.add(values.back(), trait, row_of(trait));
        rest(at, at) = residual(trait, trait);
        of.emplace_back(i, trait);
      }
    }
    const auto count = static_cast<Eigen::Index>(values.size());
    const Eigen::MatrixXd prior = kronecker(relationships(pedigree, {}), g);
    Eigen::MatrixXd x = Eigen::MatrixXd::Zero(count, 2),
                    z = Eigen::MatrixXd::Zero(count, prior.rows());
    for (Eigen::Index k = 0; k < count; ++k) {
      const auto [animal, trait] = of[static_cast<std::size_t>(k)];
      x(k, static_cast<Eigen::Index>(trait)) = 1.0;
      z(k, static_cast<Eigen::Index>(2 * animal + trait)) = 1.0;
    }
    const Eigen::VectorXd y = Eigen::Map<const Eigen::VectorXd>(values.data(), count);
    const Eigen::MatrixXd covariance = prior * z.transpose();
    const Eigen::MatrixXd v_inverse = (z * covariance + rest.topLeftCorner(count, count)).inverse();
    const Eigen::VectorXd b =
        (x.transpose() * v_inverse * x).inverse() * (x.transpose() * (v_inverse * y));
    const Eigen::VectorXd a = covariance * (v_inverse * (y - x * b));
    const MixedModelFit fit(std::move(model));
    double worst = 0.0;
    for (Eigen::Index i = 0; i < a.size(); ++i) {
      worst = std::max(worst, std::abs(fit.solution()[static_cast<std::size_t>(i)] - a[i]));
    }
    CHECK(worst < 1e-9);
    CHECK(std::abs(fit.solution()[fit.model().fixed(1)] - b[1]) < 1e-9);
  }
}

TEST_CASE("tables that contradict each other are said") {
  const Grid<double> one(1, 1, 1.0), two(1, 1, 2.0), none(1, 1, 0.0);
  const double v[] = {1.0};
  CHECK_THROWS_AS(selection_index(one, two, two, v), UsageError);   // more genes than goat
  CHECK_THROWS_AS(selection_index(none, one, one, v), UsageError);  // no variance
  CHECK_THROWS_AS(selection_index(one, one, one, {}), UsageError);
  CHECK(selection_index(one, none, one, v).accuracy == 0.0);
  const Pedigree pedigree(std::vector<std::uint32_t>{Pedigree::none}, {Pedigree::none});
  const std::vector<double> f = {0.0};
  MixedModel model(pedigree, f, one, 0, {}, {1.0});
  const std::vector<std::vector<DesignEntry>> rows = {{{0, 1.0}}, {{0, 1.0}}};
  const double values[] = {1.0, 2.0};
  Grid<double> same(2, 2, 1.0);
  CHECK_THROWS_AS(model.add_together(values, same, rows), UsageError);
  CHECK_THROWS_AS(model.add_together({values, 1}, same, rows), UsageError);
}
