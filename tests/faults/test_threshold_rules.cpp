// SPDX-License-Identifier: MIT
/// What must hold whatever the numbers are: nothing known, nobody looked, order of rows, sexes,
/// told counts, intervals, draws, one record left out.
#include <algorithm>
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/core/normal.hpp>
#include <faults/threshold_normal.hpp>
#include <faults/threshold_risk.hpp>

#include "threshold_herds.hpp"
#include "threshold_twins.hpp"

namespace doewright::testing {

namespace {

void looks_of_a_family(Herd& herd) {
  look(herd, "s", 0);
  look(herd, "k1", 1);
  look(herd, "k2", 0);
  count_kids(herd, "s", 12, 2);
}

}  // namespace

TEST_CASE("The point below which a share lies is the inverse of the share below, in both tails") {
  for (const double share : {1e-12, 1e-6, 0.001, 0.04, 0.3, 0.5, 0.7, 0.999}) {
    CAPTURE(share);
    CHECK(normal_below(normal_quantile(share)) == doctest::Approx(share).epsilon(1e-13));
    CHECK(normal_quantile(share) == doctest::Approx(point_below(share)).epsilon(1e-11));
  }
  CHECK(normal_between(6.0, 7.0) == doctest::Approx(below(-6.0) - below(-7.0)).epsilon(1e-14));
}

TEST_CASE("Nothing known gives every incidence back, sure or uncertain, by sex or not") {
  for (const std::optional<double> worth :
       {std::optional<double>{}, std::optional(20.0), std::optional(0.0)}) {
    Herd herd = herd_of({{"s"}, {"d"}});
    herd.faults = {threshold_fault({0.3, 0.05, 0.01}, 0.4, worth)};
    FaultModel& fault = herd.faults[0];
    fault.incidence_above_doe = {0.4, 0.1, 0.02};
    fault.wanted = 1;
    const KidRisk risk = risk_of(herd, fit(herd), "s", "d");
    const std::vector<double> doe = {0.6, 0.3, 0.08, 0.02}, buck = {0.7, 0.25, 0.04, 0.01};
    for (std::size_t k = 0; k < 4; ++k) {
      CHECK(risk.grades_doe[k] == doctest::Approx(doe[k]).epsilon(1e-12));
      CHECK(risk.grades_buck[k] == doctest::Approx(buck[k]).epsilon(1e-12));
    }
    CHECK(risk.affected_doe == doctest::Approx(0.7).epsilon(1e-12));
    CHECK(risk.affected_buck == doctest::Approx(0.75).epsilon(1e-12));
    CHECK(risk.affected == doctest::Approx(0.725).epsilon(1e-12));
    CHECK(risk.method == Method::exact);
    CHECK(fit(herd).of(animal(herd, "s")).shows == doctest::Approx(0.725).epsilon(1e-12));
  }
}

TEST_CASE("A shorter list by sex gives the first border and keeps the distances") {
  FaultModel fault = threshold_fault({0.04, 0.01}, 0.4);
  fault.incidence_above_doe = {0.08};
  const ThresholdScale scale(fault);
  CHECK(scale.doe[0] == doctest::Approx(threshold_at(0.08)).epsilon(1e-12));
  CHECK(scale.doe[1] - scale.doe[0] ==
        doctest::Approx(threshold_at(0.01) - threshold_at(0.04)).epsilon(1e-10));
  CHECK(scale.buck[1] == doctest::Approx(threshold_at(0.01)).epsilon(1e-12));
}

TEST_CASE("Uncertain incidence: s2 from the border with the larger unwanted share") {
  FaultModel fault = threshold_fault({0.97, 0.07}, 0.25, 20.0);
  fault.wanted = 1;
  const double z = threshold_at(0.07);
  const double s2 = 0.07 * 0.93 / (21.0 * density(z) * density(z));
  const ThresholdScale scale(fault);
  CHECK(scale.mu_var == doctest::Approx(s2).epsilon(1e-10));
  CHECK(scale.doe[1] == doctest::Approx(z * std::sqrt(1.0 + s2)).epsilon(1e-10));
  fault.incidence_above = {0.90, 0.07};  // now the lower border: 0.10
  const double lower = threshold_at(0.10);
  CHECK(ThresholdScale(fault).mu_var ==
        doctest::Approx(0.09 / (21.0 * density(lower) * density(lower))).epsilon(1e-10));
}

TEST_CASE("Animals that nobody looked at change nothing, to the last bit") {
  for (const std::optional<double> worth : {std::optional<double>{}, std::optional(20.0)}) {
    Herd few = herd_of({{"s"}, {"d"}, {"k1", "s", "d"}, {"k2", "s", "d"}});
    Herd many = herd_of({{"a"},
                         {"s"},
                         {"b"},
                         {"d"},
                         {"u1", "s", "d"},
                         {"k1", "s", "d"},
                         {"u2", "s", "b"},
                         {"u3", "u2", "u1"},
                         {"k2", "s", "d"},
                         {"u4", "k2", "k1"}});
    for (Herd* herd : {&few, &many}) {
      herd->faults = {threshold_fault({0.04, 0.01}, 0.4, worth)};
      looks_of_a_family(*herd);
    }
    const KidRisk a = risk_of(few, fit(few), "s", "d", 2.0);
    const KidRisk b = risk_of(many, fit(many), "s", "d", 2.0);
    CHECK(a.affected == b.affected);
    CHECK(a.affected_low == b.affected_low);
    CHECK(a.any_in_litter == b.any_in_litter);
    CHECK(a.liabilities->cov == b.liabilities->cov);
    CHECK(fit(few).of(animal(few, "k1")).mean == fit(many).of(animal(many, "k1")).mean);
    look(many, "u1", 0);  // and a look does change it
    CHECK(risk_of(many, fit(many), "s", "d", 2.0).affected < a.affected);
  }
}

TEST_CASE("Names and the order of rows change nothing") {
  Herd one = herd_of({{"s"}, {"d"}, {"k1", "s", "d"}, {"k2", "s", "d"}});
  Herd other = herd_of({{"d"}, {"k2", "s", "d"}, {"s"}, {"k1", "s", "d"}});
  Herd named = herd_of({{"z9"}, {"a1"}, {"m", "z9", "a1"}, {"b", "z9", "a1"}});
  for (Herd* herd : {&one, &other, &named}) {
    herd->faults = {threshold_fault({0.04}, 0.4, 30.0)};
  }
  looks_of_a_family(one);
  count_kids(other, "s", 12, 2);
  look(other, "k2", 0);
  look(other, "k1", 1);
  look(other, "s", 0);
  look(named, "z9", 0);
  look(named, "m", 1);
  look(named, "b", 0);
  count_kids(named, "z9", 12, 2);
  const double risk = risk_of(one, fit(one), "s", "d").affected;
  CHECK(risk_of(other, fit(other), "s", "d").affected == doctest::Approx(risk).epsilon(1e-8));
  CHECK(risk_of(named, fit(named), "z9", "a1").affected == doctest::Approx(risk).epsilon(1e-8));
}

TEST_CASE("A told count is left out unless asked for") {
  Herd herd = herd_of({{"s"}, {"d"}});
  herd.faults = {threshold_fault({0.04}, 0.4)};
  count_kids(herd, "s", 10, 4).told = true;
  const double without = risk_of(herd, fit(herd), "s", "d").affected;
  CHECK(without == doctest::Approx(0.04).epsilon(1e-12));
  CHECK(fit(herd).sites().empty());
  CHECK(risk_of(herd, fit(herd, {.with_told = true}), "s", "d").affected > 0.08);
  CHECK(fit(herd, {.with_told = true}).sites()[0].count);
}

TEST_CASE("Sexes: a wether counts as a buck, an unknown sex as half and half") {
  const auto mean_if_found = [](Sex sex) {
    Herd herd = herd_of({{"x", "", "", sex}});
    herd.faults = {threshold_fault({0.1}, 0.4)};
    herd.faults[0].incidence_above_doe = {0.02};
    herd.faults[0].incidence_above_buck = {0.2};
    look(herd, "x", 1);
    return fit(herd).of(animal(herd, "x")).mean;
  };
  const auto expected = [](double incidence) {
    return 0.4 * density(threshold_at(incidence)) / incidence;
  };
  CHECK(mean_if_found(Sex::doe) == doctest::Approx(expected(0.02)).epsilon(1e-9));
  CHECK(mean_if_found(Sex::intersex) == doctest::Approx(expected(0.02)).epsilon(1e-9));
  CHECK(mean_if_found(Sex::wether) == doctest::Approx(expected(0.2)).epsilon(1e-9));
  const double mixed =
      0.4 * (density(threshold_at(0.02)) + density(threshold_at(0.2))) / (0.02 + 0.2);
  CHECK(mean_if_found(Sex::unknown) == doctest::Approx(mixed).epsilon(1e-9));
}

TEST_CASE(
    "Looked at and clear too early: the chance that it shows is what the look may have missed") {
  Herd herd = herd_of({{"x"}});
  herd.faults = {threshold_fault({0.2}, 0.4)};
  herd.faults[0].detection = {{0.0, 0.75}, {100.0, 1.0}};
  look(herd, "x", 0, 10);
  CHECK(fit(herd).of(animal(herd, "x")).shows == doctest::Approx(0.05 / 0.85).epsilon(1e-9));
  look(herd, "x", 0, 200);
  CHECK(fit(herd).of(animal(herd, "x")).shows == 0.0);
}

TEST_CASE("The interval: points of the risk over what is uncertain, two-sided grades too") {
  Herd herd = herd_of({{"s"}, {"d"}, {"k1", "s", "d"}, {"k2", "s", "d"}});
  herd.faults = {threshold_fault({0.80, 0.20}, 0.5, 10.0)};
  FaultModel& fault = herd.faults[0];
  look(herd, "k1", 2);
  for (std::uint8_t wanted = 0; wanted < 3; ++wanted) {
    CAPTURE(wanted);
    fault.wanted = wanted;
    const ThresholdFit fitted = fit(herd);
    const KidRisk risk = risk_of(herd, fitted, "s", "d");
    const ParentLiabilities& parents = risk.liabilities.value();
    const double sd = std::sqrt((parents.sire_var + parents.doe_var + 2.0 * parents.cov) / 4.0);
    std::vector<double> risks;  // at the middles of 40,000 strata of equal chance
    for (int k = 0; k < 40000; ++k) {
      const double x =
          (parents.sire_mean + parents.doe_mean) / 2.0 + sd * normal_quantile((k + 0.5) / 40000.0);
      const double r = std::sqrt(parents.rest_var);
      const double low = below((parents.threshold_doe[0] - x) / r);
      const double high = below((x - parents.threshold_doe[1]) / r);
      risks.push_back(wanted == 0 ? 1.0 - low : wanted == 1 ? low + high : 1.0 - high);
    }
    std::sort(risks.begin(), risks.end());
    CHECK(risk.affected_low == doctest::Approx((risks[1999] + risks[2000]) / 2.0).epsilon(1e-4));
    CHECK(risk.affected_high == doctest::Approx((risks[37999] + risks[38000]) / 2.0).epsilon(1e-4));
    double mean = 0.0, none = 0.0;
    for (const double p : risks) {
      mean += p / 40000.0;
      none += std::pow(1.0 - p, 2.3) / 40000.0;
    }
    CHECK(risk.affected == doctest::Approx(mean).epsilon(1e-5));
    CHECK(risk_of(herd, fitted, "s", "d", 2.3).any_in_litter ==
          doctest::Approx(1.0 - none).epsilon(1e-5));
  }
}

TEST_CASE("Draws are joint, have the moments of the posterior, and never depend on their number") {
  Herd herd = herd_of({{"s"}, {"d"}, {"k1", "s", "d"}, {"k2", "s", "d"}});
  herd.faults = {threshold_fault({0.1}, 0.5, 20.0)};
  looks_of_a_family(herd);
  const ThresholdFit fitted = fit(herd);
  const std::vector<Animal> both = {animal(herd, "s"), animal(herd, "d"), animal(herd, "s")};
  const std::size_t draws = 40000;
  const Grid<double> worlds = fitted.draw(both, draws, 5);
  const Grid<double> few = fitted.draw(both, 10, 5);
  CHECK(std::equal(few.cells.begin(), few.cells.end(), worlds.cells.begin()));
  CHECK(fitted.draw(both, 10, 6).cells != few.cells);
  double mean_s = 0.0, mean_d = 0.0, product = 0.0, square = 0.0, apart = 0.0;
  for (std::size_t w = 0; w < draws; ++w) {
    mean_s += worlds(w, 0) / draws;
    mean_d += worlds(w, 1) / draws;
    product += worlds(w, 0) * worlds(w, 1) / draws;
    square += worlds(w, 0) * worlds(w, 0) / draws;
    apart = std::max(apart, std::abs(worlds(w, 0) - worlds(w, 2)));
  }
  const KidRisk risk = risk_of(herd, fitted, "s", "d");
  const ParentLiabilities& parents = risk.liabilities.value();
  CHECK(std::abs(mean_s - parents.sire_mean) <= 0.02);  // five standard errors
  CHECK(std::abs(mean_d - parents.doe_mean) <= 0.02);
  CHECK(std::abs(product - mean_s * mean_d - parents.cov) <= 0.02);
  CHECK(std::abs(square - mean_s * mean_s - parents.sire_var) <= 0.02);
  CHECK(apart <= 1e-6);
}

TEST_CASE(
    "What one record is worth: the only one is worth all, others nearly what a new fit says") {
  Herd herd = herd_of({{"s"}, {"d"}, {"k1", "s", "d"}, {"x"}});
  herd.faults = {threshold_fault({0.04}, 0.4)};
  look(herd, "k1", 1);
  const Pairing pair{animal(herd, "s"), animal(herd, "d")};
  const double only = risk_of(herd, fit(herd), "s", "d").affected;
  CHECK(fit(herd).removal_effect(pair)[0] == doctest::Approx(0.04 - only).epsilon(1e-8));
  CHECK(fit(herd).removal_effect(pair.sire)[0] ==
        doctest::Approx(-fit(herd).of(pair.sire).mean).epsilon(1e-8));
  look(herd, "x", 1);  // a stranger tells nothing of them
  count_kids(herd, "s", 20, 3);
  const ThresholdFit fitted = fit(herd);
  REQUIRE(fitted.sites().size() == 3);
  CHECK(fitted.sites()[0].animal == animal(herd, "k1"));
  CHECK(fitted.sites()[0].rows == std::vector<Row>{{Table::examinations, 2}});
  CHECK(fitted.sites()[2].rows == std::vector<Row>{{Table::kid_counts, 2}});
  const auto effects = fitted.removal_effect(pair);
  CHECK(std::abs(effects[1]) <= 1e-12);
  const double with = risk_of(herd, fitted, "s", "d").affected;
  Herd without = herd;
  without.kid_counts.clear();
  const double change = risk_of(without, fit(without), "s", "d").affected - with;
  CHECK(effects[2] == doctest::Approx(change).epsilon(0.05));
  const auto shows = fitted.removal_effect_on_shows(animal(herd, "k1"));
  CHECK(shows[2] == 0.0);  // found is found
  CHECK(shows[0] < -0.8);
}

TEST_CASE("What the caller must not do is a usage error") {
  Herd herd = herd_of({{"s"}, {"d"}});
  herd.faults = {threshold_fault({0.04}, 0.4)};
  const ThresholdFit fitted = fit(herd);
  const std::vector<Animal> one = {animal(herd, "s")};
  CHECK_THROWS_AS(fitted.kids(one, one, {}), UsageError);
  CHECK_THROWS_AS(fitted.of(Animal{9}), UsageError);
  herd.faults[0].incidence_above.clear();
  CHECK_THROWS_AS(fit(herd), UsageError);
}

TEST_CASE("The answer never depends on the number of threads") {
  Herd herd = herd_of({{"s"}, {"d"}, {"k1", "s", "d"}, {"k2", "s", "d"}});
  herd.faults = {threshold_fault({0.1}, 0.5, 20.0)};
  looks_of_a_family(herd);
  const ThresholdFit fitted = fit(herd);
  std::vector<Animal> all;
  for (std::uint32_t i = 0; i < 4; ++i) all.push_back(Animal{i});
  const std::vector<double> litter = {2.0, 1.5, 2.0, 1.0};
  Run two;
  two.threads = 2;
  const Grid<KidRisk> a = fitted.kids(all, all, litter), b = fitted.kids(all, all, litter, two);
  for (std::size_t k = 0; k < a.cells.size(); ++k) {
    CHECK(a.cells[k].affected == b.cells[k].affected);
    CHECK(a.cells[k].any_in_litter == b.cells[k].any_in_litter);
  }
}

}  // namespace doewright::testing
