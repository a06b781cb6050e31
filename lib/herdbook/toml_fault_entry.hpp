// SPDX-License-Identifier: MIT
#pragma once
#include <string_view>

#include <doewright/herd/fault_model.hpp>

#include "toml_reader.hpp"

namespace doewright {

struct FaultEntry {
  FaultModel model;
  bool usable = true;  ///< False, after complaints: what is wrong leaves no model to compute with.
};

/// One entry of faults.toml. `names_built_in` only chooses the words of a remedy.
FaultEntry read_fault_entry(TomlTable& table, std::string_view key, bool names_built_in);

}  // namespace doewright
