// SPDX-License-Identifier: MIT
#pragma once
/// Chance of being the best sire for a doe: every uncertain thing drawn jointly, many times.
#include <cstdint>
#include <vector>

#include <doewright/core/run.hpp>
#include <doewright/pairing/genetics.hpp>
#include <doewright/pairing/pairing.hpp>

#include "valuation.hpp"

namespace doewright {

/// What the drawing needs of each pair, by offer and doe.
struct WorldsInput {
  const Herd& herd;
  const Genetics& genetics;
  const KidPrices& prices;
  std::vector<Animal> sires, does;
  Grid<PairInputs> pairs;  ///< [offer][doe]
};

/// Fills chance_best, its standard error, regret and tied_with of every pair that is not `avoid`.
/// Accounts of a doe in order of rank.
void draw_worlds(const WorldsInput& input, std::size_t draws, std::uint64_t seed,
                 std::vector<DoeAccount>& does, const Run& run);

}  // namespace doewright
