// SPDX-License-Identifier: MIT
#pragma once
/// The tables of tests/reference/season, by column name; no quotes are understood.
#include <cstdint>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>

namespace doewright::testing {

using SeasonRow = std::map<std::string, std::string>;

inline double number(const SeasonRow& row, const std::string& column) {
  return std::stod(row.at(column));
}

inline std::vector<SeasonRow> season_table(const std::string& name) {
  std::ifstream file(std::string(DOEWRIGHT_SOURCE_DIR) + "/tests/reference/season/" + name);
  REQUIRE_MESSAGE(file.good(), name);
  const auto cells = [](const std::string& line) {
    std::vector<std::string> result;
    std::stringstream stream(line);
    for (std::string cell; std::getline(stream, cell, ',');) result.push_back(cell);
    return result;
  };
  std::vector<std::string> header;
  std::vector<SeasonRow> rows;
  for (std::string line; std::getline(file, line);) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    const std::vector<std::string> cell = cells(line);
    if (header.empty()) {
      header = cell;
      continue;
    }
    SeasonRow row;
    for (std::size_t k = 0; k < header.size() && k < cell.size(); ++k) row[header[k]] = cell[k];
    rows.push_back(row);
  }
  REQUIRE_FALSE(rows.empty());
  return rows;
}

/// Uniform numbers in [0, 1), the same everywhere (splitmix64).
class TestDraws {
 public:
  explicit TestDraws(std::uint64_t seed) : state_(seed) {}
  double operator()() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1p-53;
  }
  std::size_t below(std::size_t n) { return static_cast<std::size_t>((*this)() * double(n)); }

 private:
  std::uint64_t state_;
};

}  // namespace doewright::testing
