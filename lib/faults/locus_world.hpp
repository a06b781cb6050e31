// SPDX-License-Identifier: MIT
#pragma once
/// Genotype probabilities of chosen animals given all evidence at one locus, from the first of these that
/// is within the budget:
/// 1. exact: tables of all animals with evidence, those asked for, and their ancestors;
/// 2. independent draws from such exact tables, where only the pairs would take too long; or from tables
///    of the animals with evidence and their ancestors alone, the others following by descent;
/// 3. a blocked sampler of those, the others following by descent.
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>
#include <doewright/faults/kid_risk.hpp>

#include "drawn_copies.hpp"
#include "factor_tree.hpp"
#include "locus_network.hpp"

namespace doewright {

struct LocusWorldOptions {
  /// Numbers the tables of exact elimination may hold: 40 million is 320 MB, and reached at a width of
  /// about 14.
  double most_entries = 4e7;
  /// Of one block of the sampler.
  double most_block_entries = 1e4;
  /// Of all pairs: entries of the tables times the genotypes on the shorter side.
  double most_pair_work = 3e8;
  std::uint32_t independent_draws = 20000;
  std::uint32_t chains = 4;
  std::uint32_t sweeps = 1000;  ///< A chain, after as many again divided by 10 that are thrown away.
  std::uint64_t seed = 1;
};

struct CopiesOfPairs {
  Grid<JointCopies> joint;                   ///< Row sire, column doe.
  std::shared_ptr<const DrawnCopies> drawn;  ///< None: exact.
};

/// Can all the evidence be true together. As LocusWorld::possible(), without the numbers.
bool can_be_true(const Pedigree& pedigree, const LocusInput& input, const LocusWorldOptions& options,
                 const Run& run);

class LocusWorld {
 public:
  LocusWorld(const Pedigree& pedigree, const LocusInput& input, std::span<const Animal> asked,
             const LocusWorldOptions& options, const Run& run);

  /// False: the records contradict each other. Then nothing else may be asked.
  bool possible() const noexcept { return possible_; }
  Method method() const noexcept { return drawn_ ? Method::sampled : Method::exact; }
  /// What it was sampled from; none: exact.
  const DrawnCopies* drawn() const noexcept { return drawn_.get(); }
  /// Exact only: log of the probability of all evidence.
  double log_total() const noexcept { return tree_ ? tree_->log_total() : 0.0; }
  std::size_t width() const noexcept { return tree_ ? tree_->shape().width() : 0; }
  std::size_t entries() const noexcept { return tree_ ? tree_->shape().entries() : 0; }

  /// Of an animal that was asked for.
  Copies marginal(Animal animal) const;
  CopiesOfPairs pairs(std::span<const Animal> sires, std::span<const Animal> does,
                      const Run& run) const;
  /// Joint draws: row = world, column = animal.
  Grid<std::uint8_t> draw(std::span<const Animal> animals, std::size_t draws, std::uint64_t seed,
                          const Run& run) const;

 private:
  void draw_beyond_tables(const Pedigree& pedigree, const LocusInput& input,
                          const LocusWorldOptions& options, const Run& run);
  Grid<JointCopies> read(std::span<const Animal> sires, std::span<const Animal> does,
                         const Run& run) const;
  std::shared_ptr<const DrawnCopies> draws_of_tree(std::span<const Animal> sires,
                                                   std::span<const Animal> does,
                                                   const Run& run) const;

  LocusWorldOptions options_;
  std::shared_ptr<const LocusNetwork> network_;
  std::shared_ptr<const FactorTree> tree_;    // of everything asked: exact
  std::vector<Animal> asked_;                 // ascending
  std::shared_ptr<const DrawnCopies> drawn_;  // no such tree
  bool possible_ = true;
};

}  // namespace doewright
