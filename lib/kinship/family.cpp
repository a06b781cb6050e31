// SPDX-License-Identifier: MIT
#include "family.hpp"

#include <algorithm>
#include <unordered_map>
#include <utility>

namespace doewright {

Family::Family(const Pedigree& pedigree) : kept_(pedigree) {
  if (pedigree.stand_ins() > 0) {
    number_with_stand_ins(pedigree);
    return;
  }
  sires_ = kept_.sire_slots();
  dams_ = kept_.dam_slots();
}

Family::Family(std::vector<std::uint32_t> sires, std::vector<std::uint32_t> dams,
               std::vector<std::uint32_t> first, std::vector<ParentPart> candidates)
    : own_sires_(std::move(sires)),
      own_dams_(std::move(dams)),
      sires_(own_sires_),
      dams_(own_dams_),
      candidate_first_(std::move(first)),
      candidates_(std::move(candidates)) {
  stand_in_nodes_.assign(stand_ins(), none);
  for (std::uint32_t node = 0; node < size(); ++node) {
    if (is_stand_in(node)) stand_in_nodes_[list_of(node)] = node;
  }
}

void Family::number_with_stand_ins(const Pedigree& pedigree) {
  const auto sires = pedigree.sire_slots();
  const auto dams = pedigree.dam_slots();
  const auto lists = static_cast<std::uint32_t>(pedigree.stand_ins());
  stand_in_nodes_.assign(lists, none);
  node_of_.reserve(pedigree.size());
  const std::size_t nodes = pedigree.size() + lists;
  position_of_.reserve(nodes);
  own_sires_.reserve(nodes);
  own_dams_.reserve(nodes);
  const auto place_stand_in = [&](std::uint32_t list) {
    if (stand_in_nodes_[list] != none) return;
    stand_in_nodes_[list] = static_cast<std::uint32_t>(position_of_.size());
    position_of_.push_back(none);
    own_sires_.push_back(none);
    own_dams_.push_back(Pedigree::stand_in_bit | list);
  };
  const auto node_of_slot = [&](std::uint32_t slot) {
    if (slot == none) return none;
    return Pedigree::is_stand_in(slot) ? stand_in_nodes_[Pedigree::stand_in_of(slot)]
                                       : node_of_[slot];
  };
  for (std::uint32_t i = 0; i < pedigree.size(); ++i) {
    if (Pedigree::is_stand_in(sires[i])) place_stand_in(Pedigree::stand_in_of(sires[i]));
    node_of_.push_back(static_cast<std::uint32_t>(position_of_.size()));
    position_of_.push_back(i);
    own_sires_.push_back(node_of_slot(sires[i]));
    own_dams_.push_back(node_of_slot(dams[i]));
  }
  for (std::uint32_t list = 0; list < lists; ++list) place_stand_in(list);  // those without a kid
  for (std::uint32_t list = 0; list < lists; ++list) {
    for (const SireChance& chance : pedigree.stand_in(list)) {
      candidates_.push_back({node_of_[chance.sire.position], chance.probability});
    }
    candidate_first_.push_back(static_cast<std::uint32_t>(candidates_.size()));
  }
  sires_ = own_sires_;
  dams_ = own_dams_;
}

namespace {

/// Ancestors of `nodes`, themselves included, ascending. `is_new(node)` is true once a node.
template <class IsNew>
std::vector<std::uint32_t> collect(const Family& family, std::span<const std::uint32_t> nodes,
                                   IsNew&& is_new) {
  std::vector<std::uint32_t> found;
  const auto visit = [&](std::uint32_t node, double) {
    if (is_new(node)) found.push_back(node);
  };
  for (const std::uint32_t node : nodes) visit(node, 1.0);
  for (std::size_t next = 0; next < found.size(); ++next) {
    family.for_parents(found[next], visit);
  }
  std::sort(found.begin(), found.end());
  return found;
}

/// `place(node)` is the new number of an old node.
template <class Place>
Family renumbered(const Family& family, std::span<const std::uint32_t> original, Place&& place) {
  std::vector<std::uint32_t> sires, dams, first = {0};
  std::vector<ParentPart> candidates;
  sires.reserve(original.size());
  dams.reserve(original.size());
  const auto moved = [&](std::uint32_t node) {
    return node == Family::none ? Family::none : place(node);
  };
  for (const std::uint32_t node : original) {
    sires.push_back(moved(family.sire(node)));
    if (!family.is_stand_in(node)) {
      dams.push_back(moved(family.dam(node)));
      continue;
    }
    dams.push_back(Pedigree::stand_in_bit | static_cast<std::uint32_t>(first.size() - 1));
    for (const ParentPart& candidate : family.candidates(family.list_of(node))) {
      candidates.push_back({place(candidate.node), candidate.part});
    }
    first.push_back(static_cast<std::uint32_t>(candidates.size()));
  }
  return Family(std::move(sires), std::move(dams), std::move(first), std::move(candidates));
}

/// Up to this many nodes an array of marks is cheaper than a hash table.
constexpr std::uint32_t few_nodes = 1u << 15;

}  // namespace

Ancestry ancestry(const Family& family, std::span<const std::uint32_t> nodes) {
  const auto finish = [&](std::vector<std::uint32_t> original, auto&& place) {
    std::vector<std::uint32_t> asked;
    asked.reserve(nodes.size());
    for (const std::uint32_t node : nodes) asked.push_back(place(node));
    Family part = renumbered(family, original, place);
    return Ancestry{std::move(part), std::move(original), std::move(asked)};
  };
  if (family.size() <= few_nodes) {
    std::vector<std::uint32_t> number(family.size(), Family::none);
    auto original = collect(family, nodes, [&](std::uint32_t node) {
      return std::exchange(number[node], 0u) == Family::none;
    });
    for (std::uint32_t i = 0; i < original.size(); ++i) number[original[i]] = i;
    return finish(std::move(original), [&](std::uint32_t node) { return number[node]; });
  }
  std::unordered_map<std::uint32_t, std::uint32_t> number;
  auto original =
      collect(family, nodes, [&](std::uint32_t node) { return number.emplace(node, 0u).second; });
  for (std::uint32_t i = 0; i < original.size(); ++i) number[original[i]] = i;
  return finish(std::move(original), [&](std::uint32_t node) { return number.find(node)->second; });
}

}  // namespace doewright
