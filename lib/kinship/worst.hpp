// SPDX-License-Identifier: MIT
#pragma once
#include <cstddef>
#include <span>

#include "state.hpp"

namespace doewright {

/// A pair whose `into->as_recorded` is there.
struct WorstQuestion {
  Animal a, b;
  KidInbreeding* into = nullptr;
};

/// Fills worst, worst_assumes and worst_all_settled of every pair (DEFINITIONS 2, reading 3). All
/// pairs in one call: those with the same unsure sires among their ancestors share the work.
/// Beyond `most_worlds` ways to settle them branch and bound is used, which comes to the same.
void read_worst(const KinshipState& state, std::span<const WorstQuestion> questions, const Run& run,
                std::size_t most_worlds = 4096);

}  // namespace doewright
