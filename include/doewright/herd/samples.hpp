// SPDX-License-Identifier: MIT
#pragma once
/// Gene tests, sample by sample: the same animal, laboratory and date, blanks too (DEFINITIONS 3, 11).
#include <span>
#include <vector>

#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

/// The rows of gene_tests.csv of one sample of one gene; never empty.
using GeneSample = std::vector<const GeneTest*>;

/// All samples for the signs of one gene (fault indices), by animal, date and laboratory; rows of one
/// sample in the order of the signs' entries, then of the file. Pointers into `herd`.
/// Cost: a pass over the gene tests and a sort of those that belong.
DOEWRIGHT_EXPORT std::vector<GeneSample> samples_of(const Herd& herd,
                                                    std::span<const FaultIndex> signs);

/// Do all rows of a sample say the same copies. If not, none of them counts.
DOEWRIGHT_EXPORT bool all_read_alike(const GeneSample& sample) noexcept;

}  // namespace doewright
