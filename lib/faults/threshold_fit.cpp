// SPDX-License-Identifier: MIT
#include "threshold_fit.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Cholesky>

#include <doewright/core/errors.hpp>
#include <doewright/core/stream.hpp>

#include "threshold_risk.hpp"
#include "threshold_state.hpp"

namespace doewright {

namespace {

/// Mean and variance of a, and of mu + a where the incidence is uncertain.
struct OwnLiability {
  double mean, var, mean_with_mu, var_with_mu;
};

/// From the selected inverse if the animal is a node; else from a column of its own.
OwnLiability own_liability(const ThresholdState& state, const LiabilityParts& parts,
                           std::size_t a) {
  const LiabilityPart& part = parts.of[a];
  const EpRow whole = state.with_mu(part.core);
  OwnLiability own{};
  own.mean = state.posterior.mean_of(part.core);
  own.mean_with_mu = state.posterior.mean_of(whole);
  const bool is_node = part.own.empty();
  if (is_node && part.core.size() == 1) {
    own.var = state.posterior.variance_of(part.core);
  } else {
    const Eigen::VectorXd column = state.posterior.column(part.core);
    for (const auto& [node, weight] : part.core) own.var += weight * column[node];
  }
  if (!state.nodes.mu()) {
    own.var += state.scale.heritability * parts.own_covariance(a, a);
    own.var_with_mu = own.var;
    return own;
  }
  const Eigen::VectorXd column = state.posterior.column(whole);
  for (const auto& [node, weight] : whole) own.var_with_mu += weight * column[node];
  const double remainder = state.scale.heritability * parts.own_covariance(a, a);
  own.var += remainder;
  own.var_with_mu += remainder;
  return own;
}

ThresholdFit::LiabilityOf liability_of(const ThresholdState& state, const LiabilityParts& parts,
                                       std::size_t a, Animal animal) {
  const OwnLiability own = own_liability(state, parts, a);
  return {own.mean, std::sqrt(std::max(0.0, own.var)),
          state.shows(animal, own.mean_with_mu, own.var_with_mu)};
}

ParentLiabilities parents_of(const AskedLiabilities& asked, std::size_t sire, std::size_t doe,
                             double rest_var) {
  ParentLiabilities parents;
  parents.sire_mean = asked.mean(sire);
  parents.doe_mean = asked.mean(doe);
  parents.sire_var = asked.covariance(sire, sire);
  parents.doe_var = asked.covariance(doe, doe);
  parents.cov = asked.covariance(sire, doe);
  parents.rest_var = rest_var;
  return parents;
}

/// Exact where no evidence reaches either parent: then nothing was approximated.
Method method_of(const AskedLiabilities& asked, std::size_t sire, std::size_t doe) {
  const bool reached = asked.touched(sire) || asked.touched(doe);
  return reached && !asked.state.sites.empty() ? Method::approximate : Method::exact;
}

}  // namespace

ThresholdFit::ThresholdFit(const Herd& herd, FaultIndex fault, const Kinship& kinship,
                           const EvidenceIndex& evidence, ThresholdOptions options, const Run& run)
    : state_(std::make_shared<const ThresholdState>(herd, fault, kinship, evidence, options, run)) {
}

ThresholdFit::LiabilityOf ThresholdFit::of(Animal animal) const {
  return of({&animal, 1}).front();
}

std::vector<ThresholdFit::LiabilityOf> ThresholdFit::of(std::span<const Animal> animals,
                                                        const Run& run) const {
  const LiabilityParts parts = liability_parts(state_->nodes, animals);
  std::vector<LiabilityOf> result(animals.size());
  constexpr std::size_t block = 64;
  parallel_blocks(animals.size(), block, run, [&](std::size_t begin, std::size_t end) {
    throw_if_stopped(run);
    for (std::size_t a = begin; a < end; ++a) {
      result[a] = liability_of(*state_, parts, a, animals[a]);
    }
  });
  return result;
}

Grid<KidRisk> ThresholdFit::kids(std::span<const Animal> sires, std::span<const Animal> does,
                                 std::span<const double> litter, const Run& run) const {
  if (litter.size() != does.size()) throw UsageError("faults: litter needs one entry a doe");
  std::vector<Animal> animals(sires.begin(), sires.end());
  animals.insert(animals.end(), does.begin(), does.end());
  const AskedLiabilities asked(*state_, animals, true, run);
  const std::span<const double> f = state_->kinship.inbreeding();
  Grid<KidRisk> risks(sires.size(), does.size());
  constexpr std::size_t block = 32;
  parallel_blocks(risks.cells.size(), block, run, [&](std::size_t begin, std::size_t end) {
    throw_if_stopped(run);
    for (std::size_t cell = begin; cell < end; ++cell) {
      const std::size_t s = cell / does.size(), d = cell % does.size();
      const double rest =
          kid_rest_variance(state_->scale.heritability, f[sires[s].position], f[does[d].position]);
      const std::size_t doe = sires.size() + d;
      risks.cells[cell] = threshold_risk(state_->scale, parents_of(asked, s, doe, rest), litter[d]);
      risks.cells[cell].method = method_of(asked, s, doe);
    }
  });
  return risks;
}

Grid<double> ThresholdFit::draw(std::span<const Animal> animals, std::size_t draws,
                                std::uint64_t seed) const {
  const AskedLiabilities asked(*state_, animals, true, {});
  const auto n = static_cast<Eigen::Index>(animals.size());
  Grid<double> worlds(draws, animals.size());
  if (n == 0) return worlds;
  Eigen::MatrixXd covariance(n, n);
  Eigen::VectorXd mean(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    mean[i] = asked.mean(static_cast<std::size_t>(i));
    for (Eigen::Index j = 0; j <= i; ++j) {
      covariance(i, j) = covariance(j, i) =
          asked.covariance(static_cast<std::size_t>(i), static_cast<std::size_t>(j));
    }
  }
  const Eigen::LDLT<Eigen::MatrixXd> root(covariance);  // pivoted: one animal may be asked twice
  const Eigen::VectorXd sd = root.vectorD().cwiseMax(0.0).cwiseSqrt();
  Eigen::VectorXd world(n);
  for (std::size_t w = 0; w < draws; ++w) {
    Stream stream(seed, "liabilities of " + state_->key, w);
    for (Eigen::Index i = 0; i < n; ++i) world[i] = sd[i] * stream.normal();
    world = root.transpositionsP().transpose() * (root.matrixL() * world).eval();
    for (Eigen::Index i = 0; i < n; ++i) {
      worlds(w, static_cast<std::size_t>(i)) = mean[i] + world[i];
    }
  }
  return worlds;
}

std::span<const ThresholdSite> ThresholdFit::sites() const noexcept {
  return state_->named_sites;
}
bool ThresholdFit::converged() const noexcept {
  return state_->fit.converged;
}
int ThresholdFit::rounds() const noexcept {
  return state_->fit.rounds;
}

std::size_t ThresholdFit::sides_unknown() const noexcept {
  const ThresholdScale& scale = state_->scale;
  if (scale.wanted == 0 || scale.wanted == scale.doe.size()) return 0;
  const auto& items = state_->evidence.items;
  return static_cast<std::size_t>(std::count_if(items.begin(), items.end(), [](const auto& item) {
    return !item.site.count && item.looked.look == Look::found && !item.looked.grade;
  }));
}

const ThresholdScale& ThresholdFit::scale() const noexcept {
  return state_->scale;
}

}  // namespace doewright
