// SPDX-License-Identifier: MIT
#pragma once
/// Who names whom as a parent, before there is an order: may hold loops.
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/core/run.hpp>

namespace doewright {

/// A possible sire of an animal still known by its number.
struct Choice {
  std::uint32_t sire;   ///< ParentGraph::none: read as not known.
  std::uint32_t entry;  ///< Which entry of the lists named him first.
  double probability;
};

/// Animals by number (the order in which the builder first met their ids). Place 0 of an animal is
/// its sire, 1 its dam, 2 and on its possible sires.
struct ParentGraph {
  static constexpr std::uint32_t none = 0xFFFFFFFFu;

  std::vector<std::uint32_t> sire, dam;
  std::vector<std::uint32_t> first_choice;  ///< Empty, or one more than animals.
  std::vector<Choice> choices;

  std::uint32_t size() const { return static_cast<std::uint32_t>(sire.size()); }

  std::span<Choice> choices_of(std::uint32_t kid) {
    return std::span(choices).subspan(begin_of(kid), begin_of(kid + 1) - begin_of(kid));
  }
  std::span<const Choice> choices_of(std::uint32_t kid) const {
    return std::span(choices).subspan(begin_of(kid), begin_of(kid + 1) - begin_of(kid));
  }
  std::uint32_t places_of(std::uint32_t kid) const { return 2 + begin_of(kid + 1) - begin_of(kid); }
  std::uint32_t parent(std::uint32_t kid, std::uint32_t place) const {
    if (place == 0) return sire[kid];
    return place == 1 ? dam[kid] : choices[begin_of(kid) + place - 2].sire;
  }
  void forget_parent(std::uint32_t kid, std::uint32_t place) {
    if (place == 0) {
      sire[kid] = none;
    } else if (place == 1) {
      dam[kid] = none;
    } else {
      choices[begin_of(kid) + place - 2].sire = none;
    }
  }

 private:
  std::uint32_t begin_of(std::uint32_t kid) const {
    return first_choice.empty() ? 0 : first_choice[kid];
  }
};

/// A parent of an animal, by its place.
struct ParentPlace {
  std::uint32_t kid;
  std::uint32_t place;
};

struct OrderOfBirth {
  std::vector<std::uint32_t> numbers;  ///< Parents before offspring.
  /// Parents that would close a loop; without them there is none, and each of them, put back alone,
  /// would close one.
  std::vector<ParentPlace> closing;
};

/// Takes the animals in the order of `rows` (numbers, each once or more often), then those without
/// a row, and puts before each those of its parents that have not had their turn: sire, dam,
/// possible sires. \pre no animal is its own parent.
OrderOfBirth parents_first(const ParentGraph& graph, std::span<const std::uint32_t> rows,
                           const Run& run);

/// Animals each of which is an ancestor of itself and of all the others.
struct Knot {
  std::vector<std::uint32_t> loop;   ///< A shortest loop in it: each a kid of the next, round.
  std::vector<ParentPlace> closing;  ///< Those of OrderOfBirth::closing that lie in it.
};

/// The knots in the order of their first closing parent. \pre closing comes from parents_first and
/// the graph is the same. The search for short loops stops after a fixed amount of work, counted
/// over all knots; a loop found by then may not be the shortest of a knot of many thousand animals.
std::vector<Knot> find_knots(const ParentGraph& graph, std::span<const ParentPlace> closing,
                             const Run& run);

}  // namespace doewright
