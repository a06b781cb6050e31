// SPDX-License-Identifier: MIT
// Every stand-in among the ancestors of a pair is each of its candidates in turn (a "world"), and in each
// world one empty place is filled by every animal that could stand there. In a world a stand-in with one
// candidate of chance 1 is that buck: D(m) = 0, and its row is his.
//
// Bounded: up to `most_joint` stand-ins and `most_worlds` worlds are enumerated jointly; beyond, the
// stand-ins with the largest single effects are settled one after the other, the rest stay averages.
#include "worst.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <unordered_map>

#include "stand_for_unknown.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_joint = 12;
constexpr std::size_t most_worlds = 4096;
constexpr std::size_t most_kept_bytes = std::size_t{400} << 20;  // rows kept from pair to pair
constexpr double same = 1e-12;

}  // namespace

class WorstReading::Reader {
 public:
  explicit Reader(const KinshipState& state) : state_(state), base_(state.family), own_(own_parts(base_, state.nodes)) {}

  void read(Animal animal_a, Animal animal_b, KidInbreeding& into) {
    a_ = base_.node_of(animal_a);
    b_ = base_.node_of(animal_b);
    best_ = {};
    best_.f = into.as_recorded;
    all_settled_ = true;
    find_lists();
    if (lists_.empty()) {
      look(World{*this, {}});
    } else {
      look_at_worlds();
    }
    into.worst = std::max(best_.f, into.as_recorded);
    into.worst_assumes = assumptions();
    into.worst_all_settled = all_settled_;
  }

 private:
  /// One way in which the unsure sires may be settled.
  struct World {
    const Reader& reader;
    std::vector<StandInChoice> choices;
    std::optional<Family> changed = {};
    Ancestry near;
    NodeInbreeding near_f;
    std::vector<double> near_own;
    double kinship = 0.0;
    mutable std::unordered_map<std::uint32_t, std::vector<double>> rows = {};
    mutable std::optional<NodeInbreeding> all_f = {};

    World(const Reader& of, std::vector<StandInChoice> chosen) : reader(of), choices(std::move(chosen)),
        changed(choices.empty() ? std::nullopt : std::optional(with_choices(of.base_, choices))),
        near(ancestry(family(), std::array{of.a_, of.b_})) {
      near_f = node_inbreeding(near.family, {});
      near_own = own_parts(near.family, near_f);
      kinship = kinship_column(near.family, near_own, near.asked[0])[near.asked[1]];
    }
    const Family& family() const { return changed ? *changed : reader.base_; }

    /// Kinship of a node with the whole book.
    const std::vector<double>& row(std::uint32_t node) const {
      if (!changed) return reader.base_row(node);
      const auto [entry, is_new] = rows.try_emplace(node);
      if (is_new) {
        const Ancestry own_near = ancestry(family(), std::array{node});
        const NodeInbreeding f = node_inbreeding(own_near.family, {});
        const std::vector<double> own_part = own_parts(own_near.family, f);
        std::vector<double> own(family().size(), 0.0);
        for (std::size_t i = 0; i < own_near.original.size(); ++i) own[own_near.original[i]] = own_part[i];
        entry->second = kinship_column(family(), own, node);
      }
      return entry->second;
    }
    double f_of(std::uint32_t node) const {
      if (!changed) return reader.state_.nodes.f[node];
      if (!all_f) all_f = node_inbreeding(*changed, {});
      return all_f->f[node];
    }
  };

  struct Best {
    double f = 0.0;
    std::vector<StandInChoice> choices;
    std::optional<EmptyPlace> place;   // nodes of the base family
    std::uint32_t kid = Family::none;  // animal named for the place
    std::uint32_t taken = Family::none;
  };

  const std::vector<double>& base_row(std::uint32_t node) const {
    const auto found = rows_.find(node);
    if (found != rows_.end()) return found->second;
    if ((rows_.size() + 1) * base_.size() * sizeof(double) > most_kept_bytes) rows_.clear();
    return rows_.emplace(node, kinship_column(base_, own_, node)).first->second;
  }

  void find_lists() {
    lists_.clear();
    if (base_.stand_ins() == 0) return;
    const Ancestry near = ancestry(base_, std::array{a_, b_});
    for (const std::uint32_t node : near.original) {
      if (base_.is_stand_in(node)) lists_.push_back(base_.list_of(node));
    }
    std::sort(lists_.begin(), lists_.end());
  }

  double unlisted(std::uint32_t list) const {
    double sum = 0.0;
    for (const ParentPart& candidate : base_.candidates(list)) sum += candidate.part;
    return 1.0 - sum;
  }

  void look_at_worlds() {
    std::size_t worlds = 1;
    for (const std::uint32_t list : lists_) {
      worlds *= base_.candidates(list).size() + 1;
      if (worlds > most_worlds) break;
    }
    std::vector<std::uint32_t> joint = lists_;
    if (lists_.size() > most_joint || worlds > most_worlds) {
      look_one_by_one();
      all_settled_ = false;
      return;
    }
    std::vector<StandInChoice> chosen;
    enumerate(joint, 0, false, chosen);
  }

  /// Depth first over the candidates of each stand-in, and for at most one of them its unlisted buck.
  void enumerate(const std::vector<std::uint32_t>& lists, std::size_t i, bool has_unlisted,
                 std::vector<StandInChoice>& chosen) {
    if (i == lists.size()) {
      look(World{*this, chosen});
      return;
    }
    for (const ParentPart& candidate : base_.candidates(lists[i])) {
      chosen.push_back({lists[i], candidate.node});
      enumerate(lists, i + 1, has_unlisted, chosen);
      chosen.pop_back();
    }
    if (has_unlisted || unlisted(lists[i]) <= same) return;
    chosen.push_back({lists[i], Family::none});
    enumerate(lists, i + 1, true, chosen);
    chosen.pop_back();
  }

  /// Beyond the bound: the stand-ins with the largest single effects, one after the other.
  void look_one_by_one() {
    const double average = World{*this, {}}.kinship;
    struct Effect {
      double effect;
      std::uint32_t list;
    };
    std::vector<Effect> effects;
    for (const std::uint32_t list : lists_) {
      double most = 0.0;
      for (const ParentPart& candidate : base_.candidates(list)) {
        most = std::max(most, World{*this, {{list, candidate.node}}}.kinship - average);
      }
      effects.push_back({most, list});
    }
    std::stable_sort(effects.begin(), effects.end(),
                     [](const Effect& x, const Effect& y) { return x.effect > y.effect; });
    if (effects.size() > most_joint) effects.resize(most_joint);
    std::vector<StandInChoice> chosen;
    for (const Effect& effect : effects) {
      StandInChoice best{effect.list, Family::none};
      double most = -1.0;
      for (const ParentPart& candidate : base_.candidates(effect.list)) {
        chosen.push_back({effect.list, candidate.node});
        const double kinship = World{*this, chosen}.kinship;
        chosen.pop_back();
        if (kinship > most + same) most = kinship, best.taken = candidate.node;
      }
      chosen.push_back(best);
    }
    look(World{*this, chosen});
    for (std::size_t i = 0; i < chosen.size(); ++i) {
      if (unlisted(chosen[i].list) <= same) continue;
      std::vector<StandInChoice> other = chosen;
      other[i].taken = Family::none;
      look(World{*this, other});
    }
  }

  /// The parent of a node in a world, a settled stand-in looked through; none if not known.
  static std::uint32_t settled_sire(const Family& family, std::uint32_t node) {
    const std::uint32_t sire = family.sire(node);
    if (sire == Family::none || !family.is_stand_in(sire)) return sire;
    const auto bucks = family.candidates(family.list_of(sire));
    return bucks.size() == 1 && bucks.front().part >= 1.0 - same ? bucks.front().node : Family::none;
  }

  void look(const World& world) {
    const bool has_unlisted = std::any_of(world.choices.begin(), world.choices.end(), [](const StandInChoice& c) {
      return c.taken == Family::none;
    });
    if (!has_unlisted && world.kinship > best_.f + same) {
      best_ = {.f = world.kinship, .choices = world.choices, .place = {}, .kid = Family::none, .taken = Family::none};
    }
    const Family& family = world.family();
    std::vector<std::uint32_t> kids;
    const auto take = [&](std::uint32_t node) {
      if (node != Family::none && std::find(kids.begin(), kids.end(), node) == kids.end()) kids.push_back(node);
    };
    for (const std::uint32_t node : {a_, b_}) take(node);
    for (const std::uint32_t node : {a_, b_}) {
      take(settled_sire(family, node));
      take(family.dam(node));
    }
    std::sort(kids.begin(), kids.end(), [&](std::uint32_t x, std::uint32_t y) {
      return state_.rank(base_.position_of(x)) < state_.rank(base_.position_of(y));
    });
    for (const std::uint32_t kid : kids) {
      const std::uint32_t sire = family.sire(kid);
      if (has_unlisted) {  // ONE unknown parent: then it is the unlisted buck
        if (sire != Family::none && family.is_stand_in(sire) && family.candidates(family.list_of(sire)).empty()) {
          fill(world, {.kid = Family::none, .is_sire = true, .stand_in = sire}, kid);
        }
        continue;
      }
      if (sire == Family::none) fill(world, {.kid = kid, .is_sire = true, .stand_in = Family::none}, kid);
      if (family.dam(kid) == Family::none) fill(world, {.kid = kid, .is_sire = false, .stand_in = Family::none}, kid);
    }
  }

  /// The place in the numbering of the pair's ancestors.
  static EmptyPlace near_place(const World& world, EmptyPlace place) {
    const auto moved = [&](std::uint32_t node) {
      if (node == Family::none) return node;
      const auto& original = world.near.original;
      return static_cast<std::uint32_t>(std::lower_bound(original.begin(), original.end(), node) - original.begin());
    };
    place.kid = moved(place.kid);
    place.stand_in = moved(place.stand_in);
    return place;
  }

  /// Tries every animal of the book in the place.
  void fill(const World& world, EmptyPlace place, std::uint32_t kid) {
    const PlaceWeights weights =
        weights_of(world.near.family, world.near.asked[0], world.near.asked[1], near_place(world, place));
    if (weights.with.empty() && weights.itself <= 0.0) return;
    std::optional<std::vector<bool>> below;  // worked out when first needed
    std::vector<std::pair<const double*, double>> rows;
    for (const auto& [node, weight] : weights.with) {
      rows.emplace_back(world.row(world.near.original[node]).data(), weight);
    }
    const Family& family = world.family();
    const std::uint32_t other_parent = place.is_sire ? family.dam(kid) : settled_sire(family, kid);
    const std::uint32_t kid_position = base_.position_of(kid);
    bool best_is_here = false;
    for (std::uint32_t y = 0; y < state_.pedigree.size(); ++y) {
      const std::uint32_t node = base_.node_of(Animal{y});
      double f = world.kinship;
      for (const auto& [row, weight] : rows) f += weight * row[node];
      if (weights.itself > 0.0) f += weights.itself * 0.5 * world.f_of(node);
      if (f < best_.f - same || f <= world.kinship + same) continue;
      const bool better = f > best_.f + same;
      const bool tie_goes_to_it = best_is_here && !better &&
                                  state_.rank(y) < state_.rank(base_.position_of(best_.taken));
      if (!better && !tie_goes_to_it) continue;
      if (node == other_parent || !may_be_parent(kid_position, y, place.is_sire)) continue;
      if (!below) below = descendants(world, place);
      if ((*below)[node]) continue;
      best_ = {.f = std::max(f, best_.f), .choices = world.choices, .place = place, .kid = kid, .taken = node};
      best_is_here = true;
    }
  }

  /// Whoever would descend from the place, and the place's own kid: they cannot stand in it.
  static std::vector<bool> descendants(const World& world, EmptyPlace place) {
    const Family& family = world.family();
    std::vector<bool> below(family.size(), false);
    for (std::uint32_t node = 0; node < family.size(); ++node) {
      if (node == place.kid || node == place.stand_in) below[node] = true;
      family.for_parents(node, [&](std::uint32_t parent, double) {
        if (below[parent]) below[node] = true;
      });
    }
    return below;
  }

  bool may_be_parent(std::uint32_t kid, std::uint32_t candidate, bool sire) const {
    const UnknownParents& u = state_.unknowns;
    if (!u.may_be.empty() && (u.may_be[candidate] & (sire ? 1u : 2u)) == 0) return false;
    if (!u.parent_from.empty() && !u.conceived_last.empty() && u.parent_from[candidate] > u.conceived_last[kid]) {
      return false;
    }
    return u.parent_to.empty() || u.conceived_first.empty() ||
           u.parent_to[candidate] >= u.conceived_first[kid];
  }

  /// F with these choices and, if given, the best one's animal in its place; nothing if it cannot stand
  /// there, being a descendant of the place through a list that is not settled.
  std::optional<double> f_with(const std::vector<StandInChoice>& choices, bool with_place) const {
    const World world{*this, choices};
    if (!with_place) return world.kinship;
    if (descendants(world, *best_.place)[best_.taken]) return std::nullopt;
    const PlaceWeights weights = weights_of(world.near.family, world.near.asked[0],
                                            world.near.asked[1], near_place(world, *best_.place));
    double f = world.kinship;
    for (const auto& [node, weight] : weights.with) {
      f += weight * world.row(world.near.original[node])[best_.taken];
    }
    return f + weights.itself * 0.5 * world.f_of(best_.taken);
  }

  /// Only what changes F, be it up or down: an average over a list may hold a settling that the worst
  /// reading excludes. One after the other is left out, and those before stay out, so that what is left
  /// brings the worst about by itself; two that can each stand in for the other do not both go.
  std::vector<Assumption> assumptions() const {
    std::vector<Assumption> result;
    const bool has_place = best_.place.has_value();
    std::vector<StandInChoice> needed = best_.choices;
    for (std::size_t i = needed.size(); i-- > 0;) {
      if (needed[i].taken == Family::none) continue;  // said as the parent that stands in the place
      std::vector<StandInChoice> without = needed;
      without.erase(without.begin() + static_cast<std::ptrdiff_t>(i));
      const std::optional<double> f = f_with(without, has_place);
      if (f && std::abs(*f - best_.f) <= same) needed = std::move(without);
    }
    for (const StandInChoice& choice : needed) {
      if (choice.taken != Family::none) name_choice(choice, result);
    }
    if (has_place) {
      result.push_back({Animal{base_.position_of(best_.kid)},
                        best_.place->is_sire ? ParentRole::sire : ParentRole::dam,
                        Animal{base_.position_of(best_.taken)}});
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
  void name_choice(const StandInChoice& choice, std::vector<Assumption>& into) const {
    const Ancestry near = ancestry(base_, std::array{a_, b_});
    for (const std::uint32_t node : near.original) {
      const std::uint32_t sire = base_.sire(node);
      if (sire == Family::none || !base_.is_stand_in(sire) || base_.list_of(sire) != choice.list) continue;
      into.push_back({Animal{base_.position_of(node)}, ParentRole::sire, Animal{base_.position_of(choice.taken)}});
    }
  }

  const KinshipState& state_;
  const Family& base_;
  std::vector<double> own_;
  mutable std::unordered_map<std::uint32_t, std::vector<double>> rows_;
  std::uint32_t a_ = 0, b_ = 0;
  std::vector<std::uint32_t> lists_;
  Best best_;
  bool all_settled_ = true;
};

WorstReading::WorstReading(const KinshipState& state) : reader_(std::make_unique<Reader>(state)) {}
WorstReading::~WorstReading() = default;

void WorstReading::read(Animal a, Animal b, KidInbreeding& into) { reader_->read(a, b, into); }

}  // namespace doewright
