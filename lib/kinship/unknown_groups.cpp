// SPDX-License-Identifier: MIT
#include <doewright/kinship/unknown_groups.hpp>

#include <utility>

#include <doewright/core/errors.hpp>

#include "groups.hpp"

namespace doewright {

namespace {

GroupKinship checked_groups(const Pedigree& pedigree, const UnknownGroups& groups) {
  const Grid<double>& gamma = groups.gamma;
  if (groups.group_of.size() != pedigree.size()) {
    throw UsageError("kinship: group_of needs one entry an animal");
  }
  if (gamma.rows != gamma.columns || gamma.cells.size() != gamma.rows * gamma.columns) {
    throw UsageError("kinship: gamma is not square");
  }
  for (const std::uint32_t group : groups.group_of) {
    if (group != UnknownGroups::none && group >= gamma.rows) {
      throw UsageError("kinship: group_of names a group that gamma does not have");
    }
  }
  GroupKinship result;
  result.groups = static_cast<std::uint32_t>(gamma.rows);
  for (std::size_t g = 0; g < gamma.rows; ++g) {
    for (std::size_t h = 0; h < gamma.columns; ++h) {
      const double here = gamma(g, h);
      if (!(here >= 0.0 && here <= 2.0) || here != gamma(h, g)) {
        throw UsageError("kinship: gamma is not symmetric, or an entry is not in 0 to 2");
      }
      result.table.push_back(0.5 * here);
    }
  }
  return result;
}

GroupedBook grouped_book(const Pedigree& pedigree, const UnknownGroups& groups,
                         const Family& family, const Run& run) {
  GroupKinship between = checked_groups(pedigree, groups);
  throw_if_too_big(run, 60 * std::size_t{family.size()} + 16 * between.table.size(),
                   "relationships with groups of unknown parents");
  std::vector<std::uint32_t> group_of(family.size(), Family::none);
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
    const std::uint32_t node = family.node_of(Animal{i}), sire = family.sire(node);
    group_of[node] = groups.group_of[i];
    if (sire != Family::none && family.is_stand_in(sire) && group_of[sire] == Family::none) {
      group_of[sire] = groups.group_of[i];
    }
  }
  GroupedFamily grouped = with_groups(family, group_of, between.groups);
  NodeInbreeding nodes = node_inbreeding(grouped.family, run, &between);
  return GroupedBook(std::move(grouped), std::move(between), std::move(nodes));
}

}  // namespace

std::vector<double> inbreeding(const Pedigree& pedigree, const UnknownGroups& groups,
                               const Run& run) {
  const Family family(pedigree);
  const GroupedBook book = grouped_book(pedigree, groups, family, run);
  std::vector<double> f;
  f.reserve(pedigree.size());
  for (std::uint32_t i = 0; i < pedigree.size(); ++i)
    f.push_back(book.f_of(family.node_of(Animal{i})));
  return f;
}

Grid<double> relationships(const Pedigree& pedigree, const UnknownGroups& groups,
                           std::span<const Animal> rows, std::span<const Animal> columns,
                           const Run& run) {
  const Family family(pedigree);
  const auto nodes_of = [&](std::span<const Animal> animals) {
    std::vector<std::uint32_t> nodes;
    for (const Animal each : animals) {
      if (each.position >= pedigree.size()) {
        throw UsageError("kinship: an animal that is not of this pedigree");
      }
      nodes.push_back(family.node_of(each));
    }
    return nodes;
  };
  const auto of_rows = nodes_of(rows), of_columns = nodes_of(columns);
  throw_if_too_big(run, rows.size() * columns.size() * sizeof(double), "a block of relationships");
  const auto block = grouped_book(pedigree, groups, family, run).block(of_rows, of_columns, run);
  Grid<double> result(rows.size(), columns.size());
  for (std::size_t r = 0; r < rows.size(); ++r) {
    for (std::size_t c = 0; c < columns.size(); ++c) result(r, c) = 2.0 * block[r][c];
  }
  return result;
}

}  // namespace doewright
