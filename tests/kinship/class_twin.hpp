// SPDX-License-Identifier: MIT
#pragma once
/// Slow twin of reading 2 by breed and birth year: every missing parent is an animal of the table,
/// the whole table is worked out again each round.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include <doewright/pedigree/unknown_parents.hpp>

#include "kinship/twins.hpp"

namespace doewright::testing {

class ClassTwin {
 public:
  using Key = std::pair<int, int>;  ///< Breed, year.

  ClassTwin(const Pedigree& pedigree, const UnknownParents& unknowns)
      : graph_(pedigree), unknowns_(unknowns), animals_(pedigree.size()) {
    years_.assign(graph_.parents.size(), 0);
    for (std::size_t i = 0; i < animals_; ++i) years_[i] = unknowns.birth_year[i];
    const auto order = graph_.order();
    for (const std::size_t i : order) guess_from_parents(i);
    for (std::size_t k = order.size(); k-- > 0;) guess_from_kids(order[k]);
    for (std::size_t i = 0; i < animals_; ++i) {
      const bool both = graph_.parents[i].size() == 2 && is_full(i);
      if (both && unknowns.birth_year[i] != 0) counted_.push_back(i);
    }
    for (const std::size_t i : order) find_missing(i);
  }

  /// Kinship of everybody where the missing parents have the means they bring about.
  Matrix solve() {
    Matrix table;
    for (int round = 0; round < 400; ++round) {
      const auto before = means_;
      table = this->table();
      for (const auto& [key, f] : missing_classes()) means_[key] = mean_of(key, table);
      double change = 0.0;
      for (const auto& [key, mean] : means_) {
        const auto old = before.find(key);
        change = std::max(change, std::abs(mean - (old == before.end() ? 0.0 : old->second)));
      }
      if (round > 0 && change <= 1e-14) break;
    }
    return this->table();
  }

  double mean(Key key) const { return means_.at(key); }
  Key key_of(std::size_t animal) const { return {unknowns_.breed_class[animal], years_[animal]}; }

 private:
  bool is_full(std::size_t animal) const {
    for (const auto& part : graph_.parents[animal]) {
      if (!graph_.is_stand_in[part.parent]) continue;
      double sum = 0.0;
      for (const auto& buck : graph_.parents[part.parent]) sum += buck.part;
      if (sum < 1.0 - 1e-12) return false;
    }
    return true;
  }

  void guess_from_parents(std::size_t i) {
    if (years_[i] != 0) return;
    for (const auto& part : graph_.parents[i]) {
      const int year = years_[part.parent];
      if (year != 0) years_[i] = std::max(years_[i], year + (graph_.is_stand_in[i] ? 0 : 2));
    }
  }

  void guess_from_kids(std::size_t i) {
    if (years_[i] != 0 || graph_.is_stand_in[i]) return;
    int first = 0;
    const auto look = [&](std::size_t kid) {
      if (years_[kid] != 0) first = first == 0 ? years_[kid] : std::min(first, years_[kid]);
    };
    for (std::size_t kid = 0; kid < animals_; ++kid) {
      for (const auto& part : graph_.parents[kid]) {
        if (part.parent == i) look(kid);
        if (!graph_.is_stand_in[part.parent]) continue;
        for (const auto& buck : graph_.parents[part.parent]) {
          if (buck.parent == i) look(kid);
        }
      }
    }
    if (first != 0) years_[i] = first - 2;
  }

  struct Missing {
    std::size_t below;  ///< Animal or stand-in whose parent it is.
    double part;
    Key key;
    double figure;
  };

  void find_missing(std::size_t i) {
    const auto figure = [&](std::size_t kid) {
      return unknowns_.breed_inbreeding_of.empty() ? unknowns_.breed_inbreeding
                                                   : unknowns_.breed_inbreeding_of[kid];
    };
    if (!graph_.is_stand_in[i]) {
      for (std::size_t k = graph_.parents[i].size(); k < 2; ++k) {
        missing_.push_back({i, 0.5, key_of(i), figure(i)});
      }
      return;
    }
    double rest = 1.0;
    for (const auto& buck : graph_.parents[i]) rest -= buck.part;
    if (rest <= 1e-12) return;
    for (std::size_t kid = 0; kid < animals_; ++kid) {
      for (const auto& part : graph_.parents[kid]) {
        if (part.parent != i) continue;
        missing_.push_back({i, rest, key_of(kid), figure(kid)});
        return;
      }
    }
  }

  std::map<Key, double> missing_classes() const {
    std::map<Key, double> result;
    for (const Missing& each : missing_) result[each.key] = 0.0;
    return result;
  }

  double mean_of(Key key, const Matrix& table) const {
    std::map<int, std::pair<int, double>> by_year;
    for (const std::size_t i : counted_) {
      if (key_of(i).first != key.first) continue;
      auto& entry = by_year[key_of(i).second];
      ++entry.first;
      entry.second += 2.0 * table[missing_.size() + i][missing_.size() + i] - 1.0;
    }
    if (key.second == 0 ||
        by_year.empty()) {         // the figure of the breed, of the kids whose parents are
      std::set<std::size_t> kids;  // missing, each once
      double sum = 0.0;
      for (const Missing& each : missing_) {
        if (each.key != key || graph_.is_stand_in[each.below]) continue;
        if (kids.insert(each.below).second) sum += each.figure;
      }
      return kids.empty() ? unknowns_.breed_inbreeding : sum / static_cast<double>(kids.size());
    }
    int animals = 0;
    double sum = 0.0;
    for (int year = key.second; year > 0 && animals < 10; --year) {
      const auto found = by_year.find(year);
      if (found == by_year.end()) continue;
      animals += found->second.first;
      sum += found->second.second;
    }
    return animals == 0 ? 0.0 : sum / animals;
  }

  double between(const Key& c, const Key& d) const {
    const auto m = [&](const Key& key) {
      const auto found = means_.find(key);
      return found == means_.end() ? 0.0 : found->second;
    };
    if (c.first != d.first && c.first != 0 && d.first != 0) return 0.0;
    if (c.second == d.second) return (m(c) + m(d)) / 2.0;
    return m(c.second > d.second ? c : d);
  }

  /// Missing parents first, then the nodes of the graph.
  Matrix table() const {
    const std::size_t u = missing_.size(), n = u + graph_.parents.size();
    Matrix k(n, std::vector<double>(n, 0.0));
    for (std::size_t i = 0; i < u; ++i) {
      for (std::size_t j = 0; j < u; ++j) k[i][j] = between(missing_[i].key, missing_[j].key);
      k[i][i] = 0.5 * (1.0 + between(missing_[i].key, missing_[i].key));
    }
    std::vector<std::size_t> done;
    for (std::size_t i = 0; i < u; ++i) done.push_back(i);
    for (const std::size_t i : graph_.order()) {
      std::vector<Graph::Part> parents;
      for (const auto& part : graph_.parents[i]) parents.push_back({u + part.parent, part.part});
      for (std::size_t m = 0; m < u; ++m) {
        if (missing_[m].below == i) parents.push_back({m, missing_[m].part});
      }
      for (const std::size_t j : done) {
        double sum = 0.0;
        for (const auto& part : parents) sum += part.part * k[part.parent][j];
        k[u + i][j] = k[j][u + i] = sum;
      }
      if (graph_.is_stand_in[i]) {
        for (const auto& part : parents) k[u + i][u + i] += part.part * k[part.parent][part.parent];
      } else {
        k[u + i][u + i] = 0.5 * (1.0 + k[parents.at(0).parent][parents.at(1).parent]);
      }
      done.push_back(u + i);
    }
    return k;
  }

 public:
  /// Where animal `i` stands in the table.
  std::size_t at(std::size_t i) const { return missing_.size() + i; }

 private:
  Graph graph_;
  const UnknownParents& unknowns_;
  std::size_t animals_;
  std::vector<int> years_;
  std::vector<std::size_t> counted_;
  std::vector<Missing> missing_;
  std::map<Key, double> means_;
};

}  // namespace doewright::testing
