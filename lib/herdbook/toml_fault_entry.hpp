// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <string_view>

#include <doewright/herd/fault_model.hpp>

#include "toml_reader.hpp"

namespace doewright {

/// One entry of faults.toml. Nothing, after complaints, if what is wrong leaves no model to compute
/// with. `names_built_in` only chooses the words of a remedy.
std::optional<FaultModel> read_fault_entry(TomlTable& table, std::string_view key,
                                           bool names_built_in);

}  // namespace doewright
