// SPDX-License-Identifier: MIT
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "demand.hpp"
#include "herdbook/toml_files.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  std::vector<doewright::Problem> problems;
  doewright::read_season(text, "season.toml", problems);
  doewright::read_faults(text, "faults.toml", problems);
  doewright::read_traits(text, "traits.toml", problems);
  for (const doewright::Problem& problem : problems) demand_sound(problem, lines_of(text));
  return 0;
}
