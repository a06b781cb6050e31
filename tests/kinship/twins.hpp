// SPDX-License-Identifier: MIT
#pragma once
/// Slow twins of what kinship/ works out: definitions written down, fit for small pedigrees only.
#include <algorithm>
#include <cstdint>
#include <functional>
#include <optional>
#include <queue>
#include <random>
#include <utility>
#include <vector>

#include <doewright/pedigree/pedigree.hpp>

namespace doewright::testing {

/// Random numbers that are the same everywhere (the standard's engines are, its distributions not).
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  std::uint32_t below(std::uint32_t n) { return static_cast<std::uint32_t>(engine_() >> 32) % n; }
  bool in_hundred(std::uint32_t percent) { return below(100) < percent; }
  std::uint64_t seed() { return engine_(); }

 private:
  std::mt19937_64 engine_;
};

struct RandomShape {
  std::uint32_t animals = 20;
  std::uint32_t founders = 4;
  std::uint32_t blank = 15;       ///< Percent of parents that are not known.
  std::uint32_t unsure = 0;       ///< Percent of kids whose sire is not certain.
  std::uint32_t most_unsure = 4;  ///< At most this many stand-ins.
  std::uint32_t reach = 12;       ///< Parents are among the last so many animals of their sex.
};

/// A pedigree in which bucks have even and does odd positions; generations overlap, kin are mated.
inline Pedigree random_pedigree(Dice& dice, const RandomShape& shape) {
  std::vector<std::uint32_t> sires, dams;
  std::vector<std::vector<SireChance>> stand_ins;
  const auto pick = [&](std::uint32_t kid, std::uint32_t sex) -> std::uint32_t {
    const std::uint32_t of_sex = (kid + 1 - sex) / 2;
    if (of_sex == 0) return Pedigree::none;
    const std::uint32_t back = dice.below(std::min(shape.reach, of_sex));
    return 2 * (of_sex - 1 - back) + sex;
  };
  for (std::uint32_t kid = 0; kid < shape.animals; ++kid) {
    const auto parent = [&](std::uint32_t sex) {
      if (kid < shape.founders || dice.in_hundred(shape.blank)) return Pedigree::none;
      return pick(kid, sex);
    };
    std::uint32_t sire = parent(0), dam = parent(1);
    if (sire != Pedigree::none && dice.in_hundred(shape.unsure)) {
      const bool litter_mate = kid > 0 && Pedigree::is_stand_in(sires[kid - 1]) &&
                               dams[kid - 1] != Pedigree::none && dice.in_hundred(50);
      if (litter_mate) {
        sire = sires[kid - 1];
        dam = dams[kid - 1];
      } else if (stand_ins.size() < shape.most_unsure) {
        std::vector<std::uint32_t> bucks = {sire, pick(kid, 0), pick(kid, 0)};
        std::sort(bucks.begin(), bucks.end());
        bucks.erase(std::unique(bucks.begin(), bucks.end()), bucks.end());
        std::uint32_t left = 20 - (dice.in_hundred(60) ? 0 : 1 + dice.below(8));
        const bool sure = left == 20;
        std::vector<SireChance> list;
        for (std::size_t k = 0; k < bucks.size(); ++k) {
          const bool last = k + 1 == bucks.size();
          const auto rest = static_cast<std::uint32_t>(bucks.size() - 1 - k);
          const std::uint32_t part = last ? left : 1 + dice.below(left - rest);
          left -= part;
          list.push_back({Animal{bucks[k]}, part / 20.0});
        }
        if (list.size() > 1 || !sure) {
          sire = Pedigree::stand_in_bit | static_cast<std::uint32_t>(stand_ins.size());
          stand_ins.push_back(std::move(list));
        }
      }
    }
    sires.push_back(sire);
    dams.push_back(dam);
  }
  return Pedigree(std::move(sires), std::move(dams), std::move(stand_ins));
}

using Matrix = std::vector<std::vector<double>>;

/// A graph of animals and stand-ins (number n + s) in which anything may be rewired before it is
/// solved.
struct Graph {
  struct Part {
    std::size_t parent;
    double part;
  };
  std::size_t animals = 0;
  std::vector<std::vector<Part>> parents;  ///< 1/2 a parent; of a stand-in the chances.
  std::vector<bool> is_stand_in;

  explicit Graph(const Pedigree& pedigree) : animals(pedigree.size()) {
    const std::size_t n = pedigree.size() + pedigree.stand_ins();
    parents.resize(n);
    is_stand_in.assign(n, false);
    for (std::size_t i = 0; i < animals; ++i) {
      const std::uint32_t sire = pedigree.sire_slots()[i], dam = pedigree.dam_slots()[i];
      if (sire != Pedigree::none) {
        parents[i].push_back(
            {Pedigree::is_stand_in(sire) ? animals + Pedigree::stand_in_of(sire) : sire, 0.5});
      }
      if (dam != Pedigree::none) parents[i].push_back({dam, 0.5});
    }
    for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
      is_stand_in[animals + s] = true;
      for (const SireChance& chance : pedigree.stand_in(s)) {
        parents[animals + s].push_back({chance.sire.position, chance.probability});
      }
    }
  }

  /// Parents first; empty if there is a loop.
  std::vector<std::size_t> order() const {
    std::vector<std::size_t> result;
    std::vector<char> state(parents.size(), 0);
    bool loop = false;
    const std::function<void(std::size_t)> visit = [&](std::size_t i) {
      if (state[i] == 1) loop = true;
      if (state[i] != 0) return;
      state[i] = 1;
      for (const Part& part : parents[i]) visit(part.parent);
      state[i] = 2;
      result.push_back(i);
    };
    for (std::size_t i = 0; i < parents.size(); ++i) visit(i);
    if (loop) result.clear();
    return result;
  }

  /// Kinship of everybody with everybody by the tabular rule (Emik and Terrill 1949), a stand-in's
  /// row being the mean of its bucks' rows (Henderson 1988). \pre no loop.
  Matrix kinship() const {
    Matrix k(parents.size(), std::vector<double>(parents.size(), 0.0));
    std::vector<std::size_t> done;
    for (const std::size_t i : order()) {
      for (const std::size_t j : done) {
        double sum = 0.0;
        for (const Part& part : parents[i]) sum += part.part * k[part.parent][j];
        k[i][j] = k[j][i] = sum;
      }
      if (is_stand_in[i]) {
        double rest = 1.0, self = 0.0;
        for (const Part& part : parents[i]) {
          rest -= part.part;
          self += part.part * k[part.parent][part.parent];
        }
        k[i][i] = self + 0.5 * rest;
      } else {
        const bool both = parents[i].size() == 2;
        k[i][i] = 0.5 * (1.0 + (both ? k[parents[i][0].parent][parents[i][1].parent] : 0.0));
      }
      done.push_back(i);
    }
    return k;
  }

  bool descends(std::size_t young, std::size_t old) const {
    std::vector<std::size_t> open = {young};
    std::vector<bool> seen(parents.size(), false);
    while (!open.empty()) {
      const std::size_t i = open.back();
      open.pop_back();
      if (i == old) return true;
      if (seen[i]) continue;
      seen[i] = true;
      for (const Part& part : parents[i]) open.push_back(part.parent);
    }
    return false;
  }
};

/// Calls visit(choice, chance) for every joint way to settle the stand-ins: choice[s] is the place
/// in the list of stand-in s, or its length for "none of them".
inline void for_settlings(
    const Pedigree& pedigree,
    const std::function<void(const std::vector<std::size_t>&, double)>& visit) {
  std::vector<std::size_t> choice(pedigree.stand_ins(), 0);
  const std::function<void(std::uint32_t, double)> settle = [&](std::uint32_t s, double chance) {
    if (s == pedigree.stand_ins()) {
      visit(choice, chance);
      return;
    }
    const auto list = pedigree.stand_in(s);
    double rest = 1.0;
    for (std::size_t k = 0; k < list.size(); ++k) {
      rest -= list[k].probability;
      choice[s] = k;
      settle(s + 1, chance * list[k].probability);
    }
    if (rest > 1e-12) {
      choice[s] = list.size();
      settle(s + 1, chance * rest);
    }
  };
  settle(0, 1.0);
}

/// Kinship as the expectation over every joint settling of the unsure sires. Two lists that share a
/// buck are drawn apart; kids of one stand-in share its draw.
inline Matrix kinship_by_enumeration(const Pedigree& pedigree) {
  Matrix mean(pedigree.size(), std::vector<double>(pedigree.size(), 0.0));
  for_settlings(pedigree, [&](const std::vector<std::size_t>& choice, double chance) {
    Graph graph(pedigree);
    for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
      const auto list = pedigree.stand_in(s);
      graph.parents[pedigree.size() + s].clear();
      if (choice[s] < list.size()) {
        graph.parents[pedigree.size() + s].push_back({list[choice[s]].sire.position, 1.0});
      }
    }
    const Matrix k = graph.kinship();
    for (std::size_t i = 0; i < pedigree.size(); ++i) {
      for (std::size_t j = 0; j < pedigree.size(); ++j) mean[i][j] += chance * k[i][j];
    }
  });
  return mean;
}

/// Meuwissen and Luo (1992), Genet. Sel. Evol. 24:305-313: A = L D L', F(i) = sum of L(i,j)^2 D(j)
/// - 1, the ancestors of i youngest first; a full sib that follows directly has the same F (as in
/// the published program). For certain sires only.
inline std::vector<double> meuwissen_luo(const Pedigree& pedigree) {
  const auto sires = pedigree.sire_slots(), dams = pedigree.dam_slots();
  const auto n = static_cast<std::uint32_t>(pedigree.size());
  std::vector<double> f(n, 0.0), d(n, 0.0), share(n, 0.0);
  std::priority_queue<std::uint32_t> youngest_first;
  const auto f_of = [&](std::uint32_t slot) { return slot == Pedigree::none ? -1.0 : f[slot]; };
  for (std::uint32_t i = 0; i < n; ++i) {
    d[i] = 0.5 - 0.25 * (f_of(sires[i]) + f_of(dams[i]));
    if (sires[i] == Pedigree::none || dams[i] == Pedigree::none) continue;
    if (i > 0 && sires[i] == sires[i - 1] && dams[i] == dams[i - 1]) {
      f[i] = f[i - 1];
      continue;
    }
    const auto give = [&](std::uint32_t ancestor, double part) {
      if (ancestor == Pedigree::none) return;
      if (share[ancestor] == 0.0) youngest_first.push(ancestor);
      share[ancestor] += part;
    };
    double sum = 0.0;
    give(i, 1.0);
    while (!youngest_first.empty()) {
      const std::uint32_t j = youngest_first.top();
      youngest_first.pop();
      const double part = std::exchange(share[j], 0.0);
      sum += part * part * d[j];
      give(sires[j], 0.5 * part);
      give(dams[j], 0.5 * part);
    }
    f[i] = sum - 1.0;
  }
  return f;
}

/// The same animals in another order of rows, parents still first. `where[i]` is the new position
/// of i.
inline Pedigree shuffled(const Pedigree& pedigree, Dice& dice, std::vector<std::uint32_t>& where) {
  const auto n = static_cast<std::uint32_t>(pedigree.size());
  std::vector<std::uint32_t> open(n), order;
  for (std::uint32_t i = 0; i < n; ++i) open[i] = i;
  where.assign(n, Pedigree::none);
  const auto ready = [&](std::uint32_t i) {
    for (const SireChance& chance : pedigree.possible_sires(Animal{i})) {
      if (where[chance.sire.position] == Pedigree::none) return false;
    }
    const auto dam = pedigree.dam(Animal{i});
    return !dam || where[dam->position] != Pedigree::none;
  };
  while (!open.empty()) {
    std::vector<std::uint32_t> can;
    for (const std::uint32_t i : open) {
      if (ready(i)) can.push_back(i);
    }
    const std::uint32_t next = can[dice.below(static_cast<std::uint32_t>(can.size()))];
    where[next] = static_cast<std::uint32_t>(order.size());
    order.push_back(next);
    std::erase(open, next);
  }
  std::vector<std::uint32_t> sires, dams;
  const auto moved = [&](std::uint32_t slot) {
    return slot == Pedigree::none || Pedigree::is_stand_in(slot) ? slot : where[slot];
  };
  for (const std::uint32_t i : order) {
    sires.push_back(moved(pedigree.sire_slots()[i]));
    dams.push_back(moved(pedigree.dam_slots()[i]));
  }
  std::vector<std::vector<SireChance>> stand_ins;
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    auto& list = stand_ins.emplace_back();
    for (const SireChance& chance : pedigree.stand_in(s)) {
      list.push_back({Animal{where[chance.sire.position]}, chance.probability});
    }
    std::sort(list.begin(), list.end(),
              [](const SireChance& x, const SireChance& y) { return x.sire < y.sire; });
  }
  return Pedigree(std::move(sires), std::move(dams), std::move(stand_ins));
}

}  // namespace doewright::testing
