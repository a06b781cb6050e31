// SPDX-License-Identifier: MIT
#pragma once
/// Genotype probabilities of chosen animals given all evidence at one locus: exact where the tables
/// fit, else by a blocked sampler.
#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>
#include <doewright/faults/kid_risk.hpp>

#include "locus_network.hpp"

namespace doewright {

struct LocusWorldOptions {
  /// Numbers the tables of exact elimination may hold: 40 million is 320 MB, and reached at a width of
  /// about 14.
  double most_entries = 4e7;
  /// Of one block of the sampler.
  double most_block_entries = 1e4;
  std::uint32_t chains = 4;
  std::uint32_t sweeps = 1000;  ///< A chain, after as many again divided by 10 that are thrown away.
  std::uint64_t seed = 1;
};

/// P(sire has i copies, doe has j) at 3 i + j.
using JointCopies = std::array<double, 9>;

class LocusWorld {
 public:
  LocusWorld(const Pedigree& pedigree, const LocusInput& input, std::span<const Animal> asked,
             const LocusWorldOptions& options, const Run& run);

  /// False: the records contradict each other. Then nothing else may be asked.
  bool possible() const noexcept { return possible_; }
  Method method() const noexcept { return method_; }
  std::size_t width() const noexcept { return width_; }
  std::size_t entries() const noexcept { return tree_ ? tree_->shape().entries() : 0; }

  /// Of an animal that was asked for.
  Copies marginal(Animal animal) const;
  Grid<JointCopies> pairs(std::span<const Animal> sires, std::span<const Animal> does,
                          const Run& run) const;
  /// Joint draws: row = world, column = animal.
  Grid<std::uint8_t> draw(std::span<const Animal> animals, std::size_t draws, std::uint64_t seed,
                          const Run& run) const;

  /// Sampled only: mean and standard error of f(copies of a, copies of b) over the chains' batches.
  struct Estimate {
    double mean = 0.0, standard_error = 0.0;
  };
  Estimate estimate(Animal a, Animal b, const std::array<double, 9>& f) const;

 private:
  void sample(const LocusWorldOptions& options, const Run& run);
  std::size_t column(Animal animal) const;

  std::shared_ptr<const LocusNetwork> network_;
  std::shared_ptr<const FactorTree> tree_;  // exact
  std::vector<Animal> asked_;               // ascending
  Grid<std::uint8_t> samples_;              // sampled: copies, row = sweep of all chains, column = asked
  std::uint32_t chains_ = 0;
  bool possible_ = true;
  Method method_ = Method::exact;
  std::size_t width_ = 0;
};

}  // namespace doewright
