// SPDX-License-Identifier: MIT
#pragma once
/// A case of tests/reference/pedigree: a pedigree, what a published source says of it, and where.
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include <doewright/pedigree/pedigree_builder.hpp>

namespace doewright::testing {

using CsvRows = std::vector<std::map<std::string, std::string>>;

inline std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::string cell;
  std::istringstream in(line);
  while (std::getline(in, cell, ',')) cells.push_back(cell);
  if (!line.empty() && line.back() == ',') cells.emplace_back();
  return cells;
}

/// The reference tables hold no quotes.
inline CsvRows read_csv(const std::filesystem::path& file) {
  std::ifstream in(file);
  std::string line;
  CsvRows rows;
  if (!std::getline(in, line)) return rows;
  const auto names = cells_of(line);
  while (std::getline(in, line)) {
    if (line.empty()) continue;
    const auto cells = cells_of(line);
    auto& row = rows.emplace_back();
    for (std::size_t i = 0; i < names.size(); ++i) row[names[i]] = i < cells.size() ? cells[i] : "";
  }
  return rows;
}

inline double fraction(const std::string& text) {
  const auto bar = text.find('/');
  if (bar == std::string::npos) return std::stod(text);
  return std::stod(text.substr(0, bar)) / std::stod(text.substr(bar + 1));
}

inline BuiltPedigree read_pedigree(const std::filesystem::path& folder) {
  PedigreeBuilder builder;
  for (const auto& row : read_csv(folder / "pedigree.csv")) {
    builder.add(row.at("id"), row.at("sire"), row.at("dam"));
  }
  for (const auto& row : read_csv(folder / "uncertain.csv")) {
    const NamedChance chance{
        .sire = row.at("sire"), .probability = fraction(row.at("probability")), .from = {}};
    builder.add_possible_sires(row.at("id"), "", {&chance, 1});
  }
  return std::move(builder).build();
}

}  // namespace doewright::testing
