// SPDX-License-Identifier: MIT
#pragma once
// How F of every node is worked out. Which engine runs hangs on the pedigree alone, so that the
// bits of the result never depend on the number of threads.
#include <cstdint>
#include <vector>

#include <doewright/core/run.hpp>

#include "family.hpp"

namespace doewright {

struct GroupKinship;

/// F of every node (of a stand-in: the mean of its candidates' F, the unlisted rest counting 0),
/// and D(m) of every stand-in, by its number.
struct NodeInbreeding {
  std::vector<double> f;
  std::vector<double> stand_in_own;
};

/// The largest number of parents that are in use at the same time; `limit` + 1 if it is more.
/// The first `groups` nodes are in use from the beginning.
std::uint32_t most_active(const Family& family, std::uint32_t limit, std::uint32_t groups = 0);

/// One pass with a table of the kinships between parents in use; `active` from most_active.
/// With `groups` the first nodes are groups of unknown parents (groups.hpp).
NodeInbreeding active_set_inbreeding(const Family& family, std::uint32_t active, const Run& run,
                                     const GroupKinship* groups = nullptr);

/// One sweep up and down the ancestors of every sire and his mates.
NodeInbreeding sire_wise_inbreeding(const Family& family, const Run& run,
                                    const GroupKinship* groups = nullptr);

/// Chooses between the two.
NodeInbreeding node_inbreeding(const Family& family, const Run& run,
                               const GroupKinship* groups = nullptr);

}  // namespace doewright
