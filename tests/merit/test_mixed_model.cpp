// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>

#include "merit/random_model.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

RandomModelShape shape_of(int which) {
  RandomModelShape shape;
  shape.parts = which % 2 == 0 ? 1 : 2;
  shape.independent = which % 4 >= 2;
  shape.maternal = which % 8 == 5 || which % 8 == 7;
  if (which % 3 == 0) shape.pedigree.unsure = 0;
  return shape;
}

}  // namespace

TEST_CASE("solutions and error covariances are those of the definition, on 48 random models") {
  for (int which = 0; which < 48; ++which) {
    CAPTURE(which);
    Dice dice(static_cast<std::uint64_t>(1000 + which));
    RandomModel random = random_model(dice, shape_of(which));
    const DenseAnswer twin = by_definition(random.dense);
    const MixedModelFit fit(std::move(random.model.front()));
    REQUIRE(fit.method() == MeritMethod::exact);
    double worst = 0.0;
    for (std::size_t i = 0; i < random.random.size(); ++i) {
      const auto at = static_cast<Eigen::Index>(i);
      worst = std::max(worst, std::abs(fit.solution()[random.random[i]] - twin.random[at]));
      worst =
          std::max(worst, std::abs(fit.error_variances()[random.random[i]] - twin.error(at, at)));
    }
    CHECK(worst < 1e-8);
    double worst_fixed = 0.0;
    for (std::size_t r = 0; r < random.fixed_of.size(); ++r) {
      double fitted = 0.0;
      for (const std::uint32_t unknown : random.fixed_of[r]) {
        const auto column = static_cast<Eigen::Index>(unknown - fit.model().fixed(0));
        fitted += random.dense.x(static_cast<Eigen::Index>(r), column) * fit.solution()[unknown];
      }
      worst_fixed =
          std::max(worst_fixed, std::abs(fitted - twin.fitted_fixed[static_cast<Eigen::Index>(r)]));
    }
    CHECK(worst_fixed < 1e-8);

    const std::vector<std::uint32_t> some = {random.random[3], random.random[20], random.random[20],
                                             random.random[37]};
    const Grid<double> covariance = fit.error_covariance(some);
    const Eigen::Index places[] = {3, 20, 20, 37};
    for (std::size_t i = 0; i < 4; ++i) {
      for (std::size_t j = 0; j < 4; ++j) {
        CHECK(std::abs(covariance(i, j) - twin.error(places[i], places[j])) < 1e-8);
      }
    }
  }
}

TEST_CASE("the iterated solution is the exact one") {
  for (int which = 0; which < 24; ++which) {
    CAPTURE(which);
    Dice dice(static_cast<std::uint64_t>(2000 + which));
    RandomModelShape shape = shape_of(which);
    shape.pedigree.animals = 150;
    RandomModel random = random_model(dice, shape);
    Dice again(static_cast<std::uint64_t>(2000 + which));
    RandomModel same = random_model(again, shape);
    const MixedModelFit exact(std::move(random.model.front()));
    const MixedModelFit iterated(std::move(same.model.front()),
                                 {.exact_up_to = 0, .tolerance = 1e-13});
    REQUIRE(exact.method() == MeritMethod::exact);
    REQUIRE(iterated.method() == MeritMethod::iterated);
    CHECK(iterated.converged());
    CHECK(iterated.iterations() > 0);
    double worst = 0.0;
    for (std::size_t i = 0; i < exact.solution().size(); ++i) {
      worst = std::max(worst, std::abs(exact.solution()[i] - iterated.solution()[i]));
    }
    CHECK(worst < 1e-8);
    const std::vector<std::uint32_t> some = {random.random[5], random.random[90]};
    const Grid<double> a = exact.error_covariance(some), b = iterated.error_covariance(some);
    for (std::size_t i = 0; i < 4; ++i) CHECK(std::abs(a.cells[i] - b.cells[i]) < 1e-8);
    CHECK_THROWS_AS(static_cast<void>(iterated.error_variances()), UsageError);
  }
}

TEST_CASE("a factor that would be too full is not made: the equations are iterated") {
  Dice dice(5);
  RandomModel random = random_model(dice, {});
  const MixedModelFit fit(std::move(random.model.front()), {.exact_entries = 10});
  CHECK(fit.method() == MeritMethod::iterated);
  Dice again(5);
  RandomModel same = random_model(again, {});
  const MixedModelFit stopped(std::move(same.model.front()),
                              {.exact_entries = 10, .most_iterations = 2});
  CHECK(!stopped.converged());
  CHECK(stopped.iterations() == 2);
}

TEST_CASE("what is drawn from the prior has the error variances that the equations claim") {
  // 3000 samples; the bound is five standard errors of a variance estimate, sqrt(2 / 3000).
  Dice dice(8);
  RandomModelShape shape;
  shape.parts = 2;
  shape.independent = true;
  shape.maternal = true;
  RandomModel random = random_model(dice, shape);
  const MixedModelFit fit(std::move(random.model.front()));
  const std::size_t samples = 3000;
  std::vector<double> squares(random.random.size(), 0.0), predicted(random.random.size(), 0.0);
  for (std::size_t k = 0; k < samples; ++k) {
    const auto sample = fit.sample(4, k);
    for (std::size_t i = 0; i < squares.size(); ++i) {
      const std::uint32_t u = random.random[i];
      const double error = sample.true_values[u] - sample.predicted[u];
      squares[i] += error * error / samples;
      predicted[i] += sample.predicted[u] * sample.predicted[u] / samples;
    }
  }
  const double band = 5 * std::sqrt(2.0 / samples);
  for (std::size_t i = 0; i < squares.size(); ++i) {
    const auto at = static_cast<Eigen::Index>(i);
    const double error = fit.error_variances()[random.random[i]];
    CHECK(std::abs(squares[i] / error - 1.0) < band);
    // The prediction and its error are uncorrelated: their variances add up to the prior's.
    const double explained = random.dense.prior(at, at) - error;
    if (explained > 1e-6) CHECK(std::abs(predicted[i] / explained - 1.0) < band);
  }
}

TEST_CASE("a caller's mistakes are said") {
  const Pedigree pedigree({Pedigree::none, 0}, {Pedigree::none, Pedigree::none});
  const std::vector<double> f = {0.0, 0.0};
  const Grid<double> one(1, 1, 1.0);
  Grid<double> bent(2, 2, 1.0);
  CHECK_THROWS_AS(MixedModel(pedigree, f, bent, 0, {}, {1.0}), UsageError);
  CHECK_THROWS_AS(MixedModel(pedigree, f, Grid<double>(1, 1, 0.0), 0, {}, {1.0}), UsageError);
  CHECK_THROWS_AS(MixedModel(pedigree, f, one, 0, {}, {0.0}), UsageError);
  CHECK_THROWS_AS(MixedModel(pedigree, f, one, 0, {{3, -1.0}}, {1.0}), UsageError);
  CHECK_THROWS_AS(MixedModel(pedigree, {f.data(), 1}, one, 0, {}, {1.0}), UsageError);
  MixedModel model(pedigree, f, one, 1, {}, {1.0});
  CHECK_THROWS_AS(static_cast<void>(model.genetic(Animal{2})), UsageError);
  CHECK_THROWS_AS(static_cast<void>(model.fixed(1)), UsageError);
  const std::vector<DesignEntry> beyond = {{99, 1.0}};
  CHECK_THROWS_AS(model.add(1.0, 0, beyond), UsageError);
  CHECK(model.records() == 0);
  const MixedModelFit empty(MixedModel(Pedigree(), {}, one, 0, {}, {1.0}));
  CHECK(empty.solution().empty());
}
