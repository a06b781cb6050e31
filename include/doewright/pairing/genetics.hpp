// SPDX-License-Identifier: MIT
#pragma once
/// Everything inherited that a decision rests on, fitted once for a herd.
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/core/problem.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/faults/fault_fit.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/merit/merit.hpp>

namespace doewright {

struct GeneticsOptions {
  std::uint64_t seed = 1;  ///< Of draws, and of samplers where exactness is out of reach.
};

/// Fits of one herd. The herd must outlive them.
struct Genetics {
  Kinship kinship;
  std::vector<FaultFit> faults;       ///< One for each fault in use, in the order of herd.faults.
  /// The same with owners' words taken in; empty where no count is told. May be not possible() too.
  std::vector<FaultFit> faults_told;
  std::vector<MeritFit> merit;        ///< Groups of traits with records; the others are nothing known.
};

/// \throws LimitError, Cancelled. Cost: kinship, one fit a locus, a threshold fault and a trait.
DOEWRIGHT_EXPORT Genetics genetics_of(const Herd& herd, const GeneticsOptions& options = {},
                                      const Run& run = {});

/// Records that contradict each other, as problems: one an impossible locus, naming all of its rows.
/// Code `records-contradict`. Empty: all records can be true together.
DOEWRIGHT_EXPORT std::vector<Problem> contradictions(const Herd& herd,
                                                     const std::vector<FaultFit>& faults);

/// What a keeper should mend so that chances are as good as they can be, as warnings: a two-sided fault
/// found without its end (code `grade-unsaid`).
DOEWRIGHT_EXPORT std::vector<Problem> rough_evidence(const Herd& herd,
                                                     const std::vector<FaultFit>& faults);

/// Reads the records of every contradiction as unknown: looks, tests and counts are removed, horns, the
/// sign of an intersex and the numbers of a kidding blanked, survival does not count for lethal faults.
/// False: nothing could be taken out (a parent would have to be wrong).
DOEWRIGHT_EXPORT bool take_out_contradictions(Herd& herd, const std::vector<FaultFit>& faults);

/// The contradictions alone, for a check of the book: no kinship, no threshold faults. Owners' words
/// are taken in only where what was seen can be true together.
DOEWRIGHT_EXPORT std::vector<Problem> contradictions(const Herd& herd, const Run& run = {});

}  // namespace doewright
