// SPDX-License-Identifier: MIT
// Every stand-in among the ancestors of a pair is each of its candidates in turn (a world), and in
// each world one empty place is filled by every animal that could stand there.
//
// Bounded: up to `most_joint` stand-ins and `most_worlds` worlds are enumerated jointly; beyond,
// the stand-ins with the largest single effects are settled one after the other and improved in
// turn, and the rest stay averages.
#include "worst.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <map>
#include <memory>
#include <optional>
#include <utility>

#include "stand_for_unknown.hpp"
#include "worlds.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_joint = 12;
constexpr std::size_t most_worlds = 4096;
constexpr std::size_t most_kept_worlds = 256;  // where they are settled one by one
constexpr double same = 1e-12;

struct Best {
  double f = 0.0;
  std::vector<StandInChoice> choices;
  std::optional<EmptyPlace> place;   // nodes of the book
  std::uint32_t kid = Family::none;  // animal named for the place
  std::uint32_t taken = Family::none;
};

struct Pair {
  std::uint32_t a = 0, b = 0;  // nodes of the book
  KidInbreeding* into = nullptr;
  Best best = {};
};

/// The pairs that have the same stand-ins among their ancestors.
class Group {
 public:
  Group(RecordedBook& book, std::vector<std::uint32_t> lists, std::span<Pair* const> pairs,
        const Run& run)
      : book_(book),
        base_(book.family()),
        state_(book.state()),
        lists_(std::move(lists)),
        pairs_(pairs),
        run_(run),
        near_(state_, nodes_of(pairs)) {}

  void read() {
    const bool all_at_once = lists_.size() <= most_joint && number_of_worlds() <= most_worlds;
    if (all_at_once) {
      std::vector<StandInChoice> chosen;
      enumerate(0, false, chosen);
    } else {
      for (Pair* const pair : pairs_) look_one_by_one(*pair);
    }
    for (Pair* const pair : pairs_) {
      throw_if_stopped(run_);
      pair->into->worst = std::max(pair->best.f, pair->into->as_recorded);
      pair->into->worst_assumes = assumptions(*pair);
      pair->into->worst_all_settled = all_at_once;
    }
  }

 private:
  static std::vector<std::uint32_t> nodes_of(std::span<Pair* const> pairs) {
    std::vector<std::uint32_t> nodes;
    for (const Pair* const pair : pairs) {
      nodes.push_back(pair->a);
      nodes.push_back(pair->b);
    }
    return nodes;
  }

  bool has_rest(std::uint32_t list) const {
    double rest = 1.0;
    for (const ParentPart& candidate : base_.candidates(list)) rest -= candidate.part;
    return rest > same;
  }

  /// All lists settled, and of those that leave a rest at most one as its unlisted buck.
  std::size_t number_of_worlds() const {
    std::size_t listed = 1, one_unlisted = 0;
    for (const std::uint32_t list : lists_) {
      const std::size_t bucks = base_.candidates(list).size();
      one_unlisted = one_unlisted * bucks + (has_rest(list) ? listed : 0);
      listed *= bucks;
      if (listed + one_unlisted > most_worlds) break;
    }
    return listed + one_unlisted;
  }

  /// Depth first over the candidates of each stand-in.
  void enumerate(std::size_t i, bool has_unlisted, std::vector<StandInChoice>& chosen) {
    if (i == lists_.size()) {
      throw_if_stopped(run_);
      World world(book_, near_, chosen);
      for (Pair* const pair : pairs_) look(world, *pair);
      return;
    }
    for (const ParentPart& candidate : base_.candidates(lists_[i])) {
      chosen.push_back({lists_[i], candidate.node});
      enumerate(i + 1, has_unlisted, chosen);
      chosen.pop_back();
    }
    if (has_unlisted || !has_rest(lists_[i])) return;
    chosen.push_back({lists_[i], Family::none});
    enumerate(i + 1, true, chosen);
    chosen.pop_back();
  }

  /// A world that several pairs may ask for.
  World& kept_world(const std::vector<StandInChoice>& choices) {
    std::vector<std::pair<std::uint32_t, std::uint32_t>> key;
    for (const StandInChoice& each : choices) key.emplace_back(each.list, each.taken);
    std::sort(key.begin(), key.end());
    if (const auto found = worlds_.find(key); found != worlds_.end()) return *found->second;
    if (worlds_.size() >= most_kept_worlds) worlds_.clear();
    return *(worlds_[key] = std::make_unique<World>(book_, near_, choices));
  }

  double kinship(const Pair& pair, const std::vector<StandInChoice>& choices) {
    return kept_world(choices).kinship(pair.a, pair.b);
  }

  /// Of one list the candidate with whom the kinship is largest, the others as in `chosen`.
  void settle(const Pair& pair, std::vector<StandInChoice>& chosen, std::size_t i) {
    const std::uint32_t list = chosen[i].list;
    double most = chosen[i].taken == Family::none ? -1.0 : kinship(pair, chosen);
    std::uint32_t taken = chosen[i].taken;
    for (const ParentPart& candidate : base_.candidates(list)) {
      chosen[i].taken = candidate.node;
      const double here = kinship(pair, chosen);
      if (here > most + same) most = here, taken = candidate.node;
    }
    chosen[i].taken = taken;
  }

  /// Beyond the bound: the stand-ins with the largest single effects, one after the other.
  void look_one_by_one(Pair& pair) {
    throw_if_stopped(run_);
    const double average = kinship(pair, {});
    std::vector<std::pair<double, std::uint32_t>> effects;
    for (const std::uint32_t list : lists_) {
      double most = 0.0;
      for (const ParentPart& candidate : base_.candidates(list)) {
        most = std::max(most, kinship(pair, {{list, candidate.node}}) - average);
      }
      effects.emplace_back(most, list);
    }
    std::stable_sort(effects.begin(), effects.end(),
                     [](const auto& x, const auto& y) { return x.first > y.first; });
    if (effects.size() > most_joint) effects.resize(most_joint);
    std::vector<StandInChoice> chosen;
    for (const auto& [effect, list] : effects) {
      chosen.push_back({list, Family::none});
      settle(pair, chosen, chosen.size() - 1);
    }
    for (bool better = true; better;) {
      const double before = kinship(pair, chosen);
      for (std::size_t i = 0; i < chosen.size(); ++i) settle(pair, chosen, i);
      better = kinship(pair, chosen) > before + same;
    }
    look(kept_world(chosen), pair);
    for (std::size_t i = 0; i < chosen.size(); ++i) {
      if (!has_rest(chosen[i].list)) continue;
      std::vector<StandInChoice> other = chosen;
      other[i].taken = Family::none;
      look(kept_world(other), pair);
    }
  }

  /// The pair and their parents in a world, by id.
  std::vector<std::uint32_t> kids_of_places(const World& world, const Pair& pair) const {
    std::vector<std::uint32_t> kids;
    const auto take = [&](std::uint32_t node) {
      if (node != Family::none && std::find(kids.begin(), kids.end(), node) == kids.end()) {
        kids.push_back(node);
      }
    };
    for (const std::uint32_t node : {pair.a, pair.b}) take(node);
    for (const std::uint32_t node : {pair.a, pair.b}) {
      take(world.sire(node));
      take(base_.dam(node));
    }
    std::sort(kids.begin(), kids.end(),
              [&](std::uint32_t x, std::uint32_t y) { return rank(x) < rank(y); });
    return kids;
  }

  void look(World& world, Pair& pair) {
    const bool has_unlisted = world.has_unlisted();
    const double kinship = world.kinship(pair.a, pair.b);
    if (!has_unlisted && kinship > pair.best.f + same) {
      pair.best = {kinship, world.choices(), {}, Family::none, Family::none};
    }
    for (const std::uint32_t kid : kids_of_places(world, pair)) {
      if (has_unlisted) {  // ONE unknown parent: then it is the unlisted buck
        const std::uint32_t stand_in = world.unlisted_sire(kid);
        if (stand_in == Family::none) continue;
        fill(world, pair, {.kid = Family::none, .is_sire = true, .stand_in = stand_in}, kid);
        continue;
      }
      for (const bool is_sire : {true, false}) {
        if ((is_sire ? base_.sire(kid) : base_.dam(kid)) != Family::none) continue;
        fill(world, pair, {.kid = kid, .is_sire = is_sire, .stand_in = Family::none}, kid);
      }
    }
  }

  static PlaceWeights weights(const World& world, const Pair& pair, EmptyPlace place) {
    const Neighbourhood& near = world.near();
    place.kid = near.number(place.kid);
    place.stand_in = near.number(place.stand_in);
    return weights_of(world.near_family(), near.number(pair.a), near.number(pair.b), place);
  }

  static std::uint32_t top_of(const EmptyPlace& place) {
    return place.stand_in != Family::none ? place.stand_in : place.kid;
  }

  /// Tries every animal of the book in the place.
  void fill(World& world, Pair& pair, EmptyPlace place, std::uint32_t kid) {
    const PlaceWeights weight = weights(world, pair, place);
    if (weight.with.empty() && weight.itself <= 0.0) return;
    const double without = world.kinship(pair.a, pair.b);
    // Summed up row by row: a row may be gone when the next one is asked for.
    gain_.assign(base_.size(), 0.0);
    for (const auto& [number, part] : weight.with) {
      const std::vector<double>& row = world.row(world.near().local.ancestry.original[number]);
      for (std::size_t node = 0; node < gain_.size(); ++node) gain_[node] += part * row[node];
    }
    const std::uint32_t other_parent = place.is_sire ? base_.dam(kid) : world.sire(kid);
    std::optional<std::vector<bool>> below;  // worked out when first needed
    Best& best = pair.best;
    bool best_is_here = false;
    for (std::uint32_t y = 0; y < state_.pedigree.size(); ++y) {
      const std::uint32_t node = base_.node_of(Animal{y});
      double f = without + gain_[node];
      if (weight.itself > 0.0) f += weight.itself * 0.5 * world.f_of(node);
      if (f < best.f - same || f <= without + same) continue;
      const bool better = f > best.f + same;
      if (!better && !(best_is_here && rank(node) < rank(best.taken))) continue;
      if (node == other_parent || !may_be_parent(base_.position_of(kid), y, place.is_sire))
        continue;
      if (!below) below = world.descendants(top_of(place));
      if ((*below)[node]) continue;
      best = {std::max(f, best.f), world.choices(), place, kid, node};
      best_is_here = true;
    }
  }

  bool may_be_parent(std::uint32_t kid, std::uint32_t candidate, bool sire) const {
    const UnknownParents& u = state_.unknowns;
    if (!u.may_be.empty() && (u.may_be[candidate] & (sire ? 1u : 2u)) == 0) return false;
    if (!u.parent_from.empty() && !u.conceived_last.empty() &&
        u.parent_from[candidate] > u.conceived_last[kid]) {
      return false;
    }
    return u.parent_to.empty() || u.conceived_first.empty() ||
           u.parent_to[candidate] >= u.conceived_first[kid];
  }

  /// F with these choices and, if given, the best one's animal in its place; nothing if it cannot
  /// stand there, being a descendant of the place through a list that is not settled.
  std::optional<double> f_with(const Pair& pair, const std::vector<StandInChoice>& choices) {
    World world(book_, near_, choices);
    double f = world.kinship(pair.a, pair.b);
    const Best& best = pair.best;
    if (!best.place) return f;
    if (world.descendants(top_of(*best.place))[best.taken]) return std::nullopt;
    const PlaceWeights weight = weights(world, pair, *best.place);
    for (const auto& [number, part] : weight.with) {
      f += part * world.row(near_.local.ancestry.original[number])[best.taken];
    }
    return f + weight.itself * 0.5 * world.f_of(best.taken);
  }

  /// Only what changes F, be it up or down: an average over a list may hold a settling that the
  /// worst reading excludes. One after the other is left out, and those before stay out, so that
  /// what is left brings the worst about by itself; two that can each stand in for the other do not
  /// both go.
  std::vector<Assumption> assumptions(const Pair& pair) {
    const Best& best = pair.best;
    std::vector<StandInChoice> needed = best.choices;
    for (std::size_t i = needed.size(); i-- > 0;) {
      if (needed[i].taken == Family::none) continue;  // said as the parent that stands in the place
      std::vector<StandInChoice> without = needed;
      without.erase(without.begin() + static_cast<std::ptrdiff_t>(i));
      const std::optional<double> f = f_with(pair, without);
      if (f && std::abs(*f - best.f) <= same) needed = std::move(without);
    }
    std::vector<Assumption> result;
    for (const StandInChoice& choice : needed) {
      if (choice.taken != Family::none) name_choice(pair, choice, result);
    }
    if (best.place) {
      result.push_back({Animal{base_.position_of(best.kid)},
                        best.place->is_sire ? ParentRole::sire : ParentRole::dam,
                        Animal{base_.position_of(best.taken)}});
    }
    std::sort(result.begin(), result.end(), [&](const Assumption& x, const Assumption& y) {
      const auto key = [&](const Assumption& each) {
        return std::pair(state_.rank(each.animal.position), each.parent);
      };
      return key(x) < key(y);
    });
    return result;
  }

  /// The kids of a stand-in among the ancestors of the pair.
  void name_choice(const Pair& pair, const StandInChoice& choice,
                   std::vector<Assumption>& into) const {
    for (const std::uint32_t node : ancestry(base_, std::array{pair.a, pair.b}).original) {
      if (base_.sire(node) != base_.node_of_stand_in(choice.list)) continue;
      into.push_back({Animal{base_.position_of(node)}, ParentRole::sire,
                      Animal{base_.position_of(choice.taken)}});
    }
  }

  /// The order of two animals by id.
  std::uint32_t rank(std::uint32_t node) const { return state_.rank(base_.position_of(node)); }

  RecordedBook& book_;
  const Family& base_;
  const KinshipState& state_;
  std::vector<std::uint32_t> lists_;  // ascending
  std::span<Pair* const> pairs_;
  const Run& run_;
  Neighbourhood near_;
  std::vector<double> gain_;  // by node: what each animal in a place would add
  std::map<std::vector<std::pair<std::uint32_t, std::uint32_t>>, std::unique_ptr<World>> worlds_;
};

/// The stand-ins among the ancestors of an animal, ascending.
std::vector<std::uint32_t> lists_above(const Family& family, std::uint32_t node) {
  std::vector<std::uint32_t> lists;
  if (family.stand_ins() == 0) return lists;
  for (const std::uint32_t each : ancestry(family, std::array{node}).original) {
    if (family.is_stand_in(each)) lists.push_back(family.list_of(each));
  }
  std::sort(lists.begin(), lists.end());
  return lists;
}

}  // namespace

void read_worst(const KinshipState& state, std::span<const WorstQuestion> questions, const Run& run,
                std::size_t most_kept_bytes) {
  RecordedBook book(state, most_kept_bytes);
  std::map<std::uint32_t, std::vector<std::uint32_t>> lists;  // by animal
  std::map<std::vector<std::uint32_t>, std::vector<Pair*>> groups;
  std::vector<Pair> pairs;
  pairs.reserve(questions.size());
  for (const WorstQuestion& each : questions) {
    Pair& pair = pairs.emplace_back(
        Pair{state.family.node_of(each.a), state.family.node_of(each.b), each.into});
    pair.best.f = each.into->as_recorded;
    std::vector<std::uint32_t> both;
    for (const std::uint32_t node : {pair.a, pair.b}) {
      const auto [entry, is_new] = lists.try_emplace(node);
      if (is_new) entry->second = lists_above(state.family, node);
      std::vector<std::uint32_t> joined;
      std::set_union(both.begin(), both.end(), entry->second.begin(), entry->second.end(),
                     std::back_inserter(joined));
      both = std::move(joined);
    }
    groups[both].push_back(&pair);
  }
  for (const auto& [shared, members] : groups) Group(book, shared, members, run).read();
}

}  // namespace doewright
