// SPDX-License-Identifier: MIT
#pragma once
/// What building the pedigree noticed, in words and with the place of the cell that is meant.
#include <string>
#include <string_view>
#include <unordered_set>

#include <doewright/pedigree/pedigree_builder.hpp>

#include "complaints.hpp"

namespace doewright {

/// The tables that name parents.
struct ParentTables {
  std::string_view animals_text, animals_file;
  std::string_view possible_sires_text;
  /// Ids of animals.csv whose rows are left out, for they are born after as-of.
  const std::unordered_set<std::string>& left_out;
};

/// \param questions  also ask whether a parent without a row is a slip for an animal that has one.
void complain_of_findings(const BuiltPedigree& built, const ParentTables& tables, bool questions,
                          Complaints& complaints);

}  // namespace doewright
