// SPDX-License-Identifier: MIT
#include <doewright/merit/merit.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include <Eigen/Dense>

#include <doewright/core/errors.hpp>
#include <doewright/core/stream.hpp>

#include "trait_model.hpp"

namespace doewright {

namespace {

struct Reliabilities {
  std::vector<float> value, standard_error;
};

double share(double part) {
  return std::clamp(part, 0.0, 1.0);
}

// Each sample gives two looks at a reliability r: the predicted values' variance is r (1 + F) V,
// the errors' (1 - r) (1 + F) V, and the two are independent. Weighted by their precision at a
// first estimate p = P / (P + E), which is never outside of 0..1, r = (e^2 P + p^2 (1 - E)) / (e^2
// + p^2), where P, E are the shares seen and e = 1 - p; its standard error is p e sqrt(2 / samples)
// / sqrt(p^2 + e^2). After Hickey, Veerkamp, Calus, Mulder and Thompson (2009), Genet. Sel. Evol.
// 41:23.
void weigh_looks(double predicted, double errors, std::size_t samples, float& value, float& se) {
  const double p = predicted / (predicted + errors), e = 1.0 - p;
  const double both = p * p + e * e;
  value = static_cast<float>(share((e * e * predicted + p * p * (1.0 - errors)) / both));
  se = static_cast<float>(p * e * std::sqrt(2.0 / static_cast<double>(samples) / both));
}

}  // namespace

struct MeritFit::State {
  State(const Herd& herd, std::vector<TraitIndex> asked, const Kinship& kinship,
        const MeritOptions& options, const Run& run)
      : traits(std::move(asked)), f(kinship.inbreeding().begin(), kinship.inbreeding().end()) {
    plan = plan_traits(herd, traits, f);
    for (const TraitInModel& trait : plan.traits) variances.push_back(trait.variances);
    if (plan.covariance.rows == 0) return;
    fit.emplace(
        trait_model(herd, plan, f),
        MixedModelOptions{.exact_up_to = options.exact_up_to, .tolerance = options.tolerance}, run);
    if (!fit->converged()) plan.notes.push_back({MeritRemark::not_converged, traits.front()});
    effects = fixed_estimates(plan, *fit);
    if (fit->method() == MeritMethod::iterated) {
      estimate_reliabilities(options, run);
    }
    for (TraitInModel& trait : plan.traits) {  // what is needed no more
      trait.records.values = {};
      trait.records.group = {};
      trait.records.age = {};
      for (RecordLevels& levels : trait.records.fixed) levels.of = {};
    }
  }

  void estimate_reliabilities(const MeritOptions& options, const Run& run) {
    const std::size_t n = f.size(), parts = plan.covariance.rows;
    std::vector<double> predicted(n * parts, 0.0), errors(n * parts, 0.0);
    const std::size_t samples = std::max<std::size_t>(2, options.reliability_samples);
    for (std::size_t k = 0; k < samples; ++k) {
      if (run.progress) {
        run.progress("reliabilities", static_cast<double>(k) / static_cast<double>(samples));
      }
      const auto sample = fit->sample(options.seed, k, run);
      for (std::size_t i = 0; i < n * parts; ++i) {  // animals are the first nodes
        const double error = sample.true_values[i] - sample.predicted[i];
        predicted[i] += sample.predicted[i] * sample.predicted[i];
        errors[i] += error * error;
      }
    }
    sampled.value.resize(n * parts);
    sampled.standard_error.resize(n * parts);
    for (std::size_t i = 0; i < n * parts; ++i) {
      const double prior = prior_variance(i / parts, i % parts) * static_cast<double>(samples);
      weigh_looks(predicted[i] / prior, errors[i] / prior, samples, sampled.value[i],
                  sampled.standard_error[i]);
    }
  }

  double prior_variance(std::size_t animal, std::size_t part) const {
    return (1.0 + f[animal]) * plan.covariance(part, part);
  }

  Value value(Animal animal, std::size_t part) const {
    const std::uint32_t unknown = fit->model().genetic(animal, part);
    Value value;
    value.breeding_value = fit->solution()[unknown];
    if (fit->method() == MeritMethod::exact) {
      const double pev = fit->error_variances()[unknown];
      value.reliability = share(1.0 - pev / prior_variance(animal.position, part));
    } else {
      value.reliability = static_cast<double>(sampled.value[unknown]);
      value.reliability_se = static_cast<double>(sampled.standard_error[unknown]);
    }
    return value;
  }

  const TraitInModel& in_model(TraitIndex trait) const {
    for (const TraitInModel& each : plan.traits) {
      if (each.trait == trait) return each;
    }
    throw UsageError("merit: this trait is not in the fit");
  }

  void check(Animal animal) const {
    if (animal.position >= f.size()) throw UsageError("merit: no such animal");
  }

  /// Unknowns by column of a table of animals and traits; no unknown: a trait without variance.
  std::vector<std::optional<std::uint32_t>> unknowns(std::span<const Animal> animals) const {
    std::vector<std::optional<std::uint32_t>> result;
    for (const Animal animal : animals) {
      check(animal);
      for (const TraitInModel& trait : plan.traits) {
        result.push_back(trait.direct ? std::optional(fit->model().genetic(animal, *trait.direct))
                                      : std::nullopt);
      }
    }
    return result;
  }

  std::vector<TraitIndex> traits;
  std::vector<double> f;
  TraitModelPlan plan;
  std::vector<TraitVariances> variances;
  std::optional<MixedModelFit> fit;  ///< None if no trait has variance.
  std::vector<FixedEstimate> effects;
  Reliabilities sampled;
};

MeritFit::MeritFit(const Herd& herd, std::vector<TraitIndex> traits, const Kinship& kinship,
                   const MeritOptions& options, const Run& run) {
  if (traits.empty()) throw UsageError("merit: a fit needs a trait");
  for (std::size_t i = 0; i < traits.size(); ++i) {
    const auto before = traits.begin() + static_cast<std::ptrdiff_t>(i);
    if (traits[i] >= herd.traits.size() || std::find(traits.begin(), before, traits[i]) != before) {
      throw UsageError("merit: a trait that is not there, or is there twice");
    }
  }
  if (kinship.pedigree().size() != herd.pedigree.size()) {
    throw UsageError("merit: the kinship is not that of the herd's pedigree");
  }
  state_ = std::make_shared<State>(herd, std::move(traits), kinship, options, run);
}

std::span<const TraitIndex> MeritFit::traits() const noexcept {
  return state_->traits;
}

MeritFit::Value MeritFit::of(Animal animal, TraitIndex trait) const {
  state_->check(animal);
  const TraitInModel& in_model = state_->in_model(trait);
  Value value;
  if (in_model.direct) value = state_->value(animal, *in_model.direct);
  value.linked = in_model.linked[animal.position];
  value.recorded = in_model.recorded[animal.position];
  return value;
}

std::vector<MeritFit::Value> MeritFit::of(std::span<const Animal> animals, TraitIndex trait) const {
  std::vector<Value> values;
  values.reserve(animals.size());
  for (const Animal animal : animals) values.push_back(of(animal, trait));
  return values;
}

std::optional<MeritFit::Value> MeritFit::maternal(Animal animal, TraitIndex trait) const {
  state_->check(animal);
  const TraitInModel& in_model = state_->in_model(trait);
  if (!in_model.maternal) return std::nullopt;
  Value value = state_->value(animal, *in_model.maternal);
  value.linked = in_model.linked[animal.position];
  value.recorded = in_model.recorded[animal.position];
  return value;
}

std::size_t MeritFit::records(TraitIndex trait) const {
  return state_->in_model(trait).records.size();
}

std::span<const FixedEstimate> MeritFit::effects() const noexcept {
  return state_->effects;
}
std::span<const TraitVariances> MeritFit::variances() const noexcept {
  return state_->variances;
}
std::span<const MeritNote> MeritFit::notes() const noexcept {
  return state_->plan.notes;
}
MeritMethod MeritFit::method() const noexcept {
  return state_->fit ? state_->fit->method() : MeritMethod::exact;
}

Grid<double> MeritFit::error_covariance(std::span<const Animal> animals, const Run& run) const {
  const auto columns = state_->unknowns(animals);
  Grid<double> result(columns.size(), columns.size(), 0.0);
  std::map<std::uint32_t, std::size_t> place;
  for (const auto& unknown : columns) {
    if (unknown) place.emplace(*unknown, 0);
  }
  if (place.empty()) return result;
  std::vector<std::uint32_t> each_once;
  for (auto& [unknown, at] : place) {
    at = each_once.size();
    each_once.push_back(unknown);
  }
  const Grid<double> covariance = state_->fit->error_covariance(each_once, run);
  for (std::size_t i = 0; i < columns.size(); ++i) {
    for (std::size_t j = 0; j < columns.size(); ++j) {
      if (!columns[i] || !columns[j]) continue;
      result(i, j) = covariance(place.at(*columns[i]), place.at(*columns[j]));
    }
  }
  return result;
}

Grid<double> MeritFit::draw(std::span<const Animal> animals, std::size_t draws, std::uint64_t seed,
                            const Run& run) const {
  const auto columns = state_->unknowns(animals);
  Grid<double> result(draws, columns.size(), 0.0);
  const Grid<double> covariance = error_covariance(animals, run);
  // An animal asked for twice makes the table singular: L D L' with pivots takes that.
  const auto n = static_cast<Eigen::Index>(columns.size());
  if (n == 0) return result;
  using Square = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
  const Eigen::MatrixXd table = Eigen::Map<const Square>(covariance.cells.data(), n, n);
  const Eigen::LDLT<Eigen::MatrixXd> factor(table);
  const Eigen::VectorXd scale = factor.vectorD().cwiseMax(0.0).cwiseSqrt();
  const Eigen::MatrixXd lower = factor.matrixL();
  const Eigen::MatrixXd root =
      factor.transpositionsP().transpose() * Eigen::MatrixXd(lower * scale.asDiagonal());
  Eigen::VectorXd mean(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto& unknown = columns[static_cast<std::size_t>(i)];
    mean[i] = unknown ? state_->fit->solution()[*unknown] : 0.0;
  }
  parallel_blocks(draws, 256, run, [&](std::size_t begin, std::size_t end) {
    Eigen::VectorXd normal(n);
    for (std::size_t k = begin; k < end; ++k) {
      Stream stream(seed, "merit.draw", k);
      for (Eigen::Index i = 0; i < n; ++i) normal[i] = stream.normal();
      Eigen::Map<Eigen::VectorXd>(&result(k, 0), n).noalias() = mean + root * normal;
    }
  });
  return result;
}

MeritIndex merit_index(const Herd& herd, std::span<const MeritFit> fits, Animal animal) {
  MeritIndex index;
  for (const MeritFit& fit : fits) {
    for (const TraitIndex trait : fit.traits()) {
      const double value = fit.of(animal, trait).breeding_value;
      index.keep += herd.traits.at(trait).value_keep * value;
      index.meat += herd.traits.at(trait).value_meat * value;
    }
  }
  return index;
}

std::vector<MeritFit> fit_merit(const Herd& herd, const Kinship& kinship,
                                const MeritOptions& options, const Run& run) {
  const std::size_t count = herd.traits.size();
  std::vector<std::size_t> group(count);
  for (std::size_t i = 0; i < count; ++i) group[i] = i;
  const auto root = [&](std::size_t i) {
    while (group[i] != i) i = group[i];
    return i;
  };
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t j = 0; j < count; ++j) {
      const auto found = herd.traits[i].correlations.find(herd.traits[j].key);
      const bool joined = i != j && herd.traits[i].use && herd.traits[j].use &&
                          found != herd.traits[i].correlations.end() && found->second != 0.0;
      if (!joined) continue;
      const std::size_t a = root(i), b = root(j);
      group[std::max(a, b)] = std::min(a, b);
    }
  }
  std::vector<MeritFit> fits;
  for (std::size_t i = 0; i < count; ++i) {
    if (!herd.traits[i].use || root(i) != i) continue;
    std::vector<TraitIndex> together;
    for (std::size_t j = i; j < count; ++j) {
      if (herd.traits[j].use && root(j) == i) together.push_back(static_cast<TraitIndex>(j));
    }
    fits.emplace_back(herd, std::move(together), kinship, options, run);
  }
  return fits;
}

}  // namespace doewright
