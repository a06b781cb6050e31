// SPDX-License-Identifier: MIT
// Published examples of best linear unbiased prediction, to the printed digits. Sources stand in
// SOURCE.md of each case: Mrode, Linear Models for the Prediction of Animal Breeding Values; Lynch
// and Walsh (1998), Genetics and Analysis of Quantitative Traits.
#include <doctest/doctest.h>

#include <cmath>

#include "merit/published_model.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

void check_case(const std::string& name, std::size_t checks) {
  CAPTURE(name);
  PublishedModel p = published_model(merit_reference() / name);
  const MixedModelFit fit(std::move(p.model.front()));
  REQUIRE(fit.method() == MeritMethod::exact);
  std::size_t done = 0;
  for (const auto& row : read_csv(merit_reference() / name / "expected.csv")) {
    const std::string& query = row.at("query");
    const std::uint32_t unknown = p.unknown.at(row.at("effect"));
    const double variance = fit.error_variances()[unknown];
    double found = fit.solution()[unknown];
    if (query == "sep") found = std::sqrt(variance);
    // Printed are diagonals of the inverse when the equations are multiplied by VE (40), VA is 20.
    if (query == "c_diagonal") found = variance / 40.0;
    if (query == "reliability_noninbred_base") found = 1.0 - variance / 20.0;
    CAPTURE(query);
    CAPTURE(row.at("effect"));
    CHECK(std::abs(found - std::stod(row.at("expected"))) <= std::stod(row.at("tol")));
    ++done;
  }
  CHECK(done == checks);
}

}  // namespace

TEST_CASE("animal model: five calves and three ancestors (Mrode, example 3.1)") {
  check_case("bl-animal-model", 10);
}
TEST_CASE("animal model: exact fractions of five animals (Lynch and Walsh 1998)") {
  check_case("bl-five-animals-exact", 6);
}
TEST_CASE("reliability and standard error of prediction (Mrode, section 3.3.3)") {
  check_case("bl-reliability", 24);
}
TEST_CASE("repeated records with permanent environment (Mrode, example 4.1)") {
  check_case("bl-repeatability-model", 17);
}
TEST_CASE("direct and maternal effects with covariance (Mrode, example 7.1)") {
  check_case("bl-maternal-effects", 36);
}
TEST_CASE("sire model with related sires (Mrode, example 3.2)") {
  check_case("bl-sire-model", 5);
}
TEST_CASE("sire model: exact fractions of three sires (Lynch and Walsh 1998)") {
  check_case("bl-three-sires-exact", 5);
}

TEST_CASE("without records what is not known of breeding values is A VA (Henderson 1976)") {
  const auto folder = merit_reference() / "bl-relationship-matrix";
  const BuiltPedigree built = read_pedigree(folder);
  const std::vector<double> f = inbreeding(built.pedigree);
  Grid<double> va(1, 1, 2.5);
  const MixedModelFit fit(MixedModel(built.pedigree, f, va, 0, {}, {1.0}));
  std::vector<std::uint32_t> all(built.pedigree.size());
  for (std::uint32_t i = 0; i < all.size(); ++i) all[i] = fit.model().genetic(Animal{i});
  const Grid<double> covariance = fit.error_covariance(all);
  std::size_t done = 0;
  for (const auto& row : read_csv(folder / "expected.csv")) {
    const auto a = built.ids.find(row.at("row")), b = built.ids.find(row.at("col"));
    REQUIRE((a && b));
    const double expected = std::stod(row.at("expected")), tol = std::stod(row.at("tol"));
    const double relationship = covariance(a->position, b->position) / 2.5;
    if (row.at("query") == "F") {
      CHECK(std::abs(relationship - 1.0 - expected) <= tol);
    } else {
      CHECK(std::abs(relationship - expected) <= tol);
    }
    ++done;
  }
  CHECK(done == 23);
}
