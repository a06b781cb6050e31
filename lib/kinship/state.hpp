// SPDX-License-Identifier: MIT
#pragma once
// What a Kinship holds, and the questions its files share.
#include <optional>

#include <doewright/kinship/kinship.hpp>

#include "classes.hpp"
#include "engines.hpp"
#include "family.hpp"
#include "local.hpp"

namespace doewright {

struct KinshipState {
  Pedigree pedigree;
  UnknownParents unknowns;
  Family family;
  NodeInbreeding nodes;                ///< F by node.
  std::optional<ClassedBook> classed;  ///< Reading 2 by breed and birth year.
  std::vector<double> f;               ///< F by position; empty where nodes.f is the same.
  bool is_part = false;  ///< Made for some animals: nodes holds F of `part` alone, 0 elsewhere.
  std::vector<std::uint32_t> part;  ///< Their nodes and those of their ancestors, ascending.

  KinshipState(Pedigree of, UnknownParents blanks, const Run& run);
  KinshipState(Pedigree of, UnknownParents blanks, std::span<const Animal> asked, const Run& run);

  /// \throws UsageError  if it is not there, or F is not worked out for it.
  std::uint32_t checked_node(Animal animal) const;

  std::span<const double> inbreeding() const {
    if (is_part) return {};
    return f.empty() ? std::span<const double>(nodes.f) : f;
  }

  /// A family of the ancestors of some nodes with F and D as they are in the whole pedigree.
  struct Local {
    Ancestry ancestry;
    NodeInbreeding nodes;
    std::vector<double> own;
  };
  Local local(std::span<const std::uint32_t> nodes_asked) const;

  /// Does animal x come before y by id; by position where ids are not given.
  bool comes_before(std::uint32_t x, std::uint32_t y) const {
    return unknowns.ids.size() == 0 ? x < y : unknowns.ids[Animal{x}] < unknowns.ids[Animal{y}];
  }
};

}  // namespace doewright
