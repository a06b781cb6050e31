// SPDX-License-Identifier: MIT
/// The engine against closed forms, quadrature and a sampler that know nothing of it.
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include <faults/ep_fit.hpp>

#include "threshold_herds.hpp"
#include "threshold_twins.hpp"

namespace doewright::testing {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

/// A random herd of `animals`: some parents unknown, close matings, some sires unsure.
Herd random_herd(std::mt19937& random, std::uint32_t animals, bool unsure_sires) {
  PedigreeBuilder builder;
  const auto chance = [&](double share) {
    return static_cast<double>(random() % 1000) < 1000.0 * share;
  };
  const auto id = [](std::uint_fast32_t i) { return "g" + std::to_string(i); };
  for (std::uint32_t i = 0; i < animals; ++i) {
    // Even places are bucks, odd ones does.
    std::string sire, dam;
    if (i >= 4 && chance(0.8)) dam = id(2 * (random() % (i / 2)) + 1);
    const bool unsure = i >= 6 && unsure_sires && chance(0.3);
    if (i >= 4 && !unsure && chance(0.8)) sire = id(2 * (random() % (i / 2)));
    builder.add(id(i), sire, dam);
    if (!unsure) continue;
    const std::string one = id(0), other = id(2 * (1 + random() % (i / 2 - 1)));
    const std::vector<NamedChance> list = {{one, 0.5, {}}, {other, 0.3, {}}};
    builder.add_possible_sires(id(i), "", list);
  }
  BuiltPedigree built = std::move(builder).build();
  Herd herd;
  herd.pedigree = built.pedigree;
  herd.ids = built.ids;
  herd.animals.line.resize(animals);
  herd.animals.sex.resize(animals);
  herd.animals.born.resize(animals);
  herd.animals.horns.resize(animals);
  return herd;
}

std::vector<Animal> everybody(const Herd& herd) {
  std::vector<Animal> all;
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) all.push_back(Animal{i});
  return all;
}

}  // namespace

TEST_CASE("One animal found, any pedigree: means and variances of everybody in closed form") {
  std::mt19937 random(7);
  const double h2 = 0.4, t = threshold_at(0.04);
  for (int herds = 0; herds < 40; ++herds) {
    Herd herd = random_herd(random, 14, herds % 2 == 1);
    herd.faults = {threshold_fault({0.04}, h2)};
    const Animal found{static_cast<std::uint32_t>(random() % herd.pedigree.size())};
    look(herd, found, 1);
    const Eigen::MatrixXd a = tabular_relationships(herd.pedigree);
    // l of the animal found has variance V = h2 (1 + F) + 1 - h2 and is above t.
    const double var = h2 * a(found.position, found.position) + 1.0 - h2;
    const double z = t / std::sqrt(var);
    const double slope = density(z) / below(-z) / std::sqrt(var);
    const double curve = slope * t / var - slope * slope;
    const ThresholdFit fitted = fit(herd);
    const auto all = everybody(herd);
    const auto ours = fitted.of(all);
    const std::vector<double> one_kid(all.size(), 1.0);
    const Grid<KidRisk> pairs = fitted.kids(all, all, one_kid);
    for (std::size_t i = 0; i < all.size(); ++i) {
      CAPTURE(i);
      const double cov = h2 * a(all[i].position, found.position);
      CHECK(ours[i].mean == doctest::Approx(cov * slope).epsilon(1e-9));
      const double own = h2 * a(all[i].position, all[i].position) + cov * cov * curve;
      CHECK(ours[i].sd == doctest::Approx(std::sqrt(own)).epsilon(1e-9));
      if (all[i] != found) {
        const double shows = below((cov * slope - t) / std::sqrt(own + 1.0 - h2));
        CHECK(ours[i].shows == doctest::Approx(shows).epsilon(1e-8));
      }
      for (std::size_t j = 0; j < all.size(); ++j) {
        const double other = h2 * a(all[j].position, found.position);
        const double joint = h2 * a(all[i].position, all[j].position) + cov * other * curve;
        const ParentLiabilities& pair = pairs(i, j).liabilities.value();
        CHECK(std::abs(pair.cov - joint) <= 1e-9);
        CHECK((pairs(i, j).method == Method::exact) <= (cov == 0.0 && other == 0.0));
        const double rest = h2 / 2.0 *
                                (1.0 - (a(all[i].position, all[i].position) +
                                        a(all[j].position, all[j].position) - 2.0) /
                                           2.0) +
                            1.0 - h2;
        CHECK(pair.rest_var == doctest::Approx(rest).epsilon(1e-12));
      }
    }
    CHECK(fitted.of(found).shows == 1.0);
  }
}

TEST_CASE("Random herds with looks of every kind: risks within 0.005 of a sampler's") {
  std::mt19937 random(11);
  for (int herds = 0; herds < 6; ++herds) {
    CAPTURE(herds);
    const bool two_sided = herds % 3 == 2, unsure_mean = herds % 2 == 1;
    Herd herd = random_herd(random, 16, herds >= 3);
    herd.faults = {threshold_fault(
        two_sided ? std::vector<double>{0.9, 0.15} : std::vector<double>{0.15, 0.04}, 0.4,
        unsure_mean ? std::optional(12.0) : std::nullopt)};
    FaultModel& fault = herd.faults[0];
    fault.wanted = two_sided ? 1 : 0;
    fault.detection = {{0.0, 0.7}, {100.0, 1.0}};
    const ThresholdScale scale(fault);
    const double low = scale.doe[0], high = scale.doe[1];
    std::vector<SeenLiability> seen;
    int sides_unknown = 0;  // several of them: test_threshold_sides.cpp
    for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
      if (random() % 10 < 4) continue;
      SeenLiability one{static_cast<Eigen::Index>(i), {}};
      const bool shows = random() % 10 < 3, early = random() % 2 == 0;
      if (!shows) {
        look(herd, Animal{i}, fault.wanted, early ? 10 : 200);
        const double missed = early ? 0.3 : 0.0;
        one.stretches =
            two_sided ? std::vector<SeenStretch>{{-infinite, low, missed},
                                                 {low, high, 1.0},
                                                 {high, infinite, missed}}
                      : std::vector<SeenStretch>{{-infinite, low, 1.0}, {low, infinite, missed}};
      } else if (early && (!two_sided || ++sides_unknown == 1)) {
        looks_shown(herd, Animal{i}, Found::removed);
        one.stretches = {{two_sided ? high : low, infinite, 1.0}};
        if (two_sided) one.stretches.push_back({-infinite, low, 1.0});
      } else {
        look(herd, Animal{i}, 2, 200);
        one.stretches = {{high, infinite, 1.0}};
      }
      seen.push_back(one);
    }
    REQUIRE(seen.size() >= 5);
    const ThresholdFit fitted = fit(herd);
    CHECK(fitted.converged());
    GibbsTwin twin(tabular_relationships(herd.pedigree), 0.4, scale.mu_var, seen);
    for (const Pairing pair : {Pairing{{0}, {1}}, Pairing{{8}, {3}}, Pairing{{14}, {15}}}) {
      const KidRisk ours = risk_of(fitted, pair.sire, pair.doe);
      const double rest = std::sqrt(ours.liabilities->rest_var);
      const double theirs = twin.mean(20000, [&](const Eigen::VectorXd& world) {
        const double x =
            world[world.size() - 1] + (world[pair.sire.position] + world[pair.doe.position]) / 2.0;
        return below((x - (two_sided ? high : low)) / rest) +
               (two_sided ? below((low - x) / rest) : 0.0);
      });
      CHECK(std::abs(ours.affected - theirs) <= 0.005);
    }
  }
}

TEST_CASE(
    "Counts of kids elsewhere, incidence uncertain: two-dimensional quadrature over mu and a") {
  const double h2 = 0.4, incidence = 0.04, worth = 20.0;
  const std::vector<std::pair<std::uint32_t, std::uint32_t>> counts = {
      {1, 1}, {10, 0}, {10, 3}, {60, 1}, {400, 60}, {30, 30}};
  for (const auto& count : counts) {
    const std::uint32_t examined = count.first, affected = count.second;
    CAPTURE(examined);
    CAPTURE(affected);
    Herd herd = herd_of({{"s"}, {"d"}});
    herd.faults = {threshold_fault({incidence}, h2, worth)};
    herd.faults[0].detection = {{0.0, 0.8}, {100.0, 1.0}};  // age not told: the lowest
    count_kids(herd, "s", examined, affected);
    const double z = threshold_at(incidence);
    const double mu_var = incidence * (1.0 - incidence) / ((worth + 1.0) * density(z) * density(z));
    const double t = z * std::sqrt(1.0 + mu_var);
    double top = 0.0, bottom = 0.0;
    for (int i = -400; i <= 400; ++i) {
      for (int j = -400; j <= 400; ++j) {
        const double mu = std::sqrt(mu_var) * 0.025 * i, a = std::sqrt(h2) * 0.025 * j;
        const double p = 0.8 * below((mu + a / 2.0 - t) / std::sqrt(1.0 - h2 / 4.0));
        const double weight =
            density(0.025 * i) * density(0.025 * j) *
            std::exp(affected * std::log(p) + (examined - affected) * std::log1p(-p));
        bottom += weight;
        top += weight * below((mu + a / 2.0 - t) / std::sqrt(1.0 - h2 / 4.0));
      }
    }
    CHECK(std::abs(risk_of(herd, fit(herd), "s", "d").affected - top / bottom) <= 0.005);
  }
}

TEST_CASE("A count of one kid of a known dam is that kid looked at in the book") {
  for (const std::uint32_t shows : {0u, 1u}) {
    Herd counted = herd_of({{"x"}, {"s"}, {"d", "x", ""}, {"k", "s", "d"}});
    counted.faults = {threshold_fault({0.04}, 0.4, 30.0)};
    Herd looked = counted;
    count_kids(counted, "s", 1, shows, "d");
    look(looked, "k", static_cast<std::uint8_t>(shows));
    const KidRisk a = risk_of(counted, fit(counted), "s", "d", 2.0);
    const KidRisk b = risk_of(looked, fit(looked), "s", "d", 2.0);
    CHECK(a.affected == doctest::Approx(b.affected).epsilon(1e-9));
    CHECK(a.affected_high == doctest::Approx(b.affected_high).epsilon(1e-9));
    CHECK(a.any_in_litter == doctest::Approx(b.any_in_litter).epsilon(1e-9));
  }
}

TEST_CASE(
    "At least one of a litter, given looks at parents and kids: quadrature over the parents") {
  for (const double litter : {1.0, 2.0, 2.4, 4.0}) {
    const FamilyTwin family{0.10, 0.4, 'A', 'C', 1.0, 2.0};
    Herd herd = herd_of({{"s"}, {"d"}, {"k1", "s", "d"}, {"k2", "s", "d"}, {"k3", "s", "d"}});
    herd.faults = {threshold_fault({0.10}, 0.4)};
    look(herd, "s", 1);
    look(herd, "d", 0);
    look(herd, "k1", 1);
    look(herd, "k2", 0);
    look(herd, "k3", 0);
    CAPTURE(litter);
    CHECK(std::abs(risk_of(herd, fit(herd), "s", "d", litter).any_in_litter -
                   family.risk(litter)) <= 0.005);
  }
}

TEST_CASE("The selected inverse has the covariances of the dense inverse") {
  std::mt19937 random(3);
  Herd herd = random_herd(random, 40, true);
  std::vector<Animal> all = everybody(herd);
  const LiabilityNodes nodes(herd.pedigree, all, true);
  std::vector<EpSite> sites;
  std::vector<EpFactor> factors;
  Eigen::MatrixXd dense = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(nodes.size()),
                                                static_cast<Eigen::Index>(nodes.size()));
  for (const auto& entry : nodes.prior_precision(0.3, 0.1)) {
    dense(entry.row(), entry.col()) += entry.value();
    if (entry.row() != entry.col()) dense(entry.col(), entry.row()) += entry.value();
  }
  for (std::uint32_t i = 0; i < 40; i += 2) {
    sites.push_back({{{i, 0.5}, {i + 1, 0.5}, {*nodes.mu(), 1.0}}, LookLikelihood{}});
    factors.push_back({0.1 * static_cast<double>(i), 0.3});
    Eigen::VectorXd w = Eigen::VectorXd::Zero(dense.rows());
    for (const auto& [node, weight] : sites.back().row) w[node] = weight;
    dense += factors.back().precision * w * w.transpose();
  }
  EpPosterior posterior(nodes.size(), nodes.prior_precision(0.3, 0.1), sites);
  REQUIRE(posterior.set(sites, factors));
  const Eigen::MatrixXd inverse = dense.inverse();
  for (const EpSite& site : sites) {
    Eigen::VectorXd w = Eigen::VectorXd::Zero(dense.rows());
    for (const auto& [node, weight] : site.row) w[node] = weight;
    CHECK(posterior.variance_of(site.row) == doctest::Approx(w.dot(inverse * w)).epsilon(1e-10));
  }
}

}  // namespace doewright::testing
