// SPDX-License-Identifier: MIT
#pragma once
// Unknown parents that are kin of each other. They come in groups: a missing parent is drawn from
// its group, two that are drawn have the kinship given for their groups, be it one group or two.
//   Legarra et al. (2015), Genetics 200:455-468: a group is one more node, the sire or dam of those
//   whose parent is missing; between groups stands Gamma (2 x the kinship here) instead of 1, 0.
// With F(group) = 2 kinship(g, g) - 1 every rule for D, F and rows holds as it stands.
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "engines.hpp"
#include "family.hpp"

namespace doewright {

/// Kinship between the groups, which are the first nodes of a family.
struct GroupKinship {
  std::uint32_t groups = 0;
  std::vector<double> table;  ///< groups x groups, symmetric.

  double between(std::uint32_t g, std::uint32_t h) const {
    return table[std::size_t{g} * groups + h];
  }
};

/// The groups among some nodes, ascending, in their own numbers.
GroupKinship groups_among(const GroupKinship& all, std::span<const std::uint32_t> nodes);

/// A family in which missing parents are groups. The buck who is not on the list of an uncertain
/// sire is an animal of his own, whose parents are of the group.
struct GroupedFamily {
  Family family;
  std::vector<std::uint32_t> node_of;  ///< New node of every node of the ungrouped family.
};

/// `group_of` by node (of a stand-in: the group of the unlisted buck's parents); none: the missing
/// parents of that node stay unrelated founders.
GroupedFamily with_groups(const Family& family, std::span<const std::uint32_t> group_of,
                          std::uint32_t groups);

/// Questions about a few animals of such a family.
class GroupedBook {
 public:
  GroupedBook(GroupedFamily grouped, GroupKinship between, NodeInbreeding nodes)
      : grouped_(std::move(grouped)), between_(std::move(between)), nodes_(std::move(nodes)) {}

  /// Kinship of every row with every column, in nodes of the ungrouped family.
  std::vector<std::vector<double>> block(std::span<const std::uint32_t> rows,
                                         std::span<const std::uint32_t> columns,
                                         const Run& run) const;
  /// Of each node: the mean kinship of a group with itself, over its missing ancestors, each by the
  /// part of the genes that comes from there. \pre every missing parent has a group.
  std::vector<double> unknowns_of(std::span<const std::uint32_t> nodes) const;
  double f_of(std::uint32_t node) const { return nodes_.f[grouped_.node_of[node]]; }
  const GroupKinship& between() const { return between_; }
  const NodeInbreeding& nodes() const { return nodes_; }
  const GroupedFamily& grouped() const { return grouped_; }

 private:
  GroupedFamily grouped_;
  GroupKinship between_;
  NodeInbreeding nodes_;
};

}  // namespace doewright
