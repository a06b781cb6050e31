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
/// `most_kept_bytes` of rows are kept from one pair to the next; it changes no result.
void read_worst(const KinshipState& state, std::span<const WorstQuestion> questions, const Run& run,
                std::size_t most_kept_bytes = std::size_t{400} << 20);

}  // namespace doewright
