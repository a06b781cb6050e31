// SPDX-License-Identifier: MIT
#pragma once
/// A trait as the keeper's files declare it. The computations are in merit/.
#include <map>
#include <optional>
#include <string>
#include <vector>

#include <doewright/core/table.hpp>

namespace doewright {

enum class ShownBy : std::uint8_t { both, does };
enum class RecordsFrom : std::uint8_t { records, kiddings };

struct Trait {
  std::string key;
  std::string name;
  std::string unit;
  std::optional<double> mean;
  double heritability = 0.0;
  double phenotypic_sd = 0.0;  ///< Within the fixed effects.
  std::optional<double> repeatability;
  double litter_share = 0.0;
  double maternal_heritability = 0.0;
  double direct_maternal_correlation = 0.0;
  std::vector<std::string> fixed;  ///< sex, group, birth_type, parity, year, age_days.
  ShownBy shown_by = ShownBy::both;
  double value_keep = 0.0, value_meat = 0.0;   ///< Money a unit, by fate of the kid.
  double per_percent_inbreeding = 0.0;         ///< Signed change of the kid per 1 % F, added.
  std::map<std::string, double> correlations;  ///< Key of the other trait: genetic correlation.
  RecordsFrom from = RecordsFrom::records;
  bool use = true;
  std::string source;
  bool assumed = false;
  bool built_in = false;
  Row row;
};

}  // namespace doewright
