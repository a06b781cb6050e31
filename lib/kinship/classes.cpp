// SPDX-License-Identifier: MIT
// Ours, where the source says nothing (assumed):
//   - a kid without a birth year has its class by a year worked out: two years after its younger
//     parent, else two years before its oldest kid; with neither, year 0, whose m is the breed's
//     figure;
//   - fewer than ten animals with both parents known: the years before are taken in until there are
//     ten; where even all of them are none, m = 0, the base;
//   - a breed of which no dated animal has both parents known has the breed's figure throughout.
// m only rises from round to round, and where every animal's ancestors are in years before its own
// the rounds end by themselves, after as many as there are years. They are stopped when no m
// changes by more than 1e-12, and after 200 in any case.
#include "classes.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <span>
#include <utility>

namespace doewright {

namespace {

constexpr int generation_years = 2;
constexpr std::uint64_t enough_animals = 10;
constexpr std::size_t most_classes = 4000;
constexpr std::uint32_t most_rounds = 200;
constexpr double settled = 1e-12;
constexpr double same = 1e-12;

/// Birth years by node, worked out where they are not recorded; 0: no way to know.
std::vector<int> birth_years(const Family& family, const UnknownParents& unknowns) {
  std::vector<int> year(family.size(), 0);
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    const bool buck_whoever = family.is_stand_in(node);
    if (!buck_whoever) year[node] = unknowns.birth_year[family.position_of(node)];
    if (year[node] != 0) continue;
    family.for_parents(node, [&](std::uint32_t parent, double) {
      const int later = buck_whoever ? 0 : generation_years;
      if (year[parent] != 0) year[node] = std::max(year[node], year[parent] + later);
    });
  }
  std::vector<int> first_kid(family.size(), 0);
  for (std::uint32_t node = family.size(); node-- > 0;) {
    const bool buck_whoever = family.is_stand_in(node);
    if (year[node] == 0 && first_kid[node] != 0) year[node] = first_kid[node] - generation_years;
    const int kid = buck_whoever ? first_kid[node] : year[node];
    if (kid == 0) continue;
    family.for_parents(node, [&](std::uint32_t parent, double) {
      first_kid[parent] = first_kid[parent] == 0 ? kid : std::min(first_kid[parent], kid);
    });
  }
  return year;
}

class ClassSolver {
 public:
  ClassSolver(const Family& family, const UnknownParents& unknowns)
      : family_(family), unknowns_(unknowns), years_(birth_years(family, unknowns)) {
    classify();
  }

  std::optional<ClassedBook> solve(const Run& run) {
    if (classes_.size() > most_classes) return std::nullopt;
    const auto groups = static_cast<std::uint32_t>(classes_.size());
    throw_if_too_big(run, std::size_t{groups} * groups * sizeof(double) + 40 * family_.size(),
                     "inbreeding by breed and birth year");
    GroupedFamily grouped = with_groups(family_, class_of_, groups);
    count_animals();
    start();
    GroupKinship between = kinship_between();
    NodeInbreeding nodes;
    std::uint32_t round = 0;
    double change = 1.0;
    while (change > settled && round < most_rounds) {
      nodes = node_inbreeding(grouped.family, run, &between);
      change = take_means(grouped, nodes);
      ++round;
      if (change > settled) between = kinship_between();
    }
    return ClassedBook{std::move(classes_), std::move(class_of_), round, change,
                       GroupedBook(std::move(grouped), std::move(between), std::move(nodes))};
  }

 private:
  using BreedAndYear = std::pair<std::uint16_t, int>;

  BreedAndYear key_of(std::uint32_t node) const {
    return {unknowns_.breed_class[family_.position_of(node)], years_[node]};
  }

  bool is_listed_in_full(std::uint32_t stand_in) const {
    double sum = 0.0;
    family_.for_parents(stand_in, [&](std::uint32_t, double part) { sum += part; });
    return sum >= 1.0 - same;
  }

  bool is_known(std::uint32_t parent) const {
    return parent != Family::none && (!family_.is_stand_in(parent) || is_listed_in_full(parent));
  }

  /// Classes of the missing parents there are; a stand-in's is that of its first kid.
  void classify() {
    std::map<BreedAndYear, std::uint32_t> number;
    std::vector<std::uint32_t> kid(family_.size(), Family::none);  // whose parent is missing
    for (std::uint32_t node = 0; node < family_.size(); ++node) {
      if (family_.is_stand_in(node)) continue;
      const std::uint32_t sire = family_.sire(node);
      if (sire == Family::none || family_.dam(node) == Family::none) kid[node] = node;
      if (sire != Family::none && !is_known(sire) && kid[sire] == Family::none) kid[sire] = node;
    }
    for (const std::uint32_t each : kid) {
      if (each != Family::none) number.emplace(key_of(each), 0);
    }
    for (auto& [key, place] : number) {
      place = static_cast<std::uint32_t>(classes_.size());
      classes_.push_back({key.first, key.second, 0.0, 0});
    }
    class_of_.assign(family_.size(), Family::none);
    for (std::uint32_t node = 0; node < family_.size(); ++node) {
      if (kid[node] != Family::none) class_of_[node] = number.at(key_of(kid[node]));
    }
  }

  /// Whose F the means are taken from: born in a recorded year, both parents known.
  template <class Visit>
  void for_counted(Visit&& visit) const {
    for (std::uint32_t node = 0; node < family_.size(); ++node) {
      if (family_.is_stand_in(node) || !is_known(family_.sire(node)) ||
          family_.dam(node) == Family::none) {
        continue;
      }
      if (unknowns_.birth_year[family_.position_of(node)] != 0) visit(node);
    }
  }

  void count_animals() {
    for_counted([&](std::uint32_t node) { ++counted_[key_of(node)].animals; });
  }

  bool has_counted(std::uint16_t breed) const {
    const auto found = counted_.lower_bound({breed, 0});
    return found != counted_.end() && found->first.first == breed;
  }

  /// m of the classes that no animal's F tells of.
  void start() {
    std::vector<double> sum(classes_.size(), 0.0);
    std::vector<std::uint64_t> members(classes_.size(), 0);
    for (std::uint32_t node = 0; node < family_.size(); ++node) {
      if (class_of_[node] == Family::none || family_.is_stand_in(node)) continue;
      const auto& of = unknowns_.breed_inbreeding_of;
      ++members[class_of_[node]];
      sum[class_of_[node]] +=
          of.empty() ? unknowns_.breed_inbreeding : of[family_.position_of(node)];
    }
    is_fixed_.assign(classes_.size(), false);
    for (std::size_t c = 0; c < classes_.size(); ++c) {
      is_fixed_[c] = classes_[c].year == 0 || !has_counted(classes_[c].breed);
      if (!is_fixed_[c]) continue;
      classes_[c].mean =
          members[c] == 0 ? unknowns_.breed_inbreeding : sum[c] / static_cast<double>(members[c]);
    }
  }

  double kinship_of(const BreedYear& c, const BreedYear& d) const {
    if (c.breed != d.breed && c.breed != 0 && d.breed != 0) return 0.0;
    if (c.year == d.year) return 0.5 * (c.mean + d.mean);
    return c.year > d.year ? c.mean : d.mean;
  }

  GroupKinship kinship_between() const {
    GroupKinship result;
    result.groups = static_cast<std::uint32_t>(classes_.size());
    result.table.reserve(classes_.size() * classes_.size());
    for (const BreedYear& c : classes_) {
      for (const BreedYear& d : classes_) result.table.push_back(kinship_of(c, d));
    }
    return result;
  }

  /// New means; returns the largest change.
  double take_means(const GroupedFamily& grouped, const NodeInbreeding& nodes) {
    for (auto& entry : counted_) entry.second.sum = 0.0;
    for_counted(
        [&](std::uint32_t node) { counted_[key_of(node)].sum += nodes.f[grouped.node_of[node]]; });
    double change = 0.0;
    for (std::size_t c = 0; c < classes_.size(); ++c) {
      if (is_fixed_[c]) continue;
      BreedYear& here = classes_[c];
      here.animals = 0;
      double sum = 0.0;
      auto year = counted_.upper_bound({here.breed, here.year});
      while (here.animals < enough_animals && year != counted_.begin()) {
        --year;
        if (year->first.first != here.breed) break;
        here.animals += year->second.animals;
        sum += year->second.sum;
      }
      const double mean = here.animals == 0 ? 0.0 : sum / static_cast<double>(here.animals);
      change = std::max(change, std::abs(mean - here.mean));
      here.mean = mean;
    }
    return change;
  }

  struct Counted {
    std::uint64_t animals = 0;
    double sum = 0.0;
  };

  const Family& family_;
  const UnknownParents& unknowns_;
  std::vector<int> years_;
  std::vector<BreedYear> classes_;
  std::vector<std::uint32_t> class_of_;
  std::vector<bool> is_fixed_;
  std::map<BreedAndYear, Counted> counted_;
};

}  // namespace

std::optional<ClassedBook> classed_book(const Family& family, const UnknownParents& unknowns,
                                        const Run& run) {
  if (unknowns.birth_year.empty() || unknowns.breed_class.empty()) return std::nullopt;
  return ClassSolver(family, unknowns).solve(run);
}

}  // namespace doewright
