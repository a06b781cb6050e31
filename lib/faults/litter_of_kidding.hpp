// SPDX-License-Identifier: MIT
#pragma once
/// Which kids of the book were born at which kidding, and how many kids of it have no row.
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

#include "locus_network.hpp"
#include "survival.hpp"

namespace doewright {

/// Kids of one kidding that are known only by number.
struct LitterWithoutRows {
  Animal doe;
  PairParent sire;  ///< As the kidding says, else that of the kids with rows.
  std::uint32_t dead = 0, living = 0;
  Row row;
};

class LittersOfKiddings {
 public:
  explicit LittersOfKiddings(const Herd& herd);

  /// Was the kid born at a kidding of which kids_born is recorded.
  bool size_known(Animal kid) const;

  /// Dead: kids_born less the smaller of kids_alive and kids_raised, less the dead that have rows, at
  /// most kids_born less the rows. Living: those that kids_raised (else kids_alive) counts and that
  /// have no row. Only kiddings with kids_born (DEFINITIONS 11).
  std::vector<LitterWithoutRows> without_rows(const Survival& survival, double days) const;

 private:
  const Herd& herd_;
  std::vector<std::vector<Animal>> kids_;        // by kidding
  std::vector<std::uint32_t> kidding_of_;        // by animal: index + 1; 0 none
};

}  // namespace doewright
