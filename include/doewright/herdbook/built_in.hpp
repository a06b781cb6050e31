// SPDX-License-Identifier: MIT
#pragma once
/// The built-in faults and traits: files in the form of faults.toml and traits.toml.
#include <string_view>

#include <doewright/export.hpp>

namespace doewright {

/// TOML text, each entry with a source for every number or the word "assumed". `start` writes them
/// out.
DOEWRIGHT_EXPORT std::string_view built_in_faults_toml() noexcept;
DOEWRIGHT_EXPORT std::string_view built_in_traits_toml() noexcept;

}  // namespace doewright
