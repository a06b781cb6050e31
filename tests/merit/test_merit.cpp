// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <cmath>

#include <doewright/core/errors.hpp>

#include "herd/tiny_herd.hpp"
#include "merit/published_model.hpp"
#include "merit/random_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

/// The published pedigree as a herd with one trait, `y`.
Herd published_herd(const BuiltPedigree& built, double va, double vpe, double ve) {
  Herd herd;
  herd.pedigree = built.pedigree;
  herd.ids = built.ids;
  plain_facts(herd);
  Trait trait;
  trait.key = "y";
  trait.phenotypic_sd = std::sqrt(va + vpe + ve);
  trait.heritability = va / (va + vpe + ve);
  if (vpe > 0.0) trait.repeatability = (va + vpe) / (va + vpe + ve);
  herd.traits = {trait};
  return herd;
}

double estimate(const MeritFit& fit, std::string_view effect, std::string_view level) {
  for (const FixedEstimate& each : fit.effects()) {
    if (each.effect == effect && each.level == level) return each.estimate;
  }
  FAIL("no such level: " << effect << " " << level);
  return 0.0;
}

}  // namespace

TEST_CASE("Mrode's examples 3.1 and 3.3.3 through a herd: sex as fixed effect") {
  const auto folder = merit_reference() / "bl-reliability";
  const BuiltPedigree built = read_pedigree(folder);
  Herd herd = published_herd(built, 20, 0, 40);
  herd.traits[0].fixed = {"sex"};
  for (const auto& row : read_csv(folder / "records.csv")) {
    const Animal animal = built.ids.find(row.at("animal")).value();
    herd.animals.sex[animal.position] = row.at("sex") == "M" ? Sex::buck : Sex::doe;
    herd.records.push_back(record_of(animal, 0, std::stod(row.at("y"))));
  }
  const MeritFit fit(herd, {0}, Kinship(herd.pedigree));
  const double mean = estimate(fit, "mean", "");
  CHECK(std::abs(mean + estimate(fit, "sex", "buck") - 4.358) < 0.0006);
  CHECK(std::abs(mean + estimate(fit, "sex", "doe") - 3.404) < 0.0006);
  for (const auto& row : read_csv(merit_reference() / "bl-animal-model" / "expected.csv")) {
    const std::string& effect = row.at("effect");
    if (effect.rfind("animal:", 0) != 0) continue;
    const auto value = fit.of(built.ids.find(effect.substr(7)).value(), 0);
    CHECK(std::abs(value.breeding_value - std::stod(row.at("expected"))) < 0.0006);
  }
  for (const auto& row : read_csv(folder / "expected.csv")) {
    if (row.at("query") != "reliability_noninbred_base") continue;
    const auto value = fit.of(built.ids.find(row.at("effect").substr(7)).value(), 0);
    CHECK(std::abs(value.reliability - std::stod(row.at("expected"))) < 0.0011);
    CHECK(value.reliability_se == 0.0);
  }
}

TEST_CASE("Mrode's example 4.1 through a herd: groups, parities and repeated records") {
  const auto folder = merit_reference() / "bl-repeatability-model";
  const BuiltPedigree built = read_pedigree(folder);
  Herd herd = published_herd(built, 20, 12, 28);
  herd.traits[0].fixed = {"group", "parity"};
  for (const auto& row : read_csv(folder / "records.csv")) {
    Record record = record_of(built.ids.find(row.at("animal")).value(), 0, std::stod(row.at("y")));
    record.group = row.at("hys");
    record.parity = std::stoi(row.at("parity"));
    herd.records.push_back(record);
  }
  const MeritFit fit(herd, {0}, Kinship(herd.pedigree));
  CHECK(fit.variances()[0].va == doctest::Approx(20));
  CHECK(fit.variances()[0].vpe == doctest::Approx(12));
  CHECK(fit.variances()[0].ve == doctest::Approx(28));
  for (const auto& row : read_csv(folder / "expected.csv")) {
    const std::string& effect = row.at("effect");
    if (effect.rfind("animal:", 0) != 0) continue;
    const auto value = fit.of(built.ids.find(effect.substr(7)).value(), 0);
    CHECK(std::abs(value.breeding_value - std::stod(row.at("expected"))) < 0.0006);
  }
  // What can be estimated whatever is set to zero: the level of each group (parity goes with it).
  const double mean = estimate(fit, "mean", "");
  const auto level = [&](const char* group, const char* parity) {
    return mean + estimate(fit, "group", group) + estimate(fit, "parity", parity);
  };
  CHECK(std::abs(level("1", "1") - 175.472) < 0.0006);
  CHECK(std::abs(level("2", "1") - (175.472 + 44.065)) < 0.0012);
  CHECK(std::abs(level("3", "2") - 241.893) < 0.0006);
  CHECK(std::abs(level("4", "2") - (241.893 + 0.013)) < 0.0012);
}

TEST_CASE("Lynch and Walsh's five animals through a herd: the mean alone") {
  const auto folder = merit_reference() / "bl-five-animals-exact";
  const BuiltPedigree built = read_pedigree(folder);
  Herd herd = published_herd(built, 1, 0, 1);
  for (const auto& row : read_csv(folder / "records.csv")) {
    herd.records.push_back(
        record_of(built.ids.find(row.at("animal")).value(), 0, std::stod(row.at("y"))));
  }
  const MeritFit fit(herd, {0}, Kinship(herd.pedigree));
  CHECK(estimate(fit, "mean", "") == doctest::Approx(440.0 / 53).epsilon(1e-12));
  const double expected[] = {-662. / 689, 4. / 53, 610. / 689, -732. / 689, 381. / 689};
  for (int i = 0; i < 5; ++i) {
    const auto value = fit.of(built.ids.find(std::to_string(i + 1)).value(), 0);
    CHECK(value.breeding_value == doctest::Approx(expected[i]).epsilon(1e-12));
  }
}

TEST_CASE("two correlated traits of random herds are those of the definition") {
  for (std::uint64_t which = 0; which < 16; ++which) {
    CAPTURE(which);
    Dice dice(300 + which);
    const Herd herd = random_herd(dice, 60, which % 2 == 0 ? 0 : 20);
    const HerdTwin twin = twin_of(herd);
    const Kinship kinship(herd.pedigree);
    const MeritFit fit(herd, {0, 1}, kinship);
    double worst = 0.0;
    const auto compare = [&](const MeritFit::Value& value, Eigen::Index at, double prior) {
      worst = std::max(worst, std::abs(value.breeding_value - twin.values[at]));
      worst = std::max(worst, std::abs(value.reliability - (1.0 - twin.error(at, at) / prior)));
    };
    std::vector<Animal> some;
    for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
      const double whole = 1.0 + kinship.inbreeding()[i];
      const auto at = static_cast<Eigen::Index>(i) * 3;
      compare(fit.of(Animal{i}, 0), at, whole * fit.variances()[0].va);
      compare(*fit.maternal(Animal{i}, 0), at + 1, whole * fit.variances()[0].vm);
      compare(fit.of(Animal{i}, 1), at + 2, whole * fit.variances()[1].va);
      if (i % 7 == 3) some.push_back(Animal{i});
    }
    CHECK(worst < 1e-8);
    CHECK(!fit.maternal(Animal{0}, 1));
    const Grid<double> covariance = fit.error_covariance(some);
    double apart = 0.0;
    for (std::size_t a = 0; a < some.size() * 2; ++a) {
      for (std::size_t b = 0; b < some.size() * 2; ++b) {
        const auto node = [&](std::size_t k) {
          return static_cast<Eigen::Index>(some[k / 2].position * 3 + (k % 2 == 0 ? 0 : 2));
        };
        apart = std::max(apart, std::abs(covariance(a, b) - twin.error(node(a), node(b))));
      }
    }
    CHECK(apart < 1e-8);

    // Effects by name give the fitted fixed part of every record.
    double worst_fixed = 0.0;
    for (std::size_t r = 0; r < herd.records.size(); ++r) {
      const Record& record = herd.records[r];
      if (record.trait != 1) continue;
      double fitted = 0.0;
      for (const FixedEstimate& each : fit.effects()) {
        if (each.trait != 1) continue;
        const bool applies =
            each.effect == "mean" ||
            (each.effect == "year" && each.level == std::to_string(record.date.year())) ||
            (each.effect == "parity" && each.level == std::to_string(*record.parity));
        if (applies) fitted += each.estimate;
      }
      worst_fixed = std::max(worst_fixed, std::abs(fitted - twin.fitted_fixed[r]));
    }
    CHECK(worst_fixed < 1e-7);
  }
}

TEST_CASE("the age covariate and its blank level add up to the fitted part of a record") {
  Dice dice(77);
  Herd herd = random_herd(dice, 60, 0);
  const HerdTwin twin = twin_of(herd);
  const MeritFit fit(herd, {0, 1}, Kinship(herd.pedigree));
  const auto sum_of = [&](std::size_t r) {
    const Record& record = herd.records[r];
    const std::uint32_t i = record.animal.position;
    double sum = 0.0;
    for (const FixedEstimate& each : fit.effects()) {
      if (each.trait != 0) continue;
      if (each.effect == "mean") sum += each.estimate;
      if (each.effect == "sex" && each.level == word(herd.animals.sex[i])) sum += each.estimate;
      if (each.effect == "age_days" && record.date.known()) {
        sum += each.estimate * (record.date.earliest() - herd.animals.born[i].earliest());
      }
      if (each.effect == "age_days not recorded" && !record.date.known()) sum += each.estimate;
      if (each.effect == "group" && each.level == "late" && record.group == "late") {
        sum += each.estimate;
      }
    }
    return sum;
  };
  // Of two records in the group "late" and the same birth type what differs is sex and age alone.
  const auto type_of = [&](const Record& record) {
    const std::uint32_t i = record.animal.position, dam = herd.pedigree.dam_slots()[i];
    if (dam == Pedigree::none) return 0;
    int mates = 0;
    for (std::uint32_t k = 0; k < herd.pedigree.size(); ++k) {
      mates += herd.pedigree.dam_slots()[k] == dam &&
                       herd.animals.born[k].year() == herd.animals.born[i].year()
                   ? 1
                   : 0;
    }
    return mates;
  };
  std::size_t pairs = 0;
  for (std::size_t a = 0; a < herd.records.size(); ++a) {
    for (std::size_t b = 0; b < a; ++b) {
      const Record &x = herd.records[a], &y = herd.records[b];
      if (x.trait != 0 || y.trait != 0 || x.group != "late" || y.group != "late") continue;
      if (type_of(x) != type_of(y)) continue;
      const double twins = twin.fitted_fixed[a] - twin.fitted_fixed[b];
      CHECK(std::abs(sum_of(a) - sum_of(b) - twins) < 1e-7);
      ++pairs;
    }
  }
  CHECK(pairs > 5);
}

TEST_CASE("draws have the mean and covariance of the posterior, for any number of threads") {
  Dice dice(12);
  const Herd herd = random_herd(dice, 50, 20);
  const MeritFit fit(herd, {0, 1}, Kinship(herd.pedigree));
  const std::vector<Animal> some = {Animal{3}, Animal{41}, Animal{3}, Animal{20}};
  const std::size_t draws = 20'000, n = 8;
  const Grid<double> drawn = fit.draw(some, draws, 9);
  REQUIRE(drawn.rows == draws);
  REQUIRE(drawn.columns == n);
  Run many;
  many.threads = 3;
  CHECK(fit.draw(some, draws, 9, many).cells == drawn.cells);
  CHECK(fit.draw(some, draws, 10).cells != drawn.cells);
  const Grid<double> fewer = fit.draw(some, 7, 9);
  CHECK(std::equal(fewer.cells.begin(), fewer.cells.end(), drawn.cells.begin()));

  const Grid<double> covariance = fit.error_covariance(some);
  std::vector<double> mean(n, 0.0);
  for (std::size_t k = 0; k < draws; ++k) {
    for (std::size_t i = 0; i < n; ++i) mean[i] += drawn(k, i) / draws;
  }
  for (std::size_t i = 0; i < n; ++i) {  // bounds are five standard errors
    const double expected = fit.of(some[i / 2], static_cast<TraitIndex>(i % 2)).breeding_value;
    CHECK(std::abs(mean[i] - expected) < 5 * std::sqrt(covariance(i, i) / draws));
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = 0.0;
      for (std::size_t k = 0; k < draws; ++k) {
        sum += (drawn(k, i) - mean[i]) * (drawn(k, j) - mean[j]) / draws;
      }
      const double spread =
          covariance(i, i) * covariance(j, j) + covariance(i, j) * covariance(i, j);
      CHECK(std::abs(sum - covariance(i, j)) < 5 * std::sqrt(spread / draws));
    }
    // The same animal twice is one draw (to rounding: the table is singular).
    if (i >= 4 && i < 6) {
      for (std::size_t k = 0; k < 50; ++k) CHECK(std::abs(drawn(k, i) - drawn(k, i - 4)) < 1e-5);
    }
  }
}

TEST_CASE("iterated: the same values; reliabilities within five of their standard errors") {
  Dice dice(21);
  const Herd herd = random_herd(dice, 120, 15);
  const Kinship kinship(herd.pedigree);
  const MeritFit exact(herd, {0, 1}, kinship);
  const MeritFit iterated(herd, {0, 1}, kinship,
                          {.exact_up_to = 10, .reliability_samples = 400, .tolerance = 1e-13});
  CHECK(exact.method() == MeritMethod::exact);
  REQUIRE(iterated.method() == MeritMethod::iterated);
  double squares = 0.0, count = 0.0;
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    for (const TraitIndex trait : {TraitIndex{0}, TraitIndex{1}}) {
      const auto a = exact.of(Animal{i}, trait), b = iterated.of(Animal{i}, trait);
      CHECK(std::abs(a.breeding_value - b.breeding_value) < 1e-8);
      CHECK(a.linked == b.linked);
      CHECK(b.reliability_se > 0.0);
      const double apart = (a.reliability - b.reliability) / b.reliability_se;
      CHECK(std::abs(apart) < 5.0);
      squares += apart * apart;
      count += 1.0;
    }
  }
  CHECK(squares / count < 1.5);  // the standard errors are honest: 1 is expected
  CHECK(squares / count > 0.6);
}
