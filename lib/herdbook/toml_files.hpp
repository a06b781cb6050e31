// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/problem.hpp>
#include <doewright/herd/fault_model.hpp>
#include <doewright/herd/season.hpp>
#include <doewright/herd/trait.hpp>

namespace doewright {
// Each takes the whole text of a file, the name to put into complaints, and adds to `problems`. What is wrong is left at its default.
Season read_season(std::string_view text, std::string_view file, std::vector<Problem>& problems);
std::vector<FaultModel> read_faults(std::string_view text, std::string_view file, std::vector<Problem>& problems);
std::vector<Trait> read_traits(std::string_view text, std::string_view file, std::vector<Problem>& problems);
// The keeper's entries first, in file order, then built-ins that she did not replace.
std::vector<FaultModel> with_built_in_faults(std::vector<FaultModel> own);
std::vector<Trait> with_built_in_traits(std::vector<Trait> own);
}  // namespace doewright
