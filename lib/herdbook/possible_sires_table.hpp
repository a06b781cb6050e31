// SPDX-License-Identifier: MIT
#pragma once
/// possible_sires.csv: kids whose sire is not certain, and which of them share one draw of the sire.
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include <doewright/core/table.hpp>
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

std::vector<PossibleRow> read_possible_sires(std::string_view text, Complaints& complaints);

/// Gives the rows to the builder, each kid with the litter whose draw it shares: that of its own column,
/// else by DEFINITIONS 1 from dams, births, kiddings and services.
void add_possible_sires(const std::vector<PossibleRow>& rows,
                        const std::unordered_map<std::string, KidFacts>& kids, const BookFiles& files,
                        PedigreeBuilder& builder);

}  // namespace doewright
