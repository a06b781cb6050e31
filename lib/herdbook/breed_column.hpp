// SPDX-License-Identifier: MIT
#pragma once
/// The column `breed`: a name, or shares such as "boer:3/4 nubian:1/4". Each different cell is kept
/// once.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include <doewright/herd/animal_facts.hpp>

#include "table_reader.hpp"

namespace doewright {

class BreedColumn {
 public:
  /// The number of the cell's mix; 0 if it is blank or cannot be read (said).
  std::uint32_t read(TableReader& table, std::size_t column);
  void give(AnimalFacts& facts) &&;

 private:
  struct Part {
    std::string_view name;
    double share;
  };
  static std::optional<std::vector<Part>> parts_of(std::string_view cell);
  std::optional<std::vector<BreedShare>> mix_of(const std::vector<Part>& parts);

  std::vector<std::string> names_;
  std::vector<std::vector<BreedShare>> mixes_ = {{}};
  std::unordered_map<std::string, std::uint32_t> name_numbers_;  // lower case
  std::unordered_map<std::string, std::uint32_t> mix_numbers_;   // the cell as written
};

}  // namespace doewright
