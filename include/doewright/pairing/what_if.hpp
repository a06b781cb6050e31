// SPDX-License-Identifier: MIT
#pragma once
/// The table of pairs as it would be if one more thing were known.
#include <cstddef>
#include <optional>
#include <vector>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/pairing/genetics.hpp>
#include <doewright/pairing/pairing.hpp>

namespace doewright {

/// A copy of the book in which only this fault, and other signs of the same gene, are in use: for
/// refitted(). Add the records that might be found to it.
DOEWRIGHT_EXPORT Herd for_one_fault(const Herd& herd, FaultIndex fault);

/// `before` with the faults in use in `herd` fitted again. `herd`: for_one_fault() with other
/// records; it must outlive the answer. \throws LimitError, Cancelled. Cost: those fits.
DOEWRIGHT_EXPORT Genetics refitted(const Genetics& before, const Herd& herd,
                                   const GeneticsOptions& options = {}, const Run& run = {});

struct WhatIf {
  std::vector<FaultIndex> faults;  ///< Chances of these are taken anew from the genetics given.
  /// The blanks in this sire's pedigree would turn out to hold nobody related to any doe: used =
  /// as_recorded. The best that papers can say of inbreeding.
  std::optional<std::size_t> papers_of;
};

/// The table with those chances, verdicts, fates and values worked out anew. Everything else
/// (order, ranks, reasons, chance_best, close calls) is still that of `table`. \pre `table` is
/// score()'s of this herd; \pre the fits of the faults named are possible().
DOEWRIGHT_EXPORT PairingTable revalued(const Herd& herd, const Genetics& genetics,
                                       const PairingTable& table, const WhatIf& what,
                                       const Run& run = {});

}  // namespace doewright
