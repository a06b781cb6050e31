// SPDX-License-Identifier: MIT
// Groups of unknown parents that are kin, beside the tabular rule with a row a group (Legarra et
// al. 2015). The published case is in test_reference.cpp.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/kinship/unknown_groups.hpp>

#include "kinship/twins.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

/// A over groups, then the nodes of the graph. `group_of` by node of the graph.
Matrix table_with_groups(const Graph& graph, const std::vector<std::uint32_t>& group_of,
                         const Grid<double>& gamma) {
  const std::size_t groups = gamma.rows, n = groups + graph.parents.size();
  Matrix a(n, std::vector<double>(n, 0.0));
  std::vector<std::size_t> done;
  for (std::size_t g = 0; g < groups; ++g) {
    for (std::size_t h = 0; h < groups; ++h) a[g][h] = gamma(g, h);
    done.push_back(g);
  }
  for (const std::size_t i : graph.order()) {
    double missing = 1.0, own = 0.0;
    std::vector<Graph::Part> parts;
    for (const auto& part : graph.parents[i]) {
      parts.push_back({groups + part.parent, part.part});
      missing -= part.part;
      own += part.part * a[groups + part.parent][groups + part.parent];
    }
    const bool has_group = group_of[i] != UnknownGroups::none && missing > 1e-12;
    if (has_group) parts.push_back({group_of[i], missing});
    const std::size_t row = groups + i;
    for (const std::size_t j : done) {
      for (const auto& part : parts) a[row][j] += part.part * a[part.parent][j];
      a[j][row] = a[row][j];
    }
    if (graph.is_stand_in[i]) {
      const double self = has_group ? 1.0 + gamma(group_of[i], group_of[i]) / 2.0 : 1.0;
      a[row][row] = own + std::max(missing, 0.0) * self;
    } else {
      const auto parent = [&](std::size_t k) {
        if (k < graph.parents[i].size()) return groups + graph.parents[i][k].parent;
        return has_group ? std::size_t{group_of[i]} : n;
      };
      a[row][row] = parent(0) == n || parent(1) == n ? 1.0 : 1.0 + a[parent(0)][parent(1)] / 2.0;
    }
    done.push_back(row);
  }
  return a;
}

std::vector<Animal> all_of(const Pedigree& pedigree) {
  std::vector<Animal> all;
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) all.push_back(Animal{i});
  return all;
}

}  // namespace

TEST_CASE("groups of unknown parents beside the tabular rule, uncertain sires too") {
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 211);
    const Pedigree pedigree = random_pedigree(dice, {.animals = 30,
                                                     .founders = 4,
                                                     .blank = 25,
                                                     .unsure = seed % 2 == 0 ? 0u : 30u,
                                                     .most_unsure = 4,
                                                     .reach = 5});
    const std::uint32_t number = 1 + dice.below(4);
    UnknownGroups groups;
    groups.gamma = Grid<double>(number, number);
    for (std::uint32_t g = 0; g < number; ++g) {
      for (std::uint32_t h = 0; h <= g; ++h) {
        groups.gamma(g, h) = groups.gamma(h, g) = dice.below(g == h ? 120 : 40) / 100.0;
      }
    }
    for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
      groups.group_of.push_back(dice.in_hundred(15) ? UnknownGroups::none : dice.below(number));
    }
    const Graph graph(pedigree);
    std::vector<std::uint32_t> of_node = groups.group_of;
    of_node.resize(graph.parents.size(), UnknownGroups::none);
    for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
      const std::uint32_t sire = pedigree.sire_slots()[i];
      if (!Pedigree::is_stand_in(sire)) continue;
      std::uint32_t& of_list = of_node[pedigree.size() + Pedigree::stand_in_of(sire)];
      if (of_list == UnknownGroups::none) of_list = groups.group_of[i];
    }
    const Matrix table = table_with_groups(graph, of_node, groups.gamma);
    const auto all = all_of(pedigree);
    const Grid<double> a = relationships(pedigree, groups, all, all);
    const std::vector<double> f = inbreeding(pedigree, groups);
    double off = 0.0;
    for (std::size_t i = 0; i < all.size(); ++i) {
      CHECK(std::abs(f[i] - (table[number + i][number + i] - 1.0)) <= 1e-12);
      for (std::size_t j = 0; j < all.size(); ++j) {
        off = std::max(off, std::abs(a(i, j) - table[number + i][number + j]));
      }
    }
    CHECK(off <= 1e-12);
  }
}

TEST_CASE("no group, or Gamma 0, gives the ordinary relationships; what is no group is refused") {
  Dice dice(77);
  const Pedigree pedigree = random_pedigree(
      dice,
      {.animals = 40, .founders = 4, .blank = 20, .unsure = 30, .most_unsure = 4, .reach = 5});
  const auto all = all_of(pedigree);
  UnknownGroups groups;
  groups.group_of.assign(pedigree.size(), 0);
  groups.gamma = Grid<double>(1, 1, 0.0);
  const Grid<double> zero = relationships(pedigree, groups, all, all);
  groups.group_of.assign(pedigree.size(), UnknownGroups::none);
  const Grid<double> without = relationships(pedigree, groups, all, all);
  const Kinship kinship(pedigree);
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
    for (std::uint32_t j = 0; j < pedigree.size(); ++j) {
      CHECK(std::abs(zero(i, j) - 2.0 * kinship.of(Animal{i}, Animal{j})) <= 1e-12);
      CHECK(std::abs(without(i, j) - zero(i, j)) <= 1e-12);
    }
  }
  groups.group_of.pop_back();
  CHECK_THROWS_AS(inbreeding(pedigree, groups), UsageError);
  groups.group_of.push_back(1);
  CHECK_THROWS_AS(inbreeding(pedigree, groups), UsageError);
  groups.group_of.back() = 0;
  groups.gamma(0, 0) = 2.5;
  CHECK_THROWS_AS(inbreeding(pedigree, groups), UsageError);
  groups.gamma = Grid<double>(2, 2, 0.0);
  groups.gamma(0, 1) = 0.5;
  CHECK_THROWS_AS(inbreeding(pedigree, groups), UsageError);
  groups.gamma = Grid<double>(1, 2, 0.0);
  CHECK_THROWS_AS(inbreeding(pedigree, groups), UsageError);
  groups.gamma = Grid<double>(1, 1, 0.0);
  const std::vector<Animal> stranger = {Animal{40}};
  CHECK_THROWS_AS(relationships(pedigree, groups, stranger, all), UsageError);
}
