// SPDX-License-Identifier: MIT
#pragma once
/// Random pedigrees as rows of ids, in any order of rows. Same seed, same rows.
#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include <doewright/pedigree/pedigree_builder.hpp>

namespace doewright::testing {

struct RandomRow {
  std::string id, sire, dam;
  std::vector<std::string> possible;  // instead of a sire
};

/// Even numbers are bucks. Rows come shuffled.
inline std::vector<RandomRow> random_rows(unsigned seed, std::size_t n, bool unsure) {
  std::mt19937 source(seed);
  const auto below = [&](std::size_t limit) { return static_cast<std::size_t>(source() % limit); };
  const auto name = [](std::size_t i) { return "g" + std::to_string(i); };
  std::vector<RandomRow> rows;
  for (std::size_t i = 0; i < n; ++i) {
    RandomRow row{name(i), "", "", {}};
    if (i > 3 && below(10) < 8) row.dam = name(below(i / 2) * 2 + 1);
    if (i > 3 && below(10) < 8) row.sire = name(below(i / 2) * 2);
    if (unsure && i > 5 && below(8) == 0) {
      row.sire.clear();
      row.possible = {name(0), name(below(i / 2) * 2)};
    }
    rows.push_back(row);
  }
  std::shuffle(rows.begin(), rows.end(), source);
  return rows;
}

inline BuiltPedigree built_from(const std::vector<RandomRow>& rows) {
  PedigreeBuilder builder;
  std::uint32_t line = 2;
  for (const RandomRow& row : rows) builder.add(row.id, row.sire, row.dam, {Table::animals, line++});
  for (const RandomRow& row : rows) {
    std::vector<NamedChance> chances;
    for (const std::string& buck : row.possible) chances.push_back({.sire = buck, .probability = {}, .from = {}});
    if (!chances.empty()) builder.add_possible_sires(row.id, "", chances);
  }
  return std::move(builder).build();
}

}  // namespace doewright::testing
