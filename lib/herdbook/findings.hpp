// SPDX-License-Identifier: MIT
#pragma once
#include <string_view>
#include <vector>

#include <doewright/pedigree/pedigree_builder.hpp>

#include "complaints.hpp"

namespace doewright {

/// What building the pedigree noticed becomes complaints. `animals_text` is the text of animals.csv: two
/// rows of one id are compared there.
void complain_of_findings(const BuiltPedigree& built, std::string_view animals_text,
                          std::string_view animals_file, Complaints& complaints);

}  // namespace doewright
