// SPDX-License-Identifier: MIT
#pragma once
/// A case of tests/reference/faults-and-merit as a MixedModel: its model.json, pedigree and
/// records.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include <doewright/kinship/inbreeding.hpp>
#include <doewright/merit/mixed_model.hpp>

#include "kinship/reference_case.hpp"

namespace doewright::testing {

inline std::filesystem::path merit_reference() {
  return std::filesystem::path(DOEWRIGHT_SOURCE_DIR) / "tests/reference/faults-and-merit";
}

struct PublishedModel {
  BuiltPedigree built;
  std::vector<double> f;
  std::map<std::string, std::uint32_t> unknown;  ///< "sex:M", "animal:3": number of the unknown.
  std::vector<MixedModel> model;                 ///< One.
};

/// Levels of a column in the order in which they first stand in the records.
inline std::vector<std::string> levels_of(const CsvRows& records, const std::string& column) {
  std::vector<std::string> levels;
  for (const auto& row : records) {
    if (std::find(levels.begin(), levels.end(), row.at(column)) == levels.end()) {
      levels.push_back(row.at(column));
    }
  }
  return levels;
}

inline PublishedModel published_model(const std::filesystem::path& folder) {
  std::ifstream file(folder / "model.json");
  const auto json = nlohmann::json::parse(file);
  PublishedModel p{read_pedigree(folder), {}, {}, {}};
  p.f = inbreeding(p.built.pedigree);
  CsvRows records = read_csv(folder / "records.csv");
  for (auto& row : records) row["mean"] = "1";

  // Columns that the source sets to zero come last: then they are those that say nothing more.
  std::vector<std::string> fixed;
  for (const std::string name : json.at("fixed")) {
    for (const auto& level : levels_of(records, name)) fixed.push_back(name + ":" + level);
  }
  const auto zero = json.value("set_to_zero", std::vector<std::string>{});
  std::stable_partition(fixed.begin(), fixed.end(), [&](const std::string& each) {
    return std::find(zero.begin(), zero.end(), each) == zero.end();
  });

  Grid<double> covariance(1, 1);
  std::vector<IndependentEffects> independent;
  std::vector<std::pair<std::string, std::string>> blocks;  // name, column
  std::string genetic = "animal", column = "animal";
  for (const auto& effect : json.at("random")) {
    if (effect.at("type") == "iid") {
      const std::string of = effect.at("column");
      blocks.emplace_back(effect.at("name"), of);
      independent.push_back(
          {static_cast<std::uint32_t>(levels_of(records, of).size()), effect.at("variance")});
    } else if (effect.at("type") == "direct_maternal") {
      covariance = Grid<double>(2, 2);
      for (std::size_t i = 0; i < 2; ++i) {
        for (std::size_t j = 0; j < 2; ++j) covariance(i, j) = effect.at("covariance")[i][j];
      }
      genetic = "direct";
    } else {
      covariance(0, 0) = effect.at("variance");
      genetic = effect.at("name");
      column = effect.at("column");
    }
  }
  MixedModel model(p.built.pedigree, p.f, covariance, static_cast<std::uint32_t>(fixed.size()),
                   independent, {json.at("residual_variance")});
  for (std::uint32_t c = 0; c < fixed.size(); ++c) p.unknown[fixed[c]] = model.fixed(c);
  for (std::uint32_t i = 0; i < p.built.pedigree.size(); ++i) {
    const std::string id(p.built.ids[Animal{i}]);
    p.unknown[genetic + ":" + id] = model.genetic(Animal{i});
    if (covariance.rows == 2) p.unknown["maternal:" + id] = model.genetic(Animal{i}, 1);
  }
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    const auto levels = levels_of(records, blocks[b].second);
    for (std::uint32_t k = 0; k < levels.size(); ++k) {
      p.unknown[blocks[b].first + ":" + levels[k]] = model.independent(b, k);
    }
  }
  for (const auto& row : records) {
    std::vector<DesignEntry> design = {{p.unknown.at(genetic + ":" + row.at(column)), 1.0}};
    if (covariance.rows == 2) design.push_back({p.unknown.at("maternal:" + row.at("dam")), 1.0});
    for (const std::string name : json.at("fixed")) {
      design.push_back({p.unknown.at(name + ":" + row.at(name)), 1.0});
    }
    for (const auto& [name, of] : blocks) {
      design.push_back({p.unknown.at(name + ":" + row.at(of)), 1.0});
    }
    model.add(std::stod(row.at("y")), 0, design);
  }
  p.model.push_back(std::move(model));
  return p;
}

}  // namespace doewright::testing
