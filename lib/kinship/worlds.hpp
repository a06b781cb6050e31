// SPDX-License-Identifier: MIT
#pragma once
// A world: one way in which the unsure sires among the ancestors of some animals may be settled. In
// it a stand-in with one candidate of chance 1 is that buck: D(m) = 0, and its row is his.
//
// A world is worked out once for all pairs that have the same stand-ins among their ancestors, and
// within those ancestors alone; only who may stand in an empty place is asked of the whole book.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <unordered_map>
#include <utility>
#include <vector>

#include "state.hpp"

namespace doewright {

/// The book as recorded.
class RecordedBook {
 public:
  explicit RecordedBook(const KinshipState& state) : state_(state) {}
  const KinshipState& state() const { return state_; }
  const Family& family() const { return state_.family; }
  /// F of any node, be it none that the state was made for.
  double f_of(std::uint32_t node);

 private:
  const KinshipState& state_;
  std::vector<double> whole_f_;                         // empty until needed
  std::unordered_map<std::uint32_t, double> single_f_;  // the few that were asked for before that
};

/// The ancestors of some animals, as nodes of the book (`ancestry.original`) and in their own
/// numbers.
struct Neighbourhood {
  KinshipState::Local local;

  Neighbourhood(const KinshipState& state, std::span<const std::uint32_t> nodes)
      : local(state.local(nodes)) {}
  /// Own number of a node of the book that is here; none stays none.
  std::uint32_t number(std::uint32_t node) const;
};

class World {
 public:
  /// `choices` in numbers of the book; none: as recorded.
  World(RecordedBook& book, const Neighbourhood& near, std::vector<StandInChoice> choices);

  const std::vector<StandInChoice>& choices() const { return choices_; }
  bool has_unlisted() const;
  /// The family of the neighbourhood, settled.
  const Family& near_family() const { return changed_ ? *changed_ : near_.local.ancestry.family; }
  const Neighbourhood& near() const { return near_; }

  /// Kinship of two nodes of the book that are in the neighbourhood.
  double kinship(std::uint32_t a, std::uint32_t b);
  /// Of every node of the book: the sum of its kinships with some nodes, each times its weight;
  /// those are given in numbers of the neighbourhood.
  void kinship_with(std::span<const std::pair<std::uint32_t, double>> weights,
                    std::vector<double>& into);
  /// F of any node of the book.
  double f_of(std::uint32_t node);

  /// The sire of a node of the book, a settled stand-in looked through; none if he is not known.
  std::uint32_t sire(std::uint32_t node) const;
  /// The stand-in of a node whose sire is taken to be its unlisted buck; none otherwise.
  std::uint32_t unlisted_sire(std::uint32_t node) const;
  /// By node of the book: whoever is `top` or descends from it.
  std::vector<bool> descendants(std::uint32_t top);

 private:
  const StandInChoice* choice_of(std::uint32_t stand_in) const;
  const Family& whole_family();

  RecordedBook& book_;
  const Neighbourhood& near_;
  std::vector<StandInChoice> choices_;
  std::optional<Family> changed_;  // empty where nothing is settled
  std::vector<double> own_;        // D within the neighbourhood
  std::unordered_map<std::uint32_t, std::vector<double>> near_rows_;
  std::optional<Family> whole_;
  std::optional<NodeInbreeding> whole_f_;
};

}  // namespace doewright
