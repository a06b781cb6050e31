// SPDX-License-Identifier: MIT
// Contributions without listing paths: c_k, the weight of the path pairs that meet first at k, from
// the youngest common ancestor to the oldest: c_k = T_ak T_bk - sum over younger j of c_j T_jk^2; k
// then contributes c_k (1 + F_k) / 2 (DEFINITIONS 1; Wright 1922, American Naturalist 56:330-338,
// sums the same path by path). The number of paths is not had that way: numbers of chains grow far
// beyond 2^53 where paths are few, and their differences are noise. It is counted pair of heads by
// pair of heads, by sums alone.
//
// Paths, largest first: the younger of two heads is opened up until the heads are one animal, so
// that no animal stands twice; a table of the best that can follow from each pair of heads leads
// the search straight to the next best path.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <queue>

#include <doewright/core/errors.hpp>

#include "state.hpp"

namespace doewright {

namespace {

constexpr double dropped = 1e-12;  // |c_k| under this counts as nothing

/// Beyond this many ancestors the table of best continuations would not fit: only ancestors of the
/// nearest generations take part in the listing of paths, the rest is said as left out.
constexpr std::size_t most_listed_ancestors = 1500;

/// The recursion of c_k costs common ancestors times ancestors: beyond this many, in the pedigree
/// of a breed, only path pairs within the nearest generations are summed. What is listed is then
/// exact for those paths, and less than the kinship by what lies further back.
constexpr std::size_t most_summed_ancestors = 3000;

using Local = KinshipState::Local;

struct Meeting {
  std::uint32_t node;
  double weight;
};

/// For each node, the weight of all chains from `node` to it.
std::vector<double> chains_from(const Family& family, std::uint32_t node) {
  std::vector<double> x(family.size(), 0.0);
  x[node] = 1.0;
  for (std::uint32_t i = node + 1; i-- > 0;) {
    if (x[i] == 0.0) continue;
    family.for_parents(i, [&](std::uint32_t parent, double part) { x[parent] += part * x[i]; });
  }
  return x;
}

/// c_k of every node at which chains from a and b can meet first, youngest first.
std::vector<Meeting> meetings(const Family& family, std::uint32_t a, std::uint32_t b) {
  const std::vector<double> from_a = chains_from(family, a);
  const std::vector<double> from_b = chains_from(family, b);
  std::vector<double> later(family.size(), 0.0);  // what met at a younger one before
  std::vector<Meeting> result;
  for (std::uint32_t k = family.size(); k-- > 0;) {
    if (from_a[k] == 0.0 || from_b[k] == 0.0) continue;
    const double c = from_a[k] * from_b[k] - later[k];
    if (std::abs(c) < dropped) continue;
    result.push_back({k, c});
    const std::vector<double> from_k = chains_from(family, k);
    for (std::uint32_t i = 0; i < k; ++i) later[i] += c * from_k[i] * from_k[i];
  }
  return result;
}

std::optional<Animal> animal_of(const KinshipState& state, const Local& local, std::uint32_t node) {
  const std::uint32_t position = state.family.position_of(local.ancestry.original[node]);
  if (position == Family::none) return std::nullopt;
  return Animal{position};
}

/// A stand-in's bucks with their chances, and what is left for a sire not on the list.
double unlisted(const Family& family, std::uint32_t stand_in) {
  double rest = 1.0;
  for (const ParentPart& buck : family.candidates(family.list_of(stand_in))) rest -= buck.part;
  return rest > 1e-12 ? rest : 0.0;
}

std::vector<AncestorShare> shares(const KinshipState& state, const Local& local) {
  const Family& family = local.ancestry.family;
  const auto& f = local.nodes.f;
  std::map<std::uint32_t, double> sum;  // by node; Family::none: not on the list
  for (const Meeting& meeting :
       meetings(family, local.ancestry.asked[0], local.ancestry.asked[1])) {
    const std::uint32_t k = meeting.node;
    if (!family.is_stand_in(k)) {
      sum[k] += 0.5 * meeting.weight * (1.0 + f[k]);
      continue;
    }
    for (const ParentPart& buck : family.candidates(family.list_of(k))) {
      sum[buck.node] += 0.5 * meeting.weight * buck.part * (1.0 + f[buck.node]);
    }
    const double rest = unlisted(family, k);
    if (rest > 0.0) sum[Family::none] += 0.5 * meeting.weight * rest;
  }
  std::vector<AncestorShare> result;
  for (const auto& [node, contribution] : sum) {
    if (std::abs(contribution) < dropped) continue;
    result.push_back(
        {node == Family::none ? std::nullopt : animal_of(state, local, node), contribution});
  }
  std::sort(result.begin(), result.end(), [&](const AncestorShare& x, const AncestorShare& y) {
    const auto a = std::llround(x.contribution * 1e12), b = std::llround(y.contribution * 1e12);
    if (a != b) return a > b;
    if (!x.ancestor || !y.ancestor) return x.ancestor.has_value() && !y.ancestor;
    return state.comes_before(x.ancestor->position, y.ancestor->position);
  });
  return result;
}

/// Each path comes up once: the younger of two heads is opened up until both are one. Nothing is
/// ever subtracted, so that the number is exact while it is a whole number a double can hold.
double number_of_paths(const Family& family, std::uint32_t a, std::uint32_t b) {
  const std::uint32_t n = family.size();
  std::vector<double> ways(std::size_t{n} * (n + 1) / 2, 0.0);  // to each pair of heads
  const auto to = [&](std::uint32_t x, std::uint32_t y) -> double& {
    if (x < y) std::swap(x, y);
    return ways[std::size_t{x} * (x + 1) / 2 + y];
  };
  to(a, b) = 1.0;
  double total = 0.0;
  for (std::uint32_t x = n; x-- > 0;) {
    double ends = 1.0;
    if (family.is_stand_in(x)) {
      ends = static_cast<double>(family.candidates(family.list_of(x)).size()) +
             (unlisted(family, x) > 0.0 ? 1.0 : 0.0);
    }
    total += ends * to(x, x);
    for (std::uint32_t y = 0; y < x; ++y) {
      const double here = to(x, y);
      if (here == 0.0) continue;
      family.for_parents(x, [&](std::uint32_t parent, double) { to(parent, y) += here; });
    }
  }
  return total;
}

/// The paths of a pair, one after the other, largest first.
class PathSearch {
 public:
  PathSearch(const KinshipState& state, const Local& local)
      : state_(state), local_(local), family_(local.ancestry.family) {
    fill_best();
    const std::uint32_t a = local.ancestry.asked[0], b = local.ancestry.asked[1];
    push({.head_a = a,
          .head_b = b,
          .weight = 1.0,
          .from = none,
          .ends = false,
          .buck = Family::none});
  }

  std::optional<Path> next() {
    while (!open_.empty()) {
      const std::size_t at = open_.top().second;
      open_.pop();
      const Step step = steps_[at];
      if (step.ends) return path(at);
      if (step.head_a == step.head_b) {
        meet(at, step);
      } else {
        open_up(at, step);
      }
    }
    return std::nullopt;
  }

 private:
  static constexpr std::size_t none = static_cast<std::size_t>(-1);

  struct Step {
    std::uint32_t head_a, head_b;
    double weight;  // of the chains so far; of a path that ends its contribution
    std::size_t from;
    bool ends;
    std::uint32_t buck;  // where the heads met at a stand-in: its candidate; none: not on the list
  };

  double& best(std::uint32_t x, std::uint32_t y) {
    if (x < y) std::swap(x, y);
    return best_[std::size_t{x} * (x + 1) / 2 + y];
  }

  /// best(x, y): the largest contribution of one path between x and y.
  void fill_best() {
    const std::uint32_t n = family_.size();
    best_.assign(std::size_t{n} * (n + 1) / 2, 0.0);
    for (std::uint32_t x = 0; x < n; ++x) {
      for (std::uint32_t y = 0; y < x; ++y) {
        double most = 0.0;
        family_.for_parents(x, [&](std::uint32_t parent, double part) {
          most = std::max(most, part * best(parent, y));
        });
        best(x, y) = most;
      }
      best(x, x) = 0.5 * (1.0 + local_.nodes.f[x]);
      if (!family_.is_stand_in(x)) continue;
      double most = 0.5 * unlisted(family_, x);
      for (const ParentPart& buck : family_.candidates(family_.list_of(x))) {
        most = std::max(most, 0.5 * buck.part * (1.0 + local_.nodes.f[buck.node]));
      }
      best(x, x) = most;
    }
  }

  void push(const Step& step) {
    const double bound = step.ends ? step.weight : step.weight * best(step.head_a, step.head_b);
    if (bound <= 0.0) return;
    steps_.push_back(step);
    open_.emplace(bound, steps_.size() - 1);
  }

  void open_up(std::size_t at, const Step& step) {
    const bool a_is_younger = step.head_a > step.head_b;
    family_.for_parents(a_is_younger ? step.head_a : step.head_b,
                        [&](std::uint32_t parent, double part) {
                          Step next = step;
                          (a_is_younger ? next.head_a : next.head_b) = parent;
                          next.weight *= part;
                          next.from = at;
                          push(next);
                        });
  }

  void meet(std::size_t at, const Step& step) {
    const std::uint32_t k = step.head_a;
    const auto end = [&](std::uint32_t ancestor, double chance) {
      const double f = ancestor == Family::none ? 0.0 : local_.nodes.f[ancestor];
      push({k, k, 0.5 * step.weight * chance * (1.0 + f), at, true, ancestor});
    };
    if (!family_.is_stand_in(k)) return end(k, 1.0);
    for (const ParentPart& buck : family_.candidates(family_.list_of(k))) end(buck.node, buck.part);
    if (const double rest = unlisted(family_, k); rest > 0.0) end(Family::none, rest);
  }

  Path path(std::size_t at) const {
    std::vector<std::uint32_t> side_a, side_b;  // from the meeting back to a and b
    const Step& last = steps_[at];
    const auto note = [](std::vector<std::uint32_t>& side, std::uint32_t node) {
      if (side.empty() || side.back() != node) side.push_back(node);
    };
    for (std::size_t i = last.from; i != none; i = steps_[i].from) {
      note(side_a, steps_[i].head_a);
      note(side_b, steps_[i].head_b);
    }
    Path result;
    result.contribution = last.weight;
    if (last.buck != Family::none) result.ancestor = animal_of(state_, local_, last.buck);
    const auto add = [&](std::uint32_t node) {
      if (const auto animal = animal_of(state_, local_, node)) result.animals.push_back(*animal);
    };
    std::reverse(side_a.begin(), side_a.end());  // a ... meeting
    for (const std::uint32_t node : side_a) add(node);
    if (family_.is_stand_in(last.head_a) && last.buck != Family::none) add(last.buck);
    for (std::size_t i = 1; i < side_b.size(); ++i) add(side_b[i]);
    return result;
  }

  const KinshipState& state_;
  const Local& local_;
  const Family& family_;
  std::vector<double> best_;
  std::vector<Step> steps_;
  std::priority_queue<std::pair<double, std::size_t>, std::vector<std::pair<double, std::size_t>>,
                      std::less<>>
      open_;
};

/// The pair with ancestors of so many generations that at most `most` take part.
Local nearest_generations(const KinshipState& state, std::array<std::uint32_t, 2> nodes,
                          std::size_t most) {
  std::vector<std::uint32_t> kept(nodes.begin(), nodes.end()), frontier = kept;
  std::vector<std::uint32_t> all = kept;
  while (!frontier.empty()) {
    std::vector<std::uint32_t> next;
    for (const std::uint32_t node : frontier) {
      state.family.for_parents(node, [&](std::uint32_t parent, double) {
        next.push_back(parent);
        // A stand-in without its bucks would tell them as sires not on the list.
        if (!state.family.is_stand_in(parent)) return;
        state.family.for_parents(parent, [&](std::uint32_t buck, double) { next.push_back(buck); });
      });
    }
    std::sort(next.begin(), next.end());
    next.erase(std::unique(next.begin(), next.end()), next.end());
    all.insert(all.end(), next.begin(), next.end());
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    if (all.size() > most) break;
    kept = all;
    frontier = std::move(next);
  }
  std::sort(kept.begin(), kept.end());
  kept.erase(std::unique(kept.begin(), kept.end()), kept.end());

  // The same animals with the same F; parents beyond them count as not known.
  std::vector<std::uint32_t> sires, dams, first = {0};
  std::vector<ParentPart> candidates;
  Local result{{Family(std::vector<std::uint32_t>{}, {}, {0}, {}), kept, {}}, {}, {}};
  const auto moved = [&](std::uint32_t node) {
    const auto place = std::lower_bound(kept.begin(), kept.end(), node);
    return node == Family::none || place == kept.end() || *place != node
               ? Family::none
               : static_cast<std::uint32_t>(place - kept.begin());
  };
  for (const std::uint32_t node : kept) {
    result.nodes.f.push_back(state.nodes.f[node]);
    sires.push_back(moved(state.family.sire(node)));
    if (!state.family.is_stand_in(node)) {
      dams.push_back(moved(state.family.dam(node)));
      continue;
    }
    dams.push_back(Pedigree::stand_in_bit | static_cast<std::uint32_t>(first.size() - 1));
    for (const ParentPart& buck : state.family.candidates(state.family.list_of(node))) {
      if (const std::uint32_t place = moved(buck.node); place != Family::none)
        candidates.push_back({place, buck.part});
    }
    first.push_back(static_cast<std::uint32_t>(candidates.size()));
  }
  result.ancestry.family =
      Family(std::move(sires), std::move(dams), std::move(first), std::move(candidates));
  result.ancestry.asked = {moved(nodes[0]), moved(nodes[1])};
  return result;
}

}  // namespace

std::vector<AncestorShare> Kinship::common_ancestors(Animal a, Animal b) const {
  const std::array nodes = {state_->checked_node(a), state_->checked_node(b)};
  const Local near = nearest_generations(*state_, nodes, most_summed_ancestors);
  return shares(*state_, near);
}

Why Kinship::why(Animal a, Animal b, std::size_t most_paths) const {
  const std::array nodes = {state_->checked_node(a), state_->checked_node(b)};
  Why why;
  why.kinship = of(a, b);
  const Local summed = nearest_generations(*state_, nodes, most_summed_ancestors);
  const Family& family = summed.ancestry.family;
  why.ancestors = shares(*state_, summed);
  why.paths_total = number_of_paths(family, summed.ancestry.asked[0], summed.ancestry.asked[1]);

  double listed = 0.0;
  if (why.paths_total > 0.5) {
    const Local near = nearest_generations(*state_, nodes, most_listed_ancestors);
    PathSearch search(*state_, near);
    while (why.paths.size() < most_paths) {
      auto path = search.next();
      if (!path) break;
      listed += path->contribution;
      why.paths.push_back(std::move(*path));
    }
  }
  std::stable_sort(why.paths.begin(), why.paths.end(), [&](const Path& x, const Path& y) {
    const auto cx = std::llround(x.contribution * 1e12), cy = std::llround(y.contribution * 1e12);
    if (cx != cy) return cx > cy;
    return std::lexicographical_compare(
        x.animals.begin(), x.animals.end(), y.animals.begin(), y.animals.end(),
        [&](Animal p, Animal q) { return state_->comes_before(p.position, q.position); });
  });
  why.paths_left_out = std::max(0.0, why.kinship - listed);
  if (why.paths_left_out < dropped) why.paths_left_out = 0.0;
  return why;
}

}  // namespace doewright
