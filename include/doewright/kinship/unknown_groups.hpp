// SPDX-License-Identifier: MIT
#pragma once
/// Relationships where unknown parents are kin of each other, by groups (metafounders).
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// Whose missing parents come from which group, and how the groups are related.
struct UnknownGroups {
  static constexpr std::uint32_t none = 0xFFFFFFFFu;

  /// By animal: the group its missing parents come from; of an uncertain sire with a rest, the
  /// group of his first kid's. `none`, or an animal of which nothing is missing: no group; a
  /// missing parent without a group is an unrelated founder of its own.
  std::vector<std::uint32_t> group_of;
  /// Gamma, groups x groups: the additive relationship of an animal both of whose parents are
  /// missing, of group g, with another such of group h (g = h too). Not a kinship, which is half of
  /// it; not an inbreeding: such an animal has F = Gamma(g, g) / 2. 0 everywhere: the ordinary
  /// relationships.
  Grid<double> gamma;
};

/// F(i) = A(sire, dam) / 2 of every animal, in pedigree order, in [0, 1] if Gamma is.
///
/// A follows the ordinary rules, groups being the first rows: A(g, h) = Gamma(g, h), a missing
/// parent is its group's row, A(i, i) = 1 + F(i). The buck who is not on the list of an uncertain
/// sire is an animal whose parents are missing. \throws  UsageError if group_of has not one entry
/// an animal, names a group that is not there, or Gamma
///          is not square, not symmetric, or has an entry outside [0, 2]; LimitError, Cancelled.
///          That Gamma is positive semidefinite is not looked at.
/// Accuracy within 1e-12 of exact fractions (tests/kinship/test_reference.cpp, case
///          derived-metafounder; test_groups.cpp beside a slow twin).
/// Cost     that of inbreeding(pedigree); with many groups, up to groups x groups a sire more.
/// Source   Legarra, Christensen, Vitezica, Aguilar and Misztal (2015), Genetics 200:455-468.
DOEWRIGHT_EXPORT std::vector<double> inbreeding(const Pedigree& pedigree,
                                                const UnknownGroups& groups, const Run& run = {});

/// A of every row with every column: additive relationships, twice the kinships; of an animal with
/// itself 1 + F. \throws  as above; UsageError for an animal that is not of this pedigree.
/// Cost: that of F of all, and two passes over their ancestors a row.
DOEWRIGHT_EXPORT Grid<double> relationships(const Pedigree& pedigree, const UnknownGroups& groups,
                                            std::span<const Animal> rows,
                                            std::span<const Animal> columns, const Run& run = {});

}  // namespace doewright
