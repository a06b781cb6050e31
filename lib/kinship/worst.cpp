// SPDX-License-Identifier: MIT
// Every stand-in among the ancestors of a pair is each of its candidates in turn (a world), and in
// each world one empty place is filled by every animal that could stand there.
//
// Up to `most_joint` stand-ins are settled jointly: up to `most_worlds` worlds one by one, beyond
// that by branch and bound (worst_bound.hpp) from the best that one after the other gives, while no
// more than `most_cells` cells are needed. Else, and with more stand-ins, those with the largest
// single effects are settled one after the other and improved in turn, and the rest stay averages.
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
#include "worst_bound.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_joint = 12;
constexpr std::size_t most_cells = 10'000'000;  // of all tables of bounds of one pair
constexpr std::size_t most_kept_worlds = 256;   // where they are settled one by one
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
        const Run& run, std::size_t most_worlds)
      : book_(book),
        base_(book.family()),
        state_(book.state()),
        lists_(std::move(lists)),
        pairs_(pairs),
        run_(run),
        most_worlds_(most_worlds),
        near_(state_, nodes_of(pairs)) {}

  void read() {
    const bool all_at_once = lists_.size() <= most_joint && number_of_worlds() <= most_worlds_;
    if (all_at_once) {
      std::vector<StandInChoice> chosen;
      enumerate(0, false, chosen);
    }
    for (Pair* const pair : pairs_) {
      throw_if_stopped(run_);
      bool all_settled = all_at_once;
      if (!all_at_once) {
        look_one_by_one(*pair);
        all_settled = lists_.size() <= most_joint && branch_and_bound(*pair);
      }
      pair->into->worst = std::max(pair->best.f, pair->into->as_recorded);
      pair->into->worst_assumes = assumptions(*pair);
      pair->into->worst_all_settled = all_settled;
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
      if (listed + one_unlisted > most_worlds_) break;
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

  /// Every settling that may lead beyond the best so far. False if there are too many.
  bool branch_and_bound(Pair& pair) {
    const std::array both = {pair.a, pair.b};
    const Ancestry near = ancestry(base_, both);
    Branching branching{near, WorstBound(near.family), {}, {}, {}, most_cells};
    branching.taken.assign(near.family.stand_ins(), WorstBound::open);
    for (std::uint32_t list = 0; list < near.family.stand_ins(); ++list) {
      branching.order.push_back(list);
    }
    branching.places = possible_places(near);
    return branch(pair, branching, 0, false);
  }

  struct Branching {
    const Ancestry& near;
    WorstBound bound;
    std::vector<std::uint32_t> taken;  // by list of `near`, in its numbers
    std::vector<std::uint32_t> order;  // lists of `near`
    std::vector<EmptyPlace> places;    // all that may be empty in some settling; the first is none
    std::size_t left = 0;              // cells of tables that may still be worked out

    void spend(std::size_t tables) {
      const std::size_t n = near.family.size();
      left -= std::min(left, tables * n * (n + 1) / 2);
    }
  };

  /// Nobody, and each empty place of the two and of whoever may be a parent of theirs.
  std::vector<EmptyPlace> possible_places(const Ancestry& near) const {
    const Family& family = near.family;
    std::vector<std::uint32_t> kids = {near.asked[0], near.asked[1]};
    for (const std::uint32_t each : {near.asked[0], near.asked[1]}) {
      if (family.dam(each) != Family::none) kids.push_back(family.dam(each));
      const std::uint32_t sire = family.sire(each);
      if (sire == Family::none) continue;
      if (!family.is_stand_in(sire)) {
        kids.push_back(sire);
        continue;
      }
      for (const ParentPart& buck : family.candidates(family.list_of(sire))) {
        kids.push_back(buck.node);
      }
    }
    std::sort(kids.begin(), kids.end());
    kids.erase(std::unique(kids.begin(), kids.end()), kids.end());
    std::vector<EmptyPlace> places = {EmptyPlace{}};
    for (const std::uint32_t kid : kids) {
      const std::uint32_t sire = family.sire(kid);
      if (sire == Family::none) places.push_back({kid, true, Family::none});
      if (family.dam(kid) == Family::none) places.push_back({kid, false, Family::none});
      if (sire == Family::none || !family.is_stand_in(sire)) continue;
      const std::uint32_t list = base_.list_of(near.original[sire]);
      if (has_rest(list)) places.push_back({Family::none, true, sire});
    }
    return places;
  }

  bool may_be_better(const Pair& pair, Branching& b, bool has_unlisted) {
    for (const EmptyPlace& place : b.places) {
      if (b.left == 0) return true;
      if (has_unlisted && place.stand_in == Family::none) continue;
      const bool is_of_list = place.stand_in != Family::none;
      const std::uint32_t list = is_of_list ? b.near.family.list_of(place.stand_in) : 0;
      const std::uint32_t taken = is_of_list ? b.taken[list] : Family::none;
      if (is_of_list && taken != Family::none) {
        if (taken != WorstBound::open || has_unlisted) continue;  // a buck of the list, for good
        b.taken[list] = Family::none;
      }
      b.spend(1);
      const double most = b.bound.of(b.near.asked[0], b.near.asked[1], b.taken, place);
      if (is_of_list) b.taken[list] = taken;
      if (most > pair.best.f + same) return true;
    }
    return false;
  }

  bool branch(Pair& pair, Branching& b, std::size_t i, bool has_unlisted) {
    throw_if_stopped(run_);
    if (!may_be_better(pair, b, has_unlisted)) return true;
    if (b.left == 0) return false;
    if (i == b.order.size()) {
      std::vector<StandInChoice> chosen;
      for (const std::uint32_t list : b.order) {
        const std::uint32_t taken = b.taken[list];
        chosen.push_back(
            {list_of_book(b, list), taken == Family::none ? Family::none : b.near.original[taken]});
      }
      World world(book_, near_, std::move(chosen));
      look(world, pair);
      b.spend(10);  // a world costs about as much
      return true;
    }
    const std::uint32_t list = b.order[i];
    bool all = true;
    for (const ParentPart& buck : b.near.family.candidates(list)) {
      b.taken[list] = buck.node;
      all = all && branch(pair, b, i + 1, has_unlisted);
    }
    if (!has_unlisted && has_rest(list_of_book(b, list))) {
      b.taken[list] = Family::none;
      all = all && branch(pair, b, i + 1, true);
    }
    b.taken[list] = WorstBound::open;
    return all;
  }

  std::uint32_t list_of_book(const Branching& b, std::uint32_t list) const {
    return base_.list_of(b.near.original[b.near.family.node_of_stand_in(list)]);
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
              [&](std::uint32_t x, std::uint32_t y) { return comes_before(x, y); });
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
    world.kinship_with(weight.with, gain_);
    const std::uint32_t other_parent = place.is_sire ? base_.dam(kid) : world.sire(kid);
    std::optional<std::vector<bool>> below;  // worked out when first needed
    Best& best = pair.best;
    bool best_is_here = false;
    const auto may_stand = [&](std::uint32_t y, std::uint32_t node) {
      if (node == other_parent || !may_be_parent(base_.position_of(kid), y, place.is_sire))
        return false;
      if (!below) below = world.descendants(top_of(place));
      return !(*below)[node];
    };
    const double most_for_itself = weight.itself * 0.5;  // where F is 1
    double floor = best.f;                               // what somebody reaches without his own F
    if (weight.itself > 0.0) {
      for (std::uint32_t y = 0; y < state_.pedigree.size(); ++y) {
        const std::uint32_t node = base_.node_of(Animal{y});
        if (without + gain_[node] > floor && may_stand(y, node)) floor = without + gain_[node];
      }
    }
    for (std::uint32_t y = 0; y < state_.pedigree.size(); ++y) {
      const std::uint32_t node = base_.node_of(Animal{y});
      double f = without + gain_[node];
      if (f + most_for_itself < floor - same) continue;
      if (weight.itself > 0.0) f += most_for_itself * world.f_of(node);
      if (f < best.f - same || f <= without + same) continue;
      const bool better = f > best.f + same;
      if (!better && !(best_is_here && comes_before(node, best.taken))) continue;
      if (!may_stand(y, node)) continue;
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
    world.kinship_with(weight.with, gain_);
    return f + gain_[best.taken] + weight.itself * 0.5 * world.f_of(best.taken);
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
      if (x.animal == y.animal) return x.parent < y.parent;
      return state_.comes_before(x.animal.position, y.animal.position);
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
  bool comes_before(std::uint32_t x, std::uint32_t y) const {
    return state_.comes_before(base_.position_of(x), base_.position_of(y));
  }

  RecordedBook& book_;
  const Family& base_;
  const KinshipState& state_;
  std::vector<std::uint32_t> lists_;  // ascending
  std::span<Pair* const> pairs_;
  const Run& run_;
  std::size_t most_worlds_;
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
                std::size_t most_worlds) {
  RecordedBook book(state);
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
  for (const auto& [shared, members] : groups)
    Group(book, shared, members, run, most_worlds).read();
}

}  // namespace doewright
