// SPDX-License-Identifier: MIT
// The only file that reads JSON.
#include <nlohmann/json.hpp>

#include <doewright/core/errors.hpp>
#include <doewright/report/season_reports.hpp>

namespace doewright {

EarlierPlan read_earlier_plan(std::string_view text) {
  constexpr const char* not_a_plan =
      "not a plan that was written with --format json: keep the file of `plan --format json -o`";
  EarlierPlan plan;
  try {
    const auto document = nlohmann::json::parse(text);
    if (document.at("schema") != "doewright.plan/1") throw UsageError(not_a_plan);
    plan.as_of = document.at("as_of").get<std::string>();
    plan.cost = document.at("cost").get<double>();
    const auto objective = document.find("objective");
    if (objective != document.end() && objective->is_number()) {
      plan.objective = objective->get<double>() / 1e6;
    }
    for (const auto& sire : document.at("hired")) {
      plan.hired.push_back(sire.at("sire").get<std::string>());
    }
    for (const auto& pair : document.at("pairings")) {
      plan.does.push_back({pair.at("doe").get<std::string>(), pair.at("sire").get<std::string>()});
    }
    for (const auto& open : document.at("open")) {
      plan.does.push_back({open.at("doe").get<std::string>(), std::nullopt});
    }
  } catch (const nlohmann::json::exception&) {
    throw UsageError(not_a_plan);
  }
  return plan;
}

}  // namespace doewright
