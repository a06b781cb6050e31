// SPDX-License-Identifier: MIT
#pragma once
/// possible_sires.csv: kids whose sire is not certain, and which of them share one draw of the
/// sire.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/table.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "animals_table.hpp"
#include "complaints.hpp"
#include "side_tables.hpp"

namespace doewright {

/// One row as written. A sire that is only a mark for "not known" is blank.
struct PossibleRow {
  std::string kid, sire, litter;
  std::optional<double> probability;
  Row row;
};

/// The kids that have a list: of these the reading of animals.csv keeps dam and birth.
KidsById kids_with_lists(std::string_view text);

/// The rows; those of kids that are of a later day are left out and counted.
std::vector<PossibleRow> read_possible_sires(std::string_view text, const KnownIds& known,
                                             std::size_t& left_out, Complaints& complaints);

/// Gives the rows to the builder, each kid with the litter whose draw it shares.
void add_possible_sires(const std::vector<PossibleRow>& rows, const KidsById& kids,
                        const BookFiles& files, PedigreeBuilder& builder);

/// The rows with the chances that the pedigree uses.
std::vector<PossibleSire> used_possible_sires(const std::vector<PossibleRow>& rows,
                                              const Herd& herd);

}  // namespace doewright
