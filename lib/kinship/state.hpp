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

  KinshipState(Pedigree of, UnknownParents blanks, const Run& run);

  std::span<const double> inbreeding() const {
    return f.empty() ? std::span<const double>(nodes.f) : f;
  }

  /// A family of the ancestors of some nodes with F and D as they are in the whole pedigree.
  struct Local {
    Ancestry ancestry;
    NodeInbreeding nodes;
    std::vector<double> own;
  };
  Local local(std::span<const std::uint32_t> nodes_asked) const;

  /// The order of two animals by id; by position where ranks are not given.
  std::uint32_t rank(std::uint32_t position) const {
    return unknowns.id_rank.empty() ? position : unknowns.id_rank[position];
  }
};

}  // namespace doewright
