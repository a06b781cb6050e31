// SPDX-License-Identifier: MIT
// The sl-, xl- and hw- cases of tests/reference/faults-and-merit; each case's SOURCE.md names where its
// numbers were published.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "faults/locus_risk.hpp"
#include "faults/locus_world.hpp"
#include "kinship/reference_case.hpp"

using namespace doewright;
using namespace doewright::testing;
namespace fs = std::filesystem;

namespace {

double number(const nlohmann::json& value) { return fraction(value.get<std::string>()); }

class LocusCase {
 public:
  explicit LocusCase(const fs::path& folder) : folder_(folder), built_(read_pedigree(folder)) {
    std::ifstream in(folder / "model.json");
    model_ = nlohmann::json::parse(in);
    input_.transmission.x_linked = model_.at("inheritance") == "x-linked";
    const std::size_t n = built_.pedigree.size();
    input_.frequency.assign(n, number(model_.at("allele_frequency")));
    input_.own.resize(n);
    input_.sex.resize(n, Sex::unknown);
    for (const auto& row : read_csv(folder / "pedigree.csv")) {
      const std::string& sex = row.at("sex");
      if (sex == "M") input_.sex[animal(row.at("id")).position] = Sex::buck;
      if (sex == "F") input_.sex[animal(row.at("id")).position] = Sex::doe;
    }
    for (const auto& row : read_csv(folder / "evidence.csv")) evidence_.push_back(row);
  }

  /// Checks every row of expected.csv; counts them.
  std::size_t check() const {
    std::size_t rows = 0;
    for (const auto& row : read_csv(folder_ / "expected.csv")) {
      CAPTURE(row.at("scenario"));
      CAPTURE(row.at("query"));
      CAPTURE(row.at("animal"));
      CAPTURE(row.at("arg"));
      const std::string& exact = row.at("exact");
      const double expected = fraction(exact.empty() ? row.at("expected") : exact);
      const double tolerance = row.at("tol") == "0" ? 1e-9 : std::stod(row.at("tol"));
      const double found = answer(row);
      CHECK_MESSAGE(std::abs(found - expected) <= tolerance, found, " for ", expected);
      ++rows;
    }
    return rows;
  }

 private:
  Animal animal(const std::string& id) const { return built_.ids.find(id).value(); }

  /// Likelihood of a category by sex and copies; 1 where that sex is not scored.
  CopiesBySex likelihood(const std::string& trait, const std::string& category) const {
    CopiesBySex result = {Copies{1, 1, 1}, Copies{1, 1, 1}};
    const auto& tables = model_.at("traits").at(trait);
    for (std::size_t sex = 0; sex < 2; ++sex) {
      const std::string key = tables.contains("any") ? "any" : (sex == 0 ? "F" : "M");
      if (!tables.contains(key)) continue;
      const auto& row = tables.at(key).at(category);
      for (std::size_t k = 0; k < 3; ++k) result[sex][k] = k < row.size() ? number(row[k]) : 0.0;
    }
    return result;
  }

  CopiesBySex likelihood(const std::map<std::string, std::string>& row) const {
    CopiesBySex result = {Copies{1, 1, 1}, Copies{1, 1, 1}};
    const std::string& kind = row.at("kind");
    if (kind == "phenotype") return likelihood(row.at("name"), row.at("value"));
    for (std::size_t k = 0; k < 3; ++k) {
      double value = 1.0;
      if (kind == "genotype") value = std::stoul(row.at("value")) == k ? 1.0 : 0.0;
      if (kind == "test") value = number(model_.at("tests").at(row.at("name")).at(row.at("value"))[k]);
      if (kind == "prior") {
        std::istringstream weights(row.at("value"));
        std::string weight;
        for (std::size_t i = 0; i <= k; ++i) std::getline(weights, weight, '|');
        value = fraction(weight);
      }
      result[0][k] = result[1][k] = value;
    }
    return result;
  }

  LocusInput scenario(const std::string& name) const {
    LocusInput input = input_;
    for (const auto& row : evidence_) {
      if (row.at("scenario") != "*" && row.at("scenario") != name) continue;
      const CopiesBySex factor = likelihood(row);
      OwnEvidence& own = input.own[animal(row.at("id")).position];
      for (std::size_t sex = 0; sex < 2; ++sex) {
        for (std::size_t k = 0; k < 3; ++k) own.likelihood[sex][k] *= factor[sex][k];
      }
    }
    return input;
  }

  double answer(const std::map<std::string, std::string>& row) const {
    const LocusInput input = scenario(row.at("scenario"));
    const std::string& query = row.at("query");
    if (query == "any") return any_in_litter(input, row.at("animal"));
    const Animal asked = animal(row.at("animal"));
    const LocusWorld world(built_.pedigree, input, std::vector{asked}, {}, {});
    REQUIRE(world.possible());
    const Copies copies = world.marginal(asked);
    if (query == "genotype") return copies[std::stoul(row.at("arg"))];
    REQUIRE(query == "phenotype");
    const std::string& arg = row.at("arg");
    const auto equals = arg.find('=');
    const CopiesBySex shown = likelihood(arg.substr(0, equals), arg.substr(equals + 1));
    const std::size_t sex = input.sex[asked.position] == Sex::buck ? 1 : 0;
    double sum = 0.0;
    for (std::size_t k = 0; k < 3; ++k) sum += copies[k] * shown[sex][k];
    return sum;
  }

  /// The kids of one pair, as a planned litter of that size.
  double any_in_litter(const LocusInput& input, const std::string& kids) const {
    const auto count = 1 + std::count(kids.begin(), kids.end(), '&');
    const Animal kid = animal(kids.substr(0, kids.find('&')));
    const Animal sire = built_.pedigree.sire(kid).value();
    const Animal dam = built_.pedigree.dam(kid).value();
    const LocusWorld world(built_.pedigree, input, std::vector{sire, dam}, {}, {});
    FaultModel fault;
    fault.kind = FaultKind::locus;
    fault.shown_doe = fault.shown_buck = Penetrance{{{1, 0}, {1, 0}, {0, 1}}};
    const JointCopies joint = world.pairs(std::vector{sire}, std::vector{dam}, {}).joint(0, 0);
    return risk_of_joint(kid_of_copies(fault, false), joint, static_cast<double>(count)).any_in_litter;
  }

  fs::path folder_;
  BuiltPedigree built_;
  nlohmann::json model_;
  LocusInput input_;
  CsvRows evidence_;
};

}  // namespace

TEST_CASE("published and textbook cases of one locus") {
  std::size_t cases = 0, rows = 0;
  for (const auto& entry :
       fs::directory_iterator(DOEWRIGHT_SOURCE_DIR "/tests/reference/faults-and-merit")) {
    const std::string name = entry.path().filename().string();
    if (!name.starts_with("sl-") && !name.starts_with("xl-")) continue;
    CAPTURE(name);
    rows += LocusCase(entry.path()).check();
    ++cases;
  }
  CHECK(cases == 15);
  CHECK(rows >= 80);
}

TEST_CASE("Hardy-Weinberg: carriers, affected and normal animals at a frequency") {
  const Transmission from;
  std::size_t rows = 0;
  for (const auto& row : read_csv(DOEWRIGHT_SOURCE_DIR
                                  "/tests/reference/faults-and-merit/hw-carrier-frequencies/expected.csv")) {
    const std::string& query = row.at("query");
    CAPTURE(query);
    const double q = fraction(row.at("arg"));
    double found = 0.0;
    if (query == "carrier_from_q") found = from.founder(1, q, 0);
    else if (query == "affected_from_q") found = from.founder(2, q, 0);
    else if (query == "normal_from_q") found = from.founder(0, q, 0);
    else if (query == "carrier_among_clear") found = from.founder(1, q, 0) / (1.0 - from.founder(2, q, 0));
    else continue;  // q from an incidence or a count: given by the keeper, no call of ours
    CHECK(std::abs(found - std::stod(row.at("expected"))) <= std::stod(row.at("tol")));
    ++rows;
  }
  CHECK(rows == 5);
}
