// SPDX-License-Identifier: MIT
#include "groups.hpp"

#include <algorithm>
#include <utility>

#include "local.hpp"

namespace doewright {

namespace {

constexpr double same = 1e-12;

/// Arrays of a family while it is written, node after node.
class GroupedWriter {
 public:
  GroupedWriter(const Family& old, std::span<const std::uint32_t> group_of, std::uint32_t groups)
      : old_(old), group_of_(group_of) {
    node_of_.assign(old.size(), Family::none);
    unlisted_.assign(old.stand_ins(), Family::none);
    sires_.assign(groups, Family::none);
    dams_.assign(groups, Family::none);
  }

  GroupedFamily write() && {
    for (std::uint32_t node = 0; node < old_.size(); ++node) {
      if (old_.is_stand_in(node)) {
        add_unlisted(node);
        node_of_[node] = add(Family::none, Pedigree::stand_in_bit | old_.list_of(node));
      } else {
        node_of_[node] = add(parent(old_.sire(node), node), parent(old_.dam(node), node));
      }
    }
    std::vector<std::uint32_t> first = {0};
    std::vector<ParentPart> candidates;
    for (std::uint32_t list = 0; list < old_.stand_ins(); ++list) {
      for (const ParentPart& each : old_.candidates(list)) {
        candidates.push_back({node_of_[each.node], each.part});
      }
      if (unlisted_[list] != Family::none) candidates.push_back({unlisted_[list], rest(list)});
      first.push_back(static_cast<std::uint32_t>(candidates.size()));
    }
    Family family(std::move(sires_), std::move(dams_), std::move(first), std::move(candidates));
    return {std::move(family), std::move(node_of_)};
  }

 private:
  std::uint32_t add(std::uint32_t sire, std::uint32_t dam) {
    sires_.push_back(sire);
    dams_.push_back(dam);
    return static_cast<std::uint32_t>(sires_.size() - 1);
  }

  std::uint32_t parent(std::uint32_t old_parent, std::uint32_t kid) const {
    return old_parent == Family::none ? group_of_[kid] : node_of_[old_parent];
  }

  double rest(std::uint32_t list) const {
    double left = 1.0;
    for (const ParentPart& each : old_.candidates(list)) left -= each.part;
    return left;
  }

  void add_unlisted(std::uint32_t stand_in) {
    const std::uint32_t list = old_.list_of(stand_in), group = group_of_[stand_in];
    if (group != Family::none && rest(list) > same) unlisted_[list] = add(group, group);
  }

  const Family& old_;
  std::span<const std::uint32_t> group_of_;
  std::vector<std::uint32_t> node_of_, unlisted_, sires_, dams_;
};

}  // namespace

GroupKinship groups_among(const GroupKinship& all, std::span<const std::uint32_t> nodes) {
  GroupKinship here;
  while (here.groups < nodes.size() && nodes[here.groups] < all.groups) ++here.groups;
  for (std::uint32_t g = 0; g < here.groups; ++g) {
    for (std::uint32_t h = 0; h < here.groups; ++h) {
      here.table.push_back(all.between(nodes[g], nodes[h]));
    }
  }
  return here;
}

GroupedFamily with_groups(const Family& family, std::span<const std::uint32_t> group_of,
                          std::uint32_t groups) {
  return GroupedWriter(family, group_of, groups).write();
}

std::vector<std::vector<double>> GroupedBook::block(std::span<const std::uint32_t> rows,
                                                    std::span<const std::uint32_t> columns,
                                                    const Run& run) const {
  std::vector<std::uint32_t> asked;
  for (const std::uint32_t node : rows) asked.push_back(grouped_.node_of[node]);
  for (const std::uint32_t node : columns) asked.push_back(grouped_.node_of[node]);
  const Ancestry near = ancestry(grouped_.family, asked);

  NodeInbreeding here;
  here.stand_in_own.resize(near.family.stand_ins());
  const GroupKinship groups = groups_among(between_, near.original);
  for (std::uint32_t i = 0; i < near.original.size(); ++i) {
    const std::uint32_t node = near.original[i];
    here.f.push_back(nodes_.f[node]);
    if (near.family.is_stand_in(i)) {
      here.stand_in_own[near.family.list_of(i)] =
          nodes_.stand_in_own[grouped_.family.list_of(node)];
    }
  }
  const std::vector<double> own = own_parts(near.family, here);
  std::vector<std::vector<double>> result(rows.size());
  parallel_blocks(rows.size(), 1, run, [&](std::size_t begin, std::size_t end) {
    for (std::size_t r = begin; r < end; ++r) {
      const auto column = kinship_column(near.family, own, near.asked[r], &groups);
      for (std::size_t c = 0; c < columns.size(); ++c) {
        result[r].push_back(column[near.asked[rows.size() + c]]);
      }
    }
  });
  return result;
}

std::vector<double> GroupedBook::unknowns_of(std::span<const std::uint32_t> nodes) const {
  std::vector<double> result;
  for (const std::uint32_t each : nodes) {
    const std::uint32_t asked[] = {grouped_.node_of[each]};
    const Ancestry near = ancestry(grouped_.family, asked);
    const std::vector<double> share = gene_flow_row(near.family, near.asked[0]);
    double sum = 0.0;
    for (std::uint32_t i = 0; i < near.original.size() && near.original[i] < between_.groups; ++i) {
      sum += share[i] * between_.between(near.original[i], near.original[i]);
    }
    result.push_back(sum);
  }
  return result;
}

}  // namespace doewright
