// SPDX-License-Identifier: MIT
#include "drawn_copies.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

constexpr std::size_t batches_a_chain = 8;  // long ones: neighbouring sweeps are alike
// Student's t over the normal's 1.96 for 31 degrees of freedom: the error is itself estimated.
constexpr double few_batches = 2.0395 / 1.96;
constexpr double sweeps_worth_one = 3.0;  // of a chain, where nothing better is known: 967 of 1,000 held

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

double mean_over(const JointCopies& joint, const std::array<double, 9>& f) {
  double sum = 0.0;
  double all = 0.0;
  for (std::size_t cell = 0; cell < 9; ++cell) {
    sum += joint[cell] * f[cell];
    all += joint[cell];
  }
  return sum / all;
}

}  // namespace

DrawnCopies::DrawnCopies(std::vector<Animal> animals, Grid<std::uint8_t> copies,
                         std::uint32_t chains)
    : animals_(std::move(animals)), copies_(std::move(copies)), chains_(chains) {}

std::size_t DrawnCopies::row(Animal animal) const {
  const auto place = std::lower_bound(animals_.begin(), animals_.end(), animal);
  if (place == animals_.end() || *place != animal) throw UsageError("genotypes: not asked for");
  return static_cast<std::size_t>(place - animals_.begin());
}

Copies DrawnCopies::marginal(Animal animal) const {
  Copies result{};
  const std::size_t r = row(animal);
  for (std::size_t draw = 0; draw < draws(); ++draw) result[copies_(r, draw)] += 1.0;
  for (double& p : result) p /= static_cast<double>(draws());
  return result;
}

JointCopies DrawnCopies::Counts::joint() const {
  JointCopies result{};
  double all = 0.0;
  for (const JointCopies& batch : batches) {
    for (std::size_t cell = 0; cell < 9; ++cell) {
      result[cell] += batch[cell];
      all += batch[cell];
    }
  }
  for (double& p : result) p /= all;
  return result;
}

DrawnCopies::Counts DrawnCopies::counts(Animal a, Animal b) const {
  const std::uint8_t* const of_a = &copies_(row(a), 0);
  const std::uint8_t* const of_b = &copies_(row(b), 0);
  Counts result;
  const auto count = [&](std::size_t begin, std::size_t end) {
    std::array<std::uint32_t, 9> seen{};
    for (std::size_t draw = begin; draw < end; ++draw) ++seen[3u * of_a[draw] + of_b[draw]];
    std::copy(seen.begin(), seen.end(), result.batches.emplace_back().begin());
  };
  if (chains_ == 0) {
    count(0, draws());
    return result;
  }
  const std::size_t sweeps = draws() / chains_;
  const std::size_t batches = std::min(batches_a_chain, sweeps);
  for (std::size_t chain = 0; chain < chains_; ++chain) {
    for (std::size_t k = 0; k < batches; ++k) {
      count(chain * sweeps + k * sweeps / batches, chain * sweeps + (k + 1) * sweeps / batches);
    }
  }
  return result;
}

DrawnCopies::Estimate DrawnCopies::estimate(const Counts& counts,
                                            const std::array<double, 9>& f) const {
  const JointCopies joint = counts.joint();
  std::array<double, 9> squares{};
  for (std::size_t cell = 0; cell < 9; ++cell) squares[cell] = f[cell] * f[cell];
  Estimate result;
  result.mean = mean_over(joint, f);
  const double variance = std::max(0.0, mean_over(joint, squares) - result.mean * result.mean);
  const auto all = static_cast<double>(draws());
  const double worth = chains_ == 0 ? all : all / sweeps_worth_one;
  // What was hardly ever seen is not impossible: as after half a sighting in so many independent
  // draws, sqrt(p (1 - p) / n) with p = 1 / (2 n) is 0.7 / n.
  const auto [low, high] = std::minmax_element(f.begin(), f.end());
  const double floor = (*high - *low) * 0.7 / std::max(1.0, worth);
  if (chains_ == 0) {
    result.standard_error = std::max(std::sqrt(variance / all), floor);
    result.effective_draws = all;
    return result;
  }
  std::vector<double> means, chain_means;
  for (const JointCopies& batch : counts.batches) means.push_back(mean_over(batch, f));
  const std::size_t a_chain = means.size() / chains_;
  for (std::size_t chain = 0; chain < chains_; ++chain) {
    chain_means.push_back(mean_of(std::span(means).subspan(chain * a_chain, a_chain)));
  }
  // Chains that have not met yet differ by more than their batches do.
  result.standard_error =
      std::max({few_batches * error_of_mean(means), error_of_mean(chain_means), floor});
  result.effective_draws =
      std::min(all, variance / (result.standard_error * result.standard_error));
  return result;
}

}  // namespace doewright
