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

/// From the selected inverse if the animal is a node; else by the way to the root. `work`: zeros, one a
/// node.
OwnLiability own_liability(const ThresholdState& state, const LiabilityParts& parts, std::size_t a,
                           std::vector<double>& work) {
  const LiabilityPart& part = parts.of[a];
  const EpRow whole = state.with_mu(part.core);
  OwnLiability own{};
  own.mean = state.posterior.mean_of(part.core);
  own.mean_with_mu = state.posterior.mean_of(whole);
  const bool is_node = part.own.empty();
  if (is_node && part.core.size() == 1) {
    own.var = state.posterior.variance_of(part.core);
  } else {
    own.var = state.posterior.variance_by_path(part.core, work);
  }
  if (!state.nodes.mu()) {
    own.var += state.scale.heritability * parts.own_covariance(a, a);
    own.var_with_mu = own.var;
    return own;
  }
  own.var_with_mu = state.posterior.variance_by_path(whole, work);
  const double remainder = state.scale.heritability * parts.own_covariance(a, a);
  own.var += remainder;
  own.var_with_mu += remainder;
  return own;
}

ThresholdFit::LiabilityOf liability_of(const ThresholdState& state, const LiabilityParts& parts,
                                       std::size_t a, Animal animal, std::vector<double>& work) {
  const OwnLiability own = own_liability(state, parts, a, work);
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

namespace {

/// Items found without their end, those with most kin among them first.
std::vector<std::size_t> items_without_end(const ThresholdState& state, const Run& run) {
  if (state.scale.wanted == 0 || state.scale.wanted == state.scale.doe.size()) return {};
  std::vector<std::size_t> items;
  std::vector<Animal> animals;
  for (std::size_t k = 0; k < state.evidence.items.size(); ++k) {
    const ThresholdEvidence::Item& item = state.evidence.items[k];
    if (item.site.count || item.looked.look != Look::found || item.looked.grade) continue;
    items.push_back(k);
    animals.push_back(item.site.animal);
  }
  constexpr std::size_t too_many_to_compare = 300;
  if (items.size() > too_many_to_compare) return items;
  const Grid<double> kinship = state.kinship.block(animals, animals, run);
  std::vector<std::pair<double, std::size_t>> by_kin;
  for (std::size_t i = 0; i < items.size(); ++i) {
    double sum = 0.0;
    for (std::size_t j = 0; j < items.size(); ++j) sum += i == j ? 0.0 : kinship(i, j);
    by_kin.emplace_back(-sum, items[i]);
  }
  std::sort(by_kin.begin(), by_kin.end());
  for (std::size_t i = 0; i < items.size(); ++i) items[i] = by_kin[i].second;
  return items;
}

constexpr double least_weight = 1e-7;  // of a combination of ends: below it nothing can be seen

}  // namespace

ThresholdFit::ThresholdFit(const Herd& herd, FaultIndex fault, const Kinship& kinship,
                           const EvidenceIndex& evidence, ThresholdOptions options, const Run& run) {
  const auto fitted = [&](std::span<const LiabilityEnd> ends) {
    return std::make_shared<const ThresholdState>(herd, fault, kinship, evidence, options, ends, run);
  };
  parts_.push_back({fitted({}), 1.0});
  std::vector<std::size_t> items = items_without_end(first(), run);
  if (items.empty()) return;
  const std::size_t tried = std::min(items.size(), options.most_ends);
  sides_unknown_ = items.size() - tried;
  std::vector<std::vector<LiabilityEnd>> combinations = {{}};
  for (std::size_t k = 0; k < tried; ++k) {
    std::vector<std::vector<LiabilityEnd>> longer;
    for (const auto& ends : combinations) {
      for (const bool high : {false, true}) {
        longer.push_back(ends);
        longer.back().push_back({items[k], high});
      }
    }
    combinations = std::move(longer);
  }
  if (tried == 0) return;
  parts_.clear();
  double best = -INFINITY;
  for (const auto& ends : combinations) {
    parts_.push_back({fitted(ends), 0.0});
    best = std::max(best, parts_.back().state->log_chance);
  }
  if (!std::isfinite(best)) {  // no evidence can be weighed: as if nothing were tried
    parts_.clear();
    parts_.push_back({fitted({}), 1.0});
    sides_unknown_ = items.size();
    return;
  }
  double sum = 0.0;
  for (Part& part : parts_) sum += part.weight = std::exp(part.state->log_chance - best);
  std::erase_if(parts_, [&](const Part& part) { return part.weight < least_weight * sum; });
  sum = 0.0;
  for (const Part& part : parts_) sum += part.weight;
  for (Part& part : parts_) part.weight /= sum;
}

ThresholdFit::LiabilityOf ThresholdFit::of(Animal animal) const {
  return of({&animal, 1}).front();
}

std::vector<ThresholdFit::LiabilityOf> ThresholdFit::of(std::span<const Animal> animals,
                                                        const Run& run) const {
  const LiabilityParts parts = liability_parts(first().nodes, animals);
  std::vector<LiabilityOf> result(animals.size());
  const std::size_t block = std::max<std::size_t>(64, animals.size() / 256);  // a room of zeros each
  parallel_blocks(animals.size(), block, run, [&](std::size_t begin, std::size_t end) {
    throw_if_stopped(run);
    std::vector<double> work(first().posterior.nodes(), 0.0);  // all parts have the same nodes
    for (std::size_t a = begin; a < end; ++a) {
      if (parts_.size() == 1) {
        result[a] = liability_of(first(), parts, a, animals[a], work);
        continue;
      }
      double square = 0.0;
      for (const Part& part : parts_) {
        const LiabilityOf one = liability_of(*part.state, parts, a, animals[a], work);
        result[a].mean += part.weight * one.mean;
        result[a].shows += part.weight * one.shows;
        square += part.weight * (one.sd * one.sd + one.mean * one.mean);
      }
      result[a].sd = std::sqrt(std::max(0.0, square - result[a].mean * result[a].mean));
    }
  });
  return result;
}

Grid<KidRisk> ThresholdFit::kids(std::span<const Animal> sires, std::span<const Animal> does,
                                 std::span<const double> litter, const Run& run) const {
  if (litter.size() != does.size()) throw UsageError("faults: litter needs one entry a doe");
  std::vector<Animal> animals(sires.begin(), sires.end());
  animals.insert(animals.end(), does.begin(), does.end());
  std::vector<AskedLiabilities> asked;
  asked.reserve(parts_.size());
  for (const Part& part : parts_) asked.emplace_back(*part.state, animals, true, run);
  const ThresholdScale& scale = first().scale;
  const std::span<const double> f = first().kinship.inbreeding();
  Grid<KidRisk> risks(sires.size(), does.size());
  constexpr std::size_t block = 32;
  parallel_blocks(risks.cells.size(), block, run, [&](std::size_t begin, std::size_t end) {
    throw_if_stopped(run);
    std::vector<WeightedParents> mixture(parts_.size());
    for (std::size_t cell = begin; cell < end; ++cell) {
      const std::size_t s = cell / does.size(), d = cell % does.size();
      const double rest =
          kid_rest_variance(scale.heritability, f[sires[s].position], f[does[d].position]);
      const std::size_t doe = sires.size() + d;
      for (std::size_t p = 0; p < parts_.size(); ++p) {
        mixture[p] = {parts_[p].weight, parents_of(asked[p], s, doe, rest)};
      }
      // Parts differ only where an animal is kin of one whose end was not said.
      const auto alike = [&](const WeightedParents& one) {
        const ParentLiabilities &a = one.parents, &b = mixture.front().parents;
        return a.sire_mean == b.sire_mean && a.doe_mean == b.doe_mean && a.sire_var == b.sire_var &&
               a.doe_var == b.doe_var && a.cov == b.cov;
      };
      std::span<WeightedParents> used = mixture;
      if (std::all_of(mixture.begin(), mixture.end(), alike)) {
        mixture.front().weight = 1.0;
        used = used.first(1);
      }
      risks.cells[cell] = threshold_risk(scale, used, litter[d]);
      risks.cells[cell].method = method_of(asked.front(), s, doe);
    }
  });
  return risks;
}

namespace {

/// Means and a root of the covariances of several animals, to draw from.
class DrawnLiabilities {
 public:
  DrawnLiabilities(const ThresholdState& state, std::span<const Animal> animals)
      : mean_(static_cast<Eigen::Index>(animals.size())) {
    const AskedLiabilities asked(state, animals, true, {});
    Eigen::MatrixXd covariance(mean_.size(), mean_.size());
    for (Eigen::Index i = 0; i < mean_.size(); ++i) {
      mean_[i] = asked.mean(static_cast<std::size_t>(i));
      for (Eigen::Index j = 0; j <= i; ++j) {
        covariance(i, j) = covariance(j, i) =
            asked.covariance(static_cast<std::size_t>(i), static_cast<std::size_t>(j));
      }
    }
    root_.compute(covariance);  // pivoted: one animal may be asked twice
    sd_ = root_.vectorD().cwiseMax(0.0).cwiseSqrt();
  }

  Eigen::VectorXd draw(Stream& stream) const {
    Eigen::VectorXd world(mean_.size());
    for (Eigen::Index i = 0; i < world.size(); ++i) world[i] = sd_[i] * stream.normal();
    world = root_.transpositionsP().transpose() * (root_.matrixL() * world).eval();
    return mean_ + world;
  }

 private:
  Eigen::VectorXd mean_, sd_;
  Eigen::LDLT<Eigen::MatrixXd> root_;
};

}  // namespace

Grid<double> ThresholdFit::draw(std::span<const Animal> animals, std::size_t draws,
                                std::uint64_t seed) const {
  Grid<double> worlds(draws, animals.size());
  if (animals.empty()) return worlds;
  std::vector<std::unique_ptr<const DrawnLiabilities>> of_part;
  for (const Part& part : parts_) {
    of_part.push_back(std::make_unique<const DrawnLiabilities>(*part.state, animals));
  }
  for (std::size_t w = 0; w < draws; ++w) {
    std::size_t p = 0;
    if (parts_.size() > 1) {
      double left = Stream(seed, "ends of " + first().key, w).uniform();
      while (p + 1 < parts_.size() && left >= parts_[p].weight) left -= parts_[p++].weight;
    }
    Stream stream(seed, "liabilities of " + first().key, w);
    const Eigen::VectorXd world = of_part[p]->draw(stream);
    for (std::size_t i = 0; i < animals.size(); ++i) {
      worlds(w, i) = world[static_cast<Eigen::Index>(i)];
    }
  }
  return worlds;
}

bool ThresholdFit::hardly_touched(Animal animal) const {
  const double f = first().kinship.inbreeding()[animal.position];
  const double prior = std::sqrt(first().scale.heritability * (1.0 + f));
  const LiabilityOf known = of(animal);
  return std::abs(known.mean) <= 0.05 * prior && known.sd >= 0.98 * prior;
}

std::span<const ThresholdSite> ThresholdFit::sites() const noexcept {
  return first().named_sites;
}
std::size_t ThresholdFit::liabilities() const noexcept {
  return first().nodes.size();
}
bool ThresholdFit::converged() const noexcept {
  return std::all_of(parts_.begin(), parts_.end(),
                     [](const Part& part) { return part.state->fit.converged; });
}
int ThresholdFit::rounds() const noexcept {
  int most = 0;
  for (const Part& part : parts_) most = std::max(most, part.state->fit.rounds);
  return most;
}
std::size_t ThresholdFit::sides_unknown() const noexcept {
  return sides_unknown_;
}
const ThresholdScale& ThresholdFit::scale() const noexcept {
  return first().scale;
}

}  // namespace doewright
