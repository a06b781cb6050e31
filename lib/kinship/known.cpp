// SPDX-License-Identifier: MIT
#include <doewright/kinship/known.hpp>

#include <algorithm>
#include <array>
#include <map>

#include <doewright/core/errors.hpp>

#include "family.hpp"

namespace doewright {

namespace {

/// Calls visit(parent's node, places it fills for each place of `node`): stand-ins are looked
/// through.
template <class Visit>
void for_filled(const Family& family, std::uint32_t node, Visit&& visit) {
  family.for_parents(node, [&](std::uint32_t parent, double) {
    if (!family.is_stand_in(parent)) return visit(parent, 1.0);
    for (const ParentPart& buck : family.candidates(family.list_of(parent)))
      visit(buck.node, buck.part);
  });
}

double generations_of(const Family& family, std::uint32_t node,
                      const std::vector<double>& generations) {
  double sum = 0.0;
  for_filled(family, node, [&](std::uint32_t parent, double places) {
    sum += 0.5 * places * (1.0 + generations[parent]);
  });
  return sum;
}

}  // namespace

Known known(const Pedigree& pedigree, Animal animal) {
  const std::array animals = {animal};
  const AncestorPedigree near = ancestors_only(pedigree, animals);
  const Family family(near.pedigree);
  const std::uint32_t self = family.node_of(near.asked.front());

  Known result;
  std::map<std::uint32_t, double> generation = {{self, 1.0}};  // node: places it fills
  for (std::size_t g = 0; g < result.places.size(); ++g) {
    std::map<std::uint32_t, double> next;
    for (const auto& [node, places] : generation) {
      for_filled(family, node, [&, filled = places](std::uint32_t parent, double each) {
        next[parent] += filled * each;
      });
    }
    for (const auto& [node, places] : next) result.places[g] += places;
    result.share += result.places[g] / static_cast<double>(2u << g);
    generation = std::move(next);
  }
  result.share /= static_cast<double>(result.places.size());

  std::vector<double> generations(family.size(), 0.0);
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    if (!family.is_stand_in(node)) generations[node] = generations_of(family, node, generations);
  }
  result.generations = generations[self];
  return result;
}

double known_of_pair(double share_a, double share_b) noexcept {
  const double sum = share_a + share_b;
  return sum > 0.0 ? 2.0 * share_a * share_b / sum : 0.0;
}

std::vector<double> generations_known(const Pedigree& pedigree) {
  const Family family(pedigree);
  std::vector<double> by_node(family.size(), 0.0);
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    if (!family.is_stand_in(node)) by_node[node] = generations_of(family, node, by_node);
  }
  if (family.stand_ins() == 0) return by_node;
  std::vector<double> result(pedigree.size());
  for (std::uint32_t i = 0; i < result.size(); ++i) result[i] = by_node[family.node_of(Animal{i})];
  return result;
}

std::vector<double> completeness(const Pedigree& pedigree, int depth, const Run& run) {
  if (depth < 1 || depth > 16) throw UsageError("completeness: a depth from 1 to 16 is needed");
  const Family family(pedigree);
  const auto d = static_cast<std::size_t>(depth);

  // Of every parent: the share of its own places known in generation 0 (itself, 1) to depth - 1.
  std::vector<std::uint32_t> row(family.size(), Family::none);
  std::uint32_t rows = 0;
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    for_filled(family, node, [&](std::uint32_t parent, double) {
      if (row[parent] == Family::none) row[parent] = rows++;
    });
  }
  throw_if_too_big(run, rows * d * sizeof(double) + 12 * std::size_t{family.size()},
                   "completeness");
  std::vector<double> shares(rows * d, 0.0);

  std::vector<double> result(pedigree.size(), 0.0);
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    if ((node & 0xFFFFF) == 0) throw_if_stopped(run);
    if (family.is_stand_in(node)) continue;
    double* const own = row[node] == Family::none ? nullptr : &shares[row[node] * d];
    if (own != nullptr) own[0] = 1.0;
    // Mean share of ancestors known on one side, the parent being its first generation.
    const auto side = [&](std::uint32_t parent) {
      if (parent == Family::none) return 0.0;
      double sum = 0.0;
      const auto add = [&](std::uint32_t who, double places) {
        const double* const his = &shares[row[who] * d];
        for (std::size_t g = 0; g < d; ++g) {
          sum += places * his[g];
          if (own != nullptr && g + 1 < d) own[g + 1] += 0.5 * places * his[g];
        }
      };
      if (family.is_stand_in(parent)) {
        for (const ParentPart& buck : family.candidates(family.list_of(parent)))
          add(buck.node, buck.part);
      } else {
        add(parent, 1.0);
      }
      return sum / static_cast<double>(depth);
    };
    const double a = side(family.sire(node)), b = side(family.dam(node));
    result[family.position_of(node)] = a > 0.0 && b > 0.0 ? 2.0 * a * b / (a + b) : 0.0;
  }
  return result;
}

}  // namespace doewright
