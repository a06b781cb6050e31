// SPDX-License-Identifier: MIT
#pragma once
/// Slow twins of what is said of a pair: kinship by recursion, Wright's paths one by one, the worst
/// reading by trying everything.
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include <doewright/kinship/kinship.hpp>

#include "kinship/twins.hpp"

namespace doewright::testing {

/// K(x, y) from the parents of the younger of the two, called by itself until founders are reached
/// (Karigl 1981, Ann. Hum. Genet. 45:299-305, for two animals). Nothing is shared with
/// Graph::kinship but the graph.
class Recursion {
 public:
  explicit Recursion(const Graph& graph) : graph_(graph), age_(graph.parents.size(), 0) {
    const auto order = graph.order();
    for (std::size_t i = 0; i < order.size(); ++i) age_[order[i]] = i;
  }

  double kinship(std::size_t x, std::size_t y) {
    if (age_[x] < age_[y]) std::swap(x, y);
    const auto [entry, is_new] = known_.try_emplace({x, y}, 0.0);
    if (!is_new) return entry->second;
    const double value = x == y ? self(x) : opened(x, y);
    known_[{x, y}] = value;
    return value;
  }

 private:
  double opened(std::size_t x, std::size_t y) {
    double sum = 0.0;
    for (const auto& part : graph_.parents[x]) sum += part.part * kinship(part.parent, y);
    return sum;
  }

  double self(std::size_t x) {
    const auto& parents = graph_.parents[x];
    if (!graph_.is_stand_in[x]) {
      return parents.size() == 2 ? 0.5 + 0.5 * kinship(parents[0].parent, parents[1].parent) : 0.5;
    }
    double sum = 0.0, listed = 0.0;
    for (const auto& part : parents) {
      sum += part.part * kinship(part.parent, part.parent);
      listed += part.part;
    }
    return sum + 0.5 * (1.0 - listed);
  }

  const Graph& graph_;
  std::vector<std::size_t> age_;
  std::map<std::pair<std::size_t, std::size_t>, double> known_;
};

/// A path as it is told: its animals, its ancestor (-1: a sire not on the list), what it is worth.
struct PlainPath {
  std::vector<std::uint32_t> animals;
  std::int64_t ancestor;
  double contribution;
};

/// Every chain of parents from a beside every chain from b: a path where they share the last member
/// and no other (Wright 1922, American Naturalist 56:330-338). Nothing if there are more than
/// `most` pairs of chains to look at.
inline std::optional<std::vector<PlainPath>> wright_paths(const Graph& graph, const Matrix& kinship,
                                                          std::size_t a, std::size_t b,
                                                          std::size_t most = 200'000) {
  struct Chain {
    std::vector<std::size_t> members;
    double weight;
  };
  const auto chains = [&](std::size_t from) {
    std::map<std::size_t, std::vector<Chain>> by_end;
    std::size_t count = 0;
    const std::function<void(Chain)> climb = [&](Chain chain) {
      if (++count > 5000) return;
      for (const auto& part : graph.parents[chain.members.back()]) {
        Chain longer = chain;
        longer.members.push_back(part.parent);
        longer.weight *= part.part;
        climb(std::move(longer));
      }
      by_end[chain.members.back()].push_back(std::move(chain));
    };
    climb({{from}, 1.0});
    return std::pair(by_end, count <= 5000);
  };
  const auto [from_a, all_a] = chains(a);
  const auto [from_b, all_b] = chains(b);
  if (!all_a || !all_b) return std::nullopt;
  std::vector<PlainPath> paths;
  std::size_t looked_at = 0;
  for (const auto& from_here : from_a) {
    const std::size_t end = from_here.first;  // named: lambdas may not hold a structured binding
    const std::vector<Chain>& left = from_here.second;
    const auto right = from_b.find(end);
    if (right == from_b.end()) continue;
    looked_at += left.size() * right->second.size();
    if (looked_at > most) return std::nullopt;
    for (const Chain& up : left) {
      const std::set<std::size_t> on_the_way(up.members.begin(), up.members.end() - 1);
      for (const Chain& down : right->second) {
        if (std::any_of(down.members.begin(), down.members.end() - 1,
                        [&](std::size_t i) { return on_the_way.contains(i); })) {
          continue;
        }
        const auto told = [&](std::int64_t ancestor, double worth) {
          PlainPath path{{}, ancestor, up.weight * down.weight * worth};
          for (const std::size_t i : up.members) {
            if (!graph.is_stand_in[i]) path.animals.push_back(static_cast<std::uint32_t>(i));
          }
          if (graph.is_stand_in[end] && ancestor >= 0) {
            path.animals.push_back(static_cast<std::uint32_t>(ancestor));
          }
          for (std::size_t k = down.members.size() - 1; k-- > 0;) {
            const std::size_t i = down.members[k];
            if (!graph.is_stand_in[i]) path.animals.push_back(static_cast<std::uint32_t>(i));
          }
          paths.push_back(std::move(path));
        };
        if (!graph.is_stand_in[end]) {
          told(static_cast<std::int64_t>(end), kinship[end][end]);
          continue;
        }
        double rest = 1.0;
        for (const auto& buck : graph.parents[end]) {
          told(static_cast<std::int64_t>(buck.parent),
               buck.part * kinship[buck.parent][buck.parent]);
          rest -= buck.part;
        }
        if (rest > 1e-12) told(-1, 0.5 * rest);
      }
    }
  }
  return paths;
}

/// A parent put in where none is known; false if that makes a loop.
inline bool put_in(Graph& graph, std::size_t kid_or_stand_in, std::size_t parent) {
  graph.parents[kid_or_stand_in].push_back(
      {parent, graph.is_stand_in[kid_or_stand_in] ? 1.0 : 0.5});
  return !graph.order().empty();
}

/// DEFINITIONS 2, reading 3, by trying everything: all choices of (a); all places; all animals of
/// the book put in as the parent; each time the whole table worked out again.
inline double worst_by_trying(const Pedigree& pedigree, const UnknownParents& unknowns, Animal a,
                              Animal b) {
  const std::size_t n = pedigree.size();
  const Graph base(pedigree);
  std::vector<std::uint32_t> inside;
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    if (base.descends(a.position, n + s) || base.descends(b.position, n + s)) inside.push_back(s);
  }
  const auto slot_kind = [&](std::size_t x, bool sire) {
    return sire ? pedigree.sire_slots()[x] : pedigree.dam_slots()[x];
  };
  const auto may = [&](std::size_t y, std::size_t x, bool sire) {
    if (!unknowns.may_be.empty() && (unknowns.may_be[y] & (sire ? 1 : 2)) == 0) return false;
    if (!unknowns.parent_from.empty() && unknowns.parent_from[y] > unknowns.conceived_last[x]) {
      return false;
    }
    return unknowns.parent_to.empty() || unknowns.parent_to[y] >= unknowns.conceived_first[x];
  };
  double best = 0.0;
  const auto try_places = [&](const Graph& world, const std::vector<std::int64_t>& sire_of_list,
                              std::optional<std::uint32_t> unlisted) {
    // Whom a slot stands for in this world: -1 nobody known, -2 a list that stays an average.
    const auto who = [&](std::size_t x, bool sire) -> std::int64_t {
      const std::uint32_t slot = slot_kind(x, sire);
      if (slot == Pedigree::none) return -1;
      return Pedigree::is_stand_in(slot) ? sire_of_list[Pedigree::stand_in_of(slot)] : slot;
    };
    std::set<std::size_t> kids = {a.position, b.position};
    for (const Animal each : {a, b}) {
      for (const bool sire : {true, false}) {
        if (const auto parent = who(each.position, sire); parent >= 0) {
          kids.insert(static_cast<std::size_t>(parent));
        }
      }
    }
    if (!unlisted) best = std::max(best, world.kinship()[a.position][b.position]);
    for (const std::size_t x : kids) {
      for (const bool sire : {true, false}) {
        if (who(x, sire) != -1) continue;
        const std::uint32_t slot = slot_kind(x, sire);
        const bool of_list = slot != Pedigree::none;
        if (unlisted && (!of_list || Pedigree::stand_in_of(slot) != *unlisted)) continue;
        for (std::size_t y = 0; y < n; ++y) {
          if (static_cast<std::int64_t>(y) == who(x, !sire) || !may(y, x, sire)) continue;
          Graph changed = world;
          if (!put_in(changed, of_list ? n + Pedigree::stand_in_of(slot) : x, y)) continue;
          best = std::max(best, changed.kinship()[a.position][b.position]);
        }
      }
    }
  };
  std::vector<std::int64_t> sire_of_list(pedigree.stand_ins(), -2);
  const std::function<void(std::size_t, const Graph&, std::optional<std::uint32_t>)> settle =
      [&](std::size_t i, const Graph& world, std::optional<std::uint32_t> unlisted) {
        if (i == inside.size()) return try_places(world, sire_of_list, unlisted);
        const std::uint32_t s = inside[i];
        double rest = 1.0;
        for (const SireChance& chance : pedigree.stand_in(s)) {
          rest -= chance.probability;
          Graph next = world;
          next.parents[n + s] = {{chance.sire.position, 1.0}};
          sire_of_list[s] = chance.sire.position;
          settle(i + 1, next, unlisted);
        }
        if (rest <= 1e-12 || unlisted) return;
        Graph next = world;
        next.parents[n + s].clear();
        sire_of_list[s] = -1;
        settle(i + 1, next, s);
      };
  settle(0, base, std::nullopt);
  return best;
}

/// Kinship of a and b where the assumptions named, and nothing else, are taken for true.
inline double with_assumptions(const Pedigree& pedigree, const std::vector<Assumption>& assumptions,
                               Animal a, Animal b) {
  Graph graph(pedigree);
  for (const Assumption& each : assumptions) {
    const std::size_t kid = each.animal.position;
    const std::uint32_t slot =
        each.parent == ParentRole::sire ? pedigree.sire_slots()[kid] : pedigree.dam_slots()[kid];
    if (slot == Pedigree::none) {
      graph.parents[kid].push_back({each.taken_as.position, 0.5});
    } else {
      graph.parents[pedigree.size() + Pedigree::stand_in_of(slot)] = {
          {each.taken_as.position, 1.0}};
    }
  }
  return graph.kinship()[a.position][b.position];
}

}  // namespace doewright::testing
