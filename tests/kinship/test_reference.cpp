// SPDX-License-Identifier: MIT
// Every case of tests/reference/pedigree; each case's SOURCE.md names where its numbers were
// published.
#include <doctest/doctest.h>

#include <cmath>
#include <set>

#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/inverse.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/kinship/known.hpp>
#include <doewright/kinship/unknown_groups.hpp>

#include "kinship/reference_case.hpp"

using namespace doewright;
using namespace doewright::testing;
namespace fs = std::filesystem;

namespace {

/// What is not checked here, and why. A quantity that is neither here nor checked fails the test.
const std::map<std::string, std::string> left_out = {
    {"Amgs", "no call builds a sire/maternal-grandsire matrix"},
    {"Ainvmgs", "no call builds a sire/maternal-grandsire matrix"},
    {"Ainv_noinb",
     "the rules without inbreeding give a wrong inverse for inbred parents; no call offers them"},
    {"Delta", "no call gives the nine identity states"},
    {"contribution", "founder statistics are not offered yet"},
    {"f_e", "founder statistics are not offered yet"},
    {"f_a", "founder statistics are not offered yet"},
    {"f_g", "founder statistics are not offered yet"},
    {"fge_lacy", "founder statistics are not offered yet"},
    {"mean_kinship", "founder statistics are not offered yet"},
    {"retention", "founder statistics are not offered yet"},
    {"F_ballou", "ancestral inbreeding is not offered yet"},
    {"individual_deltaF", "a closed form without a call"},
    {"deltaF", "a closed form without a call"},
    {"F_t", "a closed form without a call"},
    {"generations_to_F", "a closed form without a call"},
    {"inbreeding_depression", "a closed form without a call"},
    {"Ne_sex_ratio", "a closed form without a call"},
    {"index", "an index of a course exercise without a call"},
};

double expected_value(const std::map<std::string, std::string>& row) {
  std::string exact = row.at("value_exact");
  if (exact.empty()) return std::stod(row.at("value_decimal"));
  if (exact.starts_with("sqrt(")) return std::sqrt(fraction(exact.substr(5, exact.size() - 6)));
  return fraction(exact);
}

class Case {
 public:
  explicit Case(const fs::path& folder)
      : folder_(folder),
        built_(read_pedigree(folder)),
        kinship_(built_.pedigree),
        f_(inbreeding(built_.pedigree)),
        own_(sampling_variances(built_.pedigree, f_)),
        inverse_(relationship_inverse(built_.pedigree, f_)),
        flow_(gene_flow(built_.pedigree)) {}

  /// Nothing if the quantity is not offered.
  std::optional<double> value(const std::string& quantity, const std::string& id_a,
                              const std::string& id_b) {
    if (quantity == "mean_F") {
      double sum = 0.0;
      for (const double each : f_) sum += each;
      return sum / static_cast<double>(f_.size());
    }
    const auto found = built_.ids.find(id_a);
    if (!found) return std::nullopt;
    const Animal a = *found;
    const Animal b = id_b.empty() ? a : built_.ids.find(id_b).value();
    if (quantity == "F") return f_[a.position];
    if (quantity == "A" || quantity == "Abar") return 2 * kinship_.of(a, b);
    if (quantity == "kinship" || quantity == "F_of_mating") return kinship_.of(a, b);
    if (quantity == "R")
      return 2 * kinship_.of(a, b) / std::sqrt((1 + f_[a.position]) * (1 + f_[b.position]));
    if (quantity == "T") return entry(flow_, a, b);
    if (quantity == "D") return own_[a.position];
    if (quantity == "Dinv") return 1 / own_[a.position];
    if (quantity == "L") return entry(flow_, a, b) * std::sqrt(own_[b.position]);
    if (quantity == "Tinv") return inverse_flow(a, b);
    if (quantity == "Ainv") return entry(inverse_, a, b);
    if (quantity == "Abar_inv") return inverse_without_stand_ins(a, b);
    if (quantity == "ECG") return kinship_.known(a).generations;
    if (quantity.starts_with("PCI_d")) {
      return completeness(built_.pedigree, std::stoi(quantity.substr(5)))[a.position];
    }
    if (quantity == "Av") return product()[a.position];
    if (quantity.starts_with("Agamma[")) return with_one_group(quantity, a, b);
    return std::nullopt;
  }

 private:
  static double entry(const SparseMatrix& matrix, Animal row, Animal column) {
    for (auto i = matrix.first[row.position]; i < matrix.first[row.position + 1]; ++i) {
      if (matrix.columns[i] == column.position) return matrix.values[i];
    }
    return 0.0;
  }

  double inverse_flow(Animal a, Animal b) const {
    if (a == b) return 1.0;
    double sum = 0.0;
    if (built_.pedigree.sire(a) == b) sum -= 0.5;
    if (built_.pedigree.dam(a) == b) sum -= 0.5;
    return sum;
  }

  /// The inverse of the animals' own matrix from the larger one: stand-ins are eliminated (Schur).
  double inverse_without_stand_ins(Animal a, Animal b) const {
    const std::size_t n = built_.pedigree.size() + built_.pedigree.stand_ins();
    std::vector<std::vector<double>> m(n, std::vector<double>(n, 0.0));
    for (std::size_t r = 0; r < n; ++r) {
      for (auto i = inverse_.first[r]; i < inverse_.first[r + 1]; ++i)
        m[r][inverse_.columns[i]] = inverse_.values[i];
    }
    for (std::size_t s = n; s-- > built_.pedigree.size();) {
      for (std::size_t r = 0; r < s; ++r) {
        for (std::size_t c = 0; c < s; ++c) m[r][c] -= m[r][s] * m[s][c] / m[s][s];
      }
    }
    return m[a.position][b.position];
  }

  /// "Agamma[1/4]": all missing parents from one group, related by 1/4.
  double with_one_group(const std::string& quantity, Animal a, Animal b) const {
    UnknownGroups groups;
    groups.group_of.assign(built_.pedigree.size(), 0);
    groups.gamma = Grid<double>(1, 1, fraction(quantity.substr(7, quantity.size() - 8)));
    return relationships(built_.pedigree, groups, {&a, 1}, {&b, 1})(0, 0);
  }

  std::vector<double> product() const {
    std::vector<double> v(built_.pedigree.size(), 0.0);
    for (const auto& row : read_csv(folder_ / "vector.csv")) {
      v[built_.ids.find(row.at("id")).value().position] = fraction(row.at("v"));
    }
    return relationship_times(built_.pedigree, f_, v);
  }

  fs::path folder_;
  BuiltPedigree built_;
  Kinship kinship_;
  std::vector<double> f_, own_;
  SparseMatrix inverse_, flow_;
};

std::string stem(const std::string& quantity) {
  if (quantity.starts_with("Delta")) return "Delta";
  return quantity.substr(0, quantity.find('['));
}

}  // namespace

TEST_CASE("every published case is met to 1e-12, or is named as left out with the reason") {
  const fs::path reference = fs::path(DOEWRIGHT_SOURCE_DIR) / "tests/reference/pedigree";
  std::size_t cases = 0, checked = 0;
  std::map<std::string, std::size_t> by_quantity;
  for (const auto& folder : fs::directory_iterator(reference)) {
    if (!folder.is_directory()) continue;
    ++cases;
    const std::string name = folder.path().filename().string();
    CAPTURE(name);
    REQUIRE(fs::exists(folder.path() / "SOURCE.md"));
    const bool grandsire_form =
        name == "mrode-sire-mgs-3";  // its column dam holds maternal grandsires
    Case one(folder.path());
    for (const auto& row : read_csv(folder.path() / "expected.csv")) {
      const std::string quantity = row.at("quantity");
      if (grandsire_form || left_out.contains(stem(quantity))) {
        REQUIRE_MESSAGE(left_out.contains(stem(quantity)), quantity);
        continue;
      }
      CAPTURE(quantity);
      CAPTURE(row.at("animal_a"));
      CAPTURE(row.at("animal_b"));
      const auto value = one.value(quantity, row.at("animal_a"), row.at("animal_b"));
      REQUIRE(value.has_value());
      // The table's decimals have twelve places; fractions and roots are exact.
      CHECK(std::abs(*value - expected_value(row)) <= 1e-12);
      ++checked;
      ++by_quantity[stem(quantity)];
    }
  }
  CHECK(cases == 35);
  CHECK(checked > 800);
  for (const char* quantity : {"F", "A", "kinship", "F_of_mating", "R", "mean_F", "T", "Tinv", "D",
                               "Dinv", "L", "Ainv", "Abar", "Abar_inv", "ECG", "Av", "Agamma"}) {
    CAPTURE(quantity);
    CHECK(by_quantity[quantity] > 0);
  }
}
