// SPDX-License-Identifier: MIT
#pragma once
/// P(asked = i, target = j given everything) of many asked variables with many targets, read from one
/// calibrated tree.
///
/// Every clique hands on, for each assignment of the variables it shares with a neighbour, the chances
/// of all asked variables on its side: once up and once down the tree for a batch of them at once, the
/// batch in the inner loop. Cost: for each entry of the tables on the way one multiplication a state of
/// every asked variable and neighbour that leads to a target.
#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>

#include "factor_tree.hpp"

namespace doewright {

/// At 3 i + j: asked in its state i, target in its state j.
using PairStates = std::array<double, 9>;

/// \pre asked and targets have at most three states and appear once in their list each.
Grid<PairStates> read_pairs(const FactorTree& tree, std::span<const std::uint32_t> asked,
                            std::span<const std::uint32_t> targets, const Run& run);

}  // namespace doewright
