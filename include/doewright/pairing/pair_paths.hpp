// SPDX-License-Identifier: MIT
#pragma once
/// The paths through which the pairs of a table are related, for those who want to see them.
#include <cstddef>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/pairing/pairing.hpp>

namespace doewright {

/// Fills `paths` and `paths_left_out` of every related pair among the first `most_ranks` of each
/// doe and among those to be avoided for kinship: the largest `most_paths` of Wright's paths, from
/// the sire to the doe. Contributions are parts of the kid's F as recorded, not percentages; with
/// paths_left_out they sum to it (but see Kinship::common_ancestors on pedigrees of a breed).
///
/// \pre `table` was scored with this kinship. \throws Cancelled.
/// Cost: Kinship::why() a pair.
DOEWRIGHT_EXPORT void trace_paths(const Kinship& kinship, PairingTable& table,
                                  std::size_t most_paths, std::size_t most_ranks,
                                  const Run& run = {});

}  // namespace doewright
