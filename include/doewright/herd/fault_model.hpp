// SPDX-License-Identifier: MIT
#pragma once
/// A fault as the keeper's files declare it: what may be found, how it is inherited, what it costs.
///
/// This is the declaration only; the computations are in faults/. Meanings: DEFINITIONS 3 and 4,
/// keys: INTERFACE section 1.
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <doewright/core/table.hpp>
#include <doewright/herd/season.hpp>

namespace doewright {

enum class FaultKind : std::uint8_t { locus, threshold };
enum class Inheritance : std::uint8_t { autosomal, x_linked };
enum class SeenBy : std::uint8_t { birth, weaning, kidding };
enum class Repeat : std::uint8_t { worst, latest };

/// Chance of each grade by copies of the fault allele: `rows[copies][grade]`. Three rows, or two
/// for the hemizygous bucks of an X-linked fault.
struct Penetrance {
  std::vector<std::vector<double>> rows;
};

struct FaultModel {
  std::string key;  ///< As used in the tables.
  std::string name;
  FaultKind kind = FaultKind::threshold;
  std::vector<std::string> grades = {"no", "yes"};
  std::uint8_t wanted = 0;  ///< Index into grades.
  bool use = true;
  SeenBy seen_by = SeenBy::birth;
  Repeat repeat = Repeat::worst;
  std::vector<std::pair<double, double>> detection;  ///< (age in days, chance); empty: always seen.

  // locus
  Inheritance inheritance = Inheritance::autosomal;
  ByBreed allele_frequency;
  std::string same_locus_as;  ///< Key of the entry that gives the frequency; or empty.
  std::optional<Penetrance> shown_doe, shown_buck;  ///< A sex left out is not scored.
  double test_error = 0.005;
  std::optional<double> lethal_by_days;

  // threshold
  double heritability = 0.0;
  std::vector<double> incidence_above;  ///< Both sexes, unless by sex:
  std::vector<double> incidence_above_doe, incidence_above_buck;
  std::optional<double> incidence_worth;

  // money: one number a grade, in the order of grades; empty: the default cost (DEFINITIONS 7)
  std::vector<double> cost_keep, cost_meat;
  double cost_carried = 0.0;

  std::string source;
  bool assumed = false;   ///< `source` says "assumed".
  bool built_in = false;  ///< Not from the keeper's file.
  Row row;
};

}  // namespace doewright
