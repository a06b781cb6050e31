// SPDX-License-Identifier: MIT
// Selection-index theory: when the mean is known (no fixed effect) the prediction from the records
// of kin is the selection index, so accuracies and weights of the textbooks must come out of the
// equations. Sources stand in SOURCE.md of si-accuracy-table and si-textbook-indexes: Falconer and
// Mackay; Van Vleck, Pollak and Oltenacu; Mrode, examples 1.1 to 1.3.
//
// corr_* and two_* of si-textbook-indexes (two traits) stand in test_selection_index.cpp.
#include <doctest/doctest.h>

#include <cmath>

#include "merit/published_model.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

double number(const std::map<std::string, std::string>& row, const char* column) {
  const auto& text = row.at(column);
  return text.empty() ? 0.0 : std::stod(text);
}

/// Builds the candidate (animal `candidate`) and the recorded kin of a row.
struct Kin {
  std::vector<std::uint32_t> sire, dam;
  std::uint32_t candidate = 0;
  std::vector<std::uint32_t> recorded;
  bool one_litter = false, repeated = false;

  std::uint32_t add(std::uint32_t of_sire = Pedigree::none, std::uint32_t of_dam = Pedigree::none) {
    sire.push_back(of_sire);
    dam.push_back(of_dam);
    return static_cast<std::uint32_t>(sire.size() - 1);
  }
};

Kin kin_of(const std::map<std::string, std::string>& row) {
  const auto n = static_cast<std::uint32_t>(number(row, "n"));
  const double to = number(row, "a_candidate"), among = number(row, "a_between");
  Kin kin;
  if (to == 1.0 || (n == 1 && to == 0.5 && among == 1.0)) {
    const std::uint32_t own = kin.add();
    kin.candidate = to == 1.0 ? own : kin.add(own);  // its own records, or those of its parent
    kin.recorded.assign(n, own);
    kin.repeated = true;
  } else if (to == 0.5 && among == 0.0) {  // both parents
    kin.recorded = {kin.add(), kin.add()};
    kin.candidate = kin.add(0, 1);
  } else if (to == 0.5 && among == 0.5) {  // full sibs in one litter
    const std::uint32_t a = kin.add(), b = kin.add();
    kin.candidate = kin.add(a, b);
    for (std::uint32_t i = 0; i < n; ++i) kin.recorded.push_back(kin.add(a, b));
    kin.one_litter = true;
  } else if (to == 0.5 && among == 0.25) {  // kids of unrelated dams
    kin.candidate = kin.add();
    for (std::uint32_t i = 0; i < n; ++i) kin.recorded.push_back(kin.add(kin.candidate));
  } else {  // half sibs
    REQUIRE(to == 0.25);
    REQUIRE(among == 0.25);
    const std::uint32_t a = kin.add();
    kin.candidate = kin.add(a);
    for (std::uint32_t i = 0; i < n; ++i) kin.recorded.push_back(kin.add(a));
  }
  return kin;
}

/// Weight of the mean of the records, and accuracy of the prediction.
std::pair<double, double> weight_and_accuracy(const std::map<std::string, std::string>& row) {
  const Kin kin = kin_of(row);
  const double h2 = number(row, "h2"), c2 = number(row, "c2");
  const double r = row.at("within_r").empty() ? h2 : number(row, "within_r");
  const Pedigree pedigree(kin.sire, kin.dam);
  std::vector<IndependentEffects> blocks;
  double rest = 1.0 - h2;
  if (kin.one_litter && c2 > 0.0) {
    blocks = {{1, c2}};
    rest -= c2;
  } else if (kin.repeated && r > h2) {
    blocks = {{1, r - h2}};
    rest -= r - h2;
  }
  MixedModel model(pedigree, inbreeding(pedigree), Grid<double>(1, 1, h2), 0, blocks, {rest});
  for (const std::uint32_t recorded : kin.recorded) {
    std::vector<DesignEntry> design = {{model.genetic(Animal{recorded}), 1.0}};
    if (!blocks.empty()) design.push_back({model.independent(0, 0), 1.0});
    model.add(1.0, 0, design);  // every record one unit above the mean
  }
  const std::uint32_t candidate = model.genetic(Animal{kin.candidate});
  const MixedModelFit fit(std::move(model));
  return {fit.solution()[candidate], std::sqrt(1.0 - fit.error_variances()[candidate] / h2)};
}

void check_table(const char* name, std::size_t checks) {
  CAPTURE(name);
  std::size_t done = 0;
  for (const auto& row : read_csv(merit_reference() / name / "expected.csv")) {
    const std::string& query = row.at("query");
    if (query.rfind("rel_", 0) != 0) continue;
    const auto [weight, accuracy] = weight_and_accuracy(row);
    double found = accuracy;
    if (query == "rel_b") found = weight;
    if (query == "rel_ebv") found = weight * number(row, "deviation");
    CAPTURE(row.at("n"));
    CAPTURE(row.at("h2"));
    CHECK(std::abs(found - number(row, "expected")) <= number(row, "tol"));
    ++done;
  }
  CHECK(done == checks);
}

}  // namespace

TEST_CASE("accuracies from own records, parents, sibs and progeny are those of the textbooks") {
  check_table("si-accuracy-table", 31);
}
TEST_CASE("Mrode's examples 1.1 to 1.3: weights, predictions and accuracies") {
  check_table("si-textbook-indexes", 8);
}
