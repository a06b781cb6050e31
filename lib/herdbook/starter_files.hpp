// SPDX-License-Identifier: MIT
#pragma once
/// The files of lib/herdbook/starter, compiled in.
#include <span>
#include <string_view>

namespace doewright {

struct StarterFile {
  std::string_view name;
  std::string_view text;
};

/// All but faults.toml and traits.toml, which are the built-in entries. By name.
std::span<const StarterFile> starter_files() noexcept;

}  // namespace doewright
