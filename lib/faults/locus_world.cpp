// SPDX-License-Identifier: MIT
#include "locus_world.hpp"

#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>
#include <doewright/core/stream.hpp>

#include "blocked_sampler.hpp"

namespace doewright {

namespace {

constexpr std::uint32_t batches_a_chain = 8;  // long ones: neighbouring sweeps are alike
// Student's t over the normal's 1.96 for 31 degrees of freedom: the error is itself estimated.
constexpr double few_batches = 2.0395 / 1.96;
constexpr double good_enough = 2e4;            // entries: looking for a better order costs more
constexpr std::size_t try_fill_up_to = 3000;  // variables: the fill-in order is slow beyond

double mean_of(std::span<const double> values) {
  double sum = 0.0;
  for (const double value : values) sum += value;
  return sum / static_cast<double>(values.size());
}

/// Standard error of the mean of values that do not depend on each other.
double error_of_mean(std::span<const double> values) {
  const double mean = mean_of(values);
  double squares = 0.0;
  for (const double value : values) squares += (value - mean) * (value - mean);
  const auto count = static_cast<double>(values.size());
  return count > 1.0 ? std::sqrt(squares / (count - 1.0) / count) : 0.0;
}

}  // namespace

LocusWorld::LocusWorld(const Pedigree& pedigree, const LocusInput& input,
                       std::span<const Animal> asked, const LocusWorldOptions& options,
                       const Run& run)
    : network_(std::make_shared<const LocusNetwork>(pedigree, input, asked)),
      asked_(asked.begin(), asked.end()) {
  std::sort(asked_.begin(), asked_.end());
  asked_.erase(std::unique(asked_.begin(), asked_.end()), asked_.end());
  if (!network_->possible()) {
    possible_ = false;
    return;
  }
  const auto& states = network_->states();
  const auto& factors = network_->factors();
  std::vector<std::uint32_t> order = minimum_degree_order(states.size(), factors);
  double entries = entries_of_order(states, factors, order, options.most_entries);
  if (entries > good_enough && states.size() <= try_fill_up_to) {
    std::vector<std::uint32_t> other = minimum_fill_order(states.size(), factors);
    const double of_other = entries_of_order(states, factors, other, entries);
    if (of_other < entries) {
      order = std::move(other);
      entries = of_other;
    }
  }
  if (entries > options.most_entries) {
    sample(options, run);
    return;
  }
  throw_if_too_big(run, static_cast<std::size_t>(entries) * 12, "genotype probabilities");
  auto shape = std::make_shared<const TreeShape>(states, factors, order);
  width_ = shape->width();
  tree_ = std::make_shared<const FactorTree>(std::move(shape), factors, run);
  possible_ = tree_->possible();
}

void LocusWorld::sample(const LocusWorldOptions& options, const Run& run) {
  method_ = Method::sampled;
  chains_ = options.chains;
  const BlockedSampler sampler(network_->states(), network_->factors(),
                               options.most_block_entries);
  samples_ = Grid<std::uint8_t>(std::size_t{options.chains} * options.sweeps, asked_.size());
  std::vector<std::uint8_t> found(options.chains, 1);
  parallel_blocks(options.chains, 1, run, [&](std::size_t begin, std::size_t) {
    const auto chain = static_cast<std::uint32_t>(begin);
    auto state = sampler.beginning(options.seed, chain, run);
    if (!state) {
      found[chain] = 0;
      return;
    }
    Stream stream(options.seed, "a chain of genotypes", chain);
    const auto uniform = [&] { return stream.uniform(); };
    for (std::uint32_t k = 0; k < options.sweeps / 10 + 1; ++k) sampler.sweep(*state, uniform, run);
    for (std::uint32_t k = 0; k < options.sweeps; ++k) {
      throw_if_stopped(run);
      sampler.sweep(*state, uniform, run);
      const std::size_t row = std::size_t{chain} * options.sweeps + k;
      for (std::size_t a = 0; a < asked_.size(); ++a) {
        const auto& copies = network_->copies(asked_[a]);
        const auto variable = network_->variable(asked_[a]);
        samples_(row, a) = variable ? copies[(*state)[*variable]] : copies.front();
      }
    }
  });
  // A state of positive probability that nobody found: said as impossible, which is then looked into.
  possible_ = std::find(found.begin(), found.end(), 0) == found.end();
}

std::size_t LocusWorld::column(Animal animal) const {
  const auto place = std::lower_bound(asked_.begin(), asked_.end(), animal);
  if (place == asked_.end() || *place != animal) throw UsageError("genotypes: not asked for");
  return static_cast<std::size_t>(place - asked_.begin());
}

Copies LocusWorld::marginal(Animal animal) const {
  Copies result{};
  if (method_ == Method::sampled) {
    const std::size_t c = column(animal);
    for (std::size_t row = 0; row < samples_.rows; ++row) result[samples_(row, c)] += 1.0;
    for (double& p : result) p /= static_cast<double>(samples_.rows);
    return result;
  }
  const auto& copies = network_->copies(animal);
  const auto variable = network_->variable(animal);
  if (!variable) {
    result[copies.front()] = 1.0;
    return result;
  }
  const std::vector<double> p = tree_->marginal(*variable);
  for (std::size_t k = 0; k < copies.size(); ++k) result[copies[k]] = p[k];
  return result;
}

Grid<JointCopies> LocusWorld::pairs(std::span<const Animal> sires, std::span<const Animal> does,
                                    const Run& run) const {
  Grid<JointCopies> result(sires.size(), does.size());
  if (method_ == Method::sampled) {
    for (std::size_t s = 0; s < sires.size(); ++s) {
      const std::size_t of_sire = column(sires[s]);
      for (std::size_t d = 0; d < does.size(); ++d) {
        const std::size_t of_doe = column(does[d]);
        JointCopies& joint = result(s, d);
        joint.fill(0.0);
        for (std::size_t row = 0; row < samples_.rows; ++row) {
          joint[3u * samples_(row, of_sire) + samples_(row, of_doe)] += 1.0;
        }
        for (double& p : joint) p /= static_cast<double>(samples_.rows);
      }
    }
    return result;
  }
  std::vector<std::uint32_t> targets;
  std::vector<std::size_t> target_of(does.size(), does.size());
  for (std::size_t d = 0; d < does.size(); ++d) {
    if (const auto variable = network_->variable(does[d])) {
      target_of[d] = targets.size();
      targets.push_back(*variable);
    }
  }
  const PairReader reader(*tree_, targets);
  parallel_blocks(sires.size(), 1, run, [&](std::size_t s, std::size_t) {
    throw_if_stopped(run);
    const auto sire_variable = network_->variable(sires[s]);
    const auto& sire_copies = network_->copies(sires[s]);
    std::vector<std::vector<double>> joint;
    if (sire_variable) joint = reader.with(*sire_variable);
    for (std::size_t d = 0; d < does.size(); ++d) {
      JointCopies& cell = result(s, d);
      cell.fill(0.0);
      const auto& doe_copies = network_->copies(does[d]);
      if (!sire_variable || target_of[d] == does.size()) {
        const Copies of_sire = marginal(sires[s]);
        const Copies of_doe = marginal(does[d]);
        for (std::size_t i = 0; i < 3; ++i) {
          for (std::size_t j = 0; j < 3; ++j) cell[3 * i + j] = of_sire[i] * of_doe[j];
        }
        continue;
      }
      for (std::size_t i = 0; i < sire_copies.size(); ++i) {
        for (std::size_t j = 0; j < doe_copies.size(); ++j) {
          cell[3u * sire_copies[i] + doe_copies[j]] =
              joint[target_of[d]][i * doe_copies.size() + j];
        }
      }
    }
  });
  return result;
}

Grid<std::uint8_t> LocusWorld::draw(std::span<const Animal> animals, std::size_t draws,
                                    std::uint64_t seed, const Run& run) const {
  Grid<std::uint8_t> result(draws, animals.size());
  if (method_ == Method::sampled) {
    for (std::size_t w = 0; w < draws; ++w) {
      const std::size_t row = draws <= samples_.rows ? w * samples_.rows / draws : w % samples_.rows;
      for (std::size_t a = 0; a < animals.size(); ++a) {
        result(w, a) = samples_(row, column(animals[a]));
      }
    }
    return result;
  }
  parallel_blocks(draws, 64, run, [&](std::size_t begin, std::size_t end) {
    throw_if_stopped(run);
    std::vector<std::uint8_t> by_place;
    for (std::size_t w = begin; w < end; ++w) {
      Stream stream(seed, "worlds of genotypes", w);
      tree_->draw(by_place, [&] { return stream.uniform(); });
      for (std::size_t a = 0; a < animals.size(); ++a) {
        const auto variable = network_->variable(animals[a]);
        const auto& copies = network_->copies(animals[a]);
        result(w, a) = variable ? copies[tree_->drawn(*variable, by_place)] : copies.front();
      }
    }
  });
  return result;
}

LocusWorld::Estimate LocusWorld::estimate(Animal a, Animal b,
                                          const std::array<double, 9>& f) const {
  const std::size_t of_a = column(a);
  const std::size_t of_b = column(b);
  const std::size_t sweeps = samples_.rows / chains_;
  const std::size_t batch = std::max<std::size_t>(1, sweeps / batches_a_chain);
  std::vector<double> means, chain_means;
  double total = 0.0;
  for (std::size_t chain = 0; chain < chains_; ++chain) {
    const std::size_t first = means.size();
    for (std::size_t begin = 0; begin + batch <= sweeps; begin += batch) {
      double sum = 0.0;
      for (std::size_t k = begin; k < begin + batch; ++k) {
        const std::size_t row = chain * sweeps + k;
        sum += f[3u * samples_(row, of_a) + samples_(row, of_b)];
      }
      means.push_back(sum / static_cast<double>(batch));
      total += means.back();
    }
    chain_means.push_back(mean_of(std::span(means).subspan(first)));
  }
  Estimate result;
  const auto count = static_cast<double>(means.size());
  result.mean = total / count;
  const double by_batches = error_of_mean(means);
  // What was hardly ever seen is not impossible: as after half a sighting in sweeps of which ten are
  // worth one, sqrt(p (1 - p) / n) with p = 1 / (2 n) is 0.7 / n.
  const auto [low, high] = std::minmax_element(f.begin(), f.end());
  const double worth = static_cast<double>(samples_.rows) / 10.0;
  const double floor = (*high - *low) * 0.7 / std::max(1.0, worth);
  // Chains that have not met yet differ by more than their batches do.
  const double by_chains = error_of_mean(chain_means);
  result.standard_error = std::max({few_batches * by_batches, by_chains, floor});
  return result;
}

}  // namespace doewright
