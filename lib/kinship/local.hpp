// SPDX-License-Identifier: MIT
#pragma once
// Kinship inside the ancestors of a few animals: everything a question about people-sized lists
// needs.
#include <cstdint>
#include <span>
#include <vector>

#include "engines.hpp"
#include "family.hpp"

namespace doewright {

struct GroupKinship;

/// D of every node of a family, from F of its nodes and D of its stand-ins.
std::vector<double> own_parts(const Family& family, const NodeInbreeding& inbreeding);

/// Kinship of `node` with every node of the family: A e = T D T' e, one sweep up and one down,
/// halved. `own` is own_parts. Cost: two passes. With `groups` the first nodes are groups of
/// unknown parents, and between them stands twice their kinship instead of D.
std::vector<double> kinship_column(const Family& family, std::span<const double> own,
                                   std::uint32_t node, const GroupKinship* groups = nullptr);

/// Share of `node`'s genes that came from, or through, every node: row of T.
std::vector<double> gene_flow_row(const Family& family, std::uint32_t node);

/// The family with the lists of some stand-ins replaced: one candidate with chance 1 makes the
/// stand-in that buck; an empty list makes it a founder.
struct StandInChoice {
  std::uint32_t list = 0;              ///< Number of the stand-in.
  std::uint32_t taken = Family::none;  ///< Node of the candidate; none: the unlisted buck.
};
Family with_choices(const Family& family, std::span<const StandInChoice> choices);

}  // namespace doewright
