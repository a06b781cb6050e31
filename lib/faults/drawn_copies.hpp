// SPDX-License-Identifier: MIT
#pragma once
/// Worlds of genotypes drawn from the posterior, and what can be estimated from them.
#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/grid.hpp>

#include "locus_network.hpp"

namespace doewright {

/// P(sire has i copies, doe has j) at 3 i + j.
using JointCopies = std::array<double, 9>;

class DrawnCopies {
 public:
  /// `copies`: row = animal, in the order of `animals` (ascending), column = draw, chain after chain.
  /// `chains` 0: every draw is independent of the others.
  DrawnCopies(std::vector<Animal> animals, Grid<std::uint8_t> copies, std::uint32_t chains);

  std::size_t draws() const noexcept { return copies_.columns; }
  std::uint8_t copies(Animal animal, std::size_t draw) const { return copies_(row(animal), draw); }

  Copies marginal(Animal animal) const;

  /// Counts of both animals' copies, batch after batch of neighbouring draws (independent draws: one).
  struct Counts {
    std::vector<JointCopies> batches;
    JointCopies joint() const;  ///< Shares.
  };
  Counts counts(Animal a, Animal b) const;

  struct Estimate {
    double mean = 0.0, standard_error = 0.0;
    double effective_draws = 0.0;  ///< Independent draws that would tell as much.
  };
  /// Mean of f(copies of a, copies of b).
  Estimate estimate(const Counts& counts, const std::array<double, 9>& f) const;

 private:
  std::size_t row(Animal animal) const;

  std::vector<Animal> animals_;
  Grid<std::uint8_t> copies_;
  std::uint32_t chains_;
};

}  // namespace doewright
