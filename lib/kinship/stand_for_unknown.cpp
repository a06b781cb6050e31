// SPDX-License-Identifier: MIT
#include "stand_for_unknown.hpp"

#include <algorithm>
#include <map>

namespace doewright {

namespace {

constexpr std::uint32_t in_the_place = Family::none;  // stands for u in pairs

class PairWeights {
 public:
  PairWeights(const Family& family, EmptyPlace place) : family_(family), place_(place) {
    below_.assign(family.size(), false);
    for (std::uint32_t node = 0; node < family.size(); ++node) {
      if (node == place.kid) below_[node] = true;
      family.for_parents(node, [&](std::uint32_t parent, double) {
        if (below_[parent] || parent == place.stand_in) below_[node] = true;
      });
    }
  }

  PlaceWeights of(std::uint32_t a, std::uint32_t b) {
    add(a, b, 1.0);
    while (!open_.empty()) {
      const auto youngest = std::prev(open_.end());
      const std::uint32_t node = youngest->first;
      const std::map<std::uint32_t, double> pairs = std::move(youngest->second);
      open_.erase(youngest);
      for (const auto& [other, weight] : pairs) open_up(node, other, weight);
    }
    PlaceWeights result;
    result.itself = itself_;
    result.with.assign(with_.begin(), with_.end());
    return result;
  }

 private:
  void open_up(std::uint32_t node, std::uint32_t other, double weight) {
    if (other == node) {
      if (family_.is_stand_in(node)) {
        family_.for_parents(
            node, [&](std::uint32_t buck, double part) { add(buck, buck, weight * part); });
      } else {
        add(parent(node, true), parent(node, false), 0.5 * weight);
      }
      return;
    }
    if (family_.is_stand_in(node)) {
      family_.for_parents(
          node, [&](std::uint32_t buck, double part) { add(buck, other, weight * part); });
      return;
    }
    add(parent(node, true), other, 0.5 * weight);
    add(parent(node, false), other, 0.5 * weight);
  }

  /// The parent as a member of pairs; `nobody` for an unrelated founder.
  std::uint32_t parent(std::uint32_t node, bool sire) const {
    if (node == place_.kid && sire == place_.is_sire) return in_the_place;
    const std::uint32_t who = sire ? family_.sire(node) : family_.dam(node);
    if (who == Family::none) return nobody;
    return who == place_.stand_in ? in_the_place : who;
  }

  void add(std::uint32_t x, std::uint32_t y, double weight) {
    if (x == nobody || y == nobody) return;
    if (x == in_the_place && y == in_the_place) {
      itself_ += weight;
      return;
    }
    if (x == in_the_place) std::swap(x, y);
    if (y == in_the_place) {
      if (below_[x]) {
        open_[x][in_the_place] += weight;
      } else {
        with_[x] += weight;
      }
      return;
    }
    // Open up the one below the place; of two the younger, which cannot be an ancestor of the
    // other.
    if (below_[x] && (!below_[y] || x > y)) {
      open_[x][y] += weight;
    } else if (below_[y]) {
      open_[y][x] += weight;
    }
  }

  static constexpr std::uint32_t nobody = Family::none - 1;

  const Family& family_;
  EmptyPlace place_;
  std::vector<bool> below_;  // descendants of the place
  std::map<std::uint32_t, std::map<std::uint32_t, double>> open_;
  std::map<std::uint32_t, double> with_;
  double itself_ = 0.0;
};

}  // namespace

PlaceWeights weights_of(const Family& family, std::uint32_t a, std::uint32_t b, EmptyPlace place) {
  return PairWeights(family, place).of(a, b);
}

}  // namespace doewright
