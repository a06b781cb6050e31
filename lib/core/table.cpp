// SPDX-License-Identifier: MIT
#include <doewright/core/table.hpp>

namespace doewright {

std::string_view file_name(Table table) noexcept {
  switch (table) {
    case Table::none:
      return "";
    case Table::animals:
      return "animals.csv";
    case Table::possible_sires:
      return "possible_sires.csv";
    case Table::examinations:
      return "examinations.csv";
    case Table::kid_counts:
      return "kid_counts.csv";
    case Table::gene_tests:
      return "gene_tests.csv";
    case Table::records:
      return "records.csv";
    case Table::health_tests:
      return "health_tests.csv";
    case Table::heats:
      return "heats.csv";
    case Table::services:
      return "services.csv";
    case Table::pregnancy_checks:
      return "pregnancy_checks.csv";
    case Table::kiddings:
      return "kiddings.csv";
    case Table::does:
      return "does.csv";
    case Table::sires:
      return "sires.csv";
    case Table::faults:
      return "faults.toml";
    case Table::traits:
      return "traits.toml";
    case Table::season:
      return "season.toml";
  }
  return "";
}

}  // namespace doewright
