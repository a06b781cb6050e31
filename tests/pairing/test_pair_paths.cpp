// SPDX-License-Identifier: MIT
// The paths that a page draws for a pair, on the published pedigrees of tests/reference/pedigree.
// Wright, S. (1922), Coefficients of inbreeding and relationship, American Naturalist 56:330-338: F
// is the sum over paths of (1/2)^(n + n' + 1) (1 + F of the common ancestor), no animal twice in a
// path.
#include <cmath>
#include <filesystem>
#include <map>
#include <set>

#include <doctest/doctest.h>

#include <doewright/pairing/pair_paths.hpp>

#include "kinship/reference_case.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

std::pair<std::optional<Animal>, std::optional<Animal>> parents_of(const Pedigree& pedigree,
                                                                   Animal animal) {
  return {pedigree.sire(animal), pedigree.dam(animal)};
}

/// Kinship by its definition, one generation at a time; remembered, so that deep loops end.
class KinshipByDefinition {
 public:
  explicit KinshipByDefinition(const Pedigree& pedigree) : pedigree_(pedigree) {}

  double operator()(std::optional<Animal> x, std::optional<Animal> y) {
    if (!x || !y) return 0.0;
    const Animal a = std::max(*x, *y), b = std::min(*x, *y);  // a cannot be an ancestor of b
    const auto known = known_.find({a, b});
    if (known != known_.end()) return known->second;
    const auto [sire, dam] = parents_of(pedigree_, a);
    const double value =
        a == b ? (1.0 + (*this)(sire, dam)) / 2 : ((*this)(sire, b) + (*this)(dam, b)) / 2;
    known_[{a, b}] = value;
    return value;
  }
  double f(Animal animal) {
    const auto [sire, dam] = parents_of(pedigree_, animal);
    return (*this)(sire, dam);
  }

 private:
  const Pedigree& pedigree_;
  std::map<std::pair<Animal, Animal>, double> known_;
};

bool is_parent(const Pedigree& pedigree, Animal parent, Animal kid) {
  const auto [sire, dam] = parents_of(pedigree, kid);
  return sire == parent || dam == parent;
}

/// Up from the sire to the ancestor, down to the doe, each step one parent and one kid.
bool is_wrights_path(const Pedigree& pedigree, const Path& path, Pairing pair) {
  if (!path.ancestor || path.animals.front() != pair.sire || path.animals.back() != pair.doe)
    return false;
  const std::set<Animal> different(path.animals.begin(), path.animals.end());
  if (different.size() != path.animals.size()) return false;
  bool up = true;
  for (std::size_t k = 0; k < path.animals.size(); ++k) {
    if (path.animals[k] == *path.ancestor) up = false;
    if (k + 1 == path.animals.size()) break;
    const Animal here = path.animals[k], next = path.animals[k + 1];
    if (up ? !is_parent(pedigree, next, here) : !is_parent(pedigree, here, next)) return false;
  }
  return !up;
}

/// All of Wright's paths, by going everywhere; as lists, to be counted against.
void go_up(const Pedigree& pedigree, std::vector<Animal>& line,
           std::vector<std::vector<Animal>>& lines) {
  lines.push_back(line);
  const auto [sire, dam] = parents_of(pedigree, line.back());
  for (const auto& parent : {sire, dam}) {
    if (!parent) continue;
    line.push_back(*parent);
    go_up(pedigree, line, lines);
    line.pop_back();
  }
}

std::set<std::vector<Animal>> all_paths(const Pedigree& pedigree, Pairing pair) {
  std::vector<std::vector<Animal>> from_sire, from_doe;
  std::vector<Animal> line = {pair.sire};
  go_up(pedigree, line, from_sire);
  line = {pair.doe};
  go_up(pedigree, line, from_doe);
  std::set<std::vector<Animal>> paths;
  for (const auto& up : from_sire) {
    for (const auto& down : from_doe) {
      if (up.back() != down.back()) continue;
      std::vector<Animal> path = up;
      path.insert(path.end(), down.rbegin() + 1, down.rend());
      if (std::set<Animal>(path.begin(), path.end()).size() == path.size()) paths.insert(path);
    }
  }
  return paths;
}

/// A table of one pair, as score() leaves it.
PairingTable table_of(const Kinship& kinship, Pairing pair) {
  PairingAccount account;
  account.pairing = pair;
  account.rank = 1;
  account.common_ancestors = kinship.common_ancestors(pair.sire, pair.doe);
  DoeAccount doe;
  doe.doe.doe = pair.doe;
  doe.sires.push_back(std::move(account));
  PairingTable table;
  table.does.push_back(std::move(doe));
  return table;
}

/// Pairs of a case of which the source or the exact recomputation says the kinship.
std::vector<std::pair<Pairing, double>> published_pairs(const std::filesystem::path& folder,
                                                        const BuiltPedigree& built) {
  std::vector<std::pair<Pairing, double>> pairs;
  for (const auto& row : read_csv(folder / "expected.csv")) {
    const std::string& value = row.at("value_exact");
    if (value.empty() || value.starts_with("sqrt")) continue;
    const auto a = built.ids.find(row.at("animal_a"));
    if (!a) continue;
    if (row.at("quantity") == "F") {
      const auto [sire, dam] = parents_of(built.pedigree, *a);
      if (sire && dam) pairs.push_back({{*sire, *dam}, fraction(value)});
      continue;
    }
    const auto b = built.ids.find(row.at("animal_b"));
    if (!b || *a == *b) continue;
    if (row.at("quantity") == "kinship") pairs.push_back({{*a, *b}, fraction(value)});
    if (row.at("quantity") == "A") pairs.push_back({{*a, *b}, fraction(value) / 2});
  }
  return pairs;
}

}  // namespace

TEST_CASE("the paths of a pair add up to its published kinship, each by Wright's formula") {
  constexpr std::size_t most_paths = 40, few_animals = 16;
  std::size_t pairs = 0, paths = 0, counted = 0, left_out = 0;
  const std::filesystem::path cases =
      std::filesystem::path(DOEWRIGHT_SOURCE_DIR) / "tests/reference/pedigree";
  for (const auto& folder : std::filesystem::directory_iterator(cases)) {
    if (!folder.is_directory() || folder.path().filename() == "derived-metafounder") continue;
    if (std::filesystem::exists(folder.path() / "uncertain.csv")) continue;  // chances on the way
    CAPTURE(folder.path().filename().string());
    const BuiltPedigree built = read_pedigree(folder.path());
    const Kinship kinship(built.pedigree);
    KinshipByDefinition by_definition(built.pedigree);
    for (const auto& published : published_pairs(folder.path(), built)) {
      const Pairing pair = published.first;  // named: lambdas may not hold a structured binding
      const double expected = published.second;
      PairingTable table = table_of(kinship, pair);
      trace_paths(kinship, table, most_paths, 1);
      const PairingAccount& account = table.does[0].sires[0];
      double sum = account.paths_left_out;
      for (const Path& path : account.paths) {
        REQUIRE(is_wrights_path(built.pedigree, path, pair));
        const double wright = std::ldexp(1.0 + by_definition.f(*path.ancestor),
                                         -static_cast<int>(path.animals.size()));
        CHECK(std::abs(path.contribution - wright) < 1e-12);
        sum += path.contribution;
      }
      CHECK(std::abs(sum - expected) < 1e-11);
      CHECK(account.paths.size() <= most_paths);
      ++pairs;
      paths += account.paths.size();
      if (account.paths_left_out > 0.0) {
        ++left_out;
      } else if (built.pedigree.size() <= few_animals) {
        const auto all = all_paths(built.pedigree, pair);
        std::set<std::vector<Animal>> found;
        for (const Path& path : account.paths) found.insert(path.animals);
        CHECK(found == all);
        ++counted;
      }
    }
  }
  CHECK(pairs > 300);
  CHECK(paths > 500);
  CHECK(counted > 200);
  CHECK(left_out > 0);
}

TEST_CASE("Roan Gauntlet: 14.06 % by the paths through two ancestors (Wright 1922)") {
  const BuiltPedigree built = read_pedigree(std::filesystem::path(DOEWRIGHT_SOURCE_DIR) /
                                            "tests/reference/pedigree/wright-roan-gauntlet");
  const auto [sire, dam] = parents_of(built.pedigree, built.ids.find("Roan Gauntlet").value());
  const Kinship kinship(built.pedigree);
  PairingTable table = table_of(kinship, {sire.value(), dam.value()});
  trace_paths(kinship, table, 20, 1);
  double sum = 0.0;
  std::set<Animal> ancestors;
  for (const Path& path : table.does[0].sires[0].paths) {
    sum += path.contribution;
    ancestors.insert(path.ancestor.value());
  }
  CHECK(ancestors.size() == 2);
  CHECK(std::abs(sum - 9.0 / 64) < 1e-12);
}

TEST_CASE(
    "paths are traced for the first ranks and for pairs to be avoided as kin, not for others") {
  const BuiltPedigree built = read_pedigree(std::filesystem::path(DOEWRIGHT_SOURCE_DIR) /
                                            "tests/reference/pedigree/wright-roan-gauntlet");
  const auto parents = parents_of(built.pedigree, built.ids.find("Roan Gauntlet").value());
  const Pairing pair{parents.first.value(), parents.second.value()};
  const Kinship kinship(built.pedigree);
  const auto traced = [&](std::size_t rank, std::string_view rule) {
    PairingTable table = table_of(kinship, pair);
    table.does[0].sires[0].rank = rank;
    if (!rule.empty()) table.does[0].sires[0].rules.push_back({rule, Verdict::avoid});
    trace_paths(kinship, table, 20, 3);
    return !table.does[0].sires[0].paths.empty();
  };
  CHECK(traced(3, ""));
  CHECK_FALSE(traced(4, ""));
  CHECK_FALSE(traced(4, "lethal"));
  CHECK(traced(4, "inbreeding"));
}
