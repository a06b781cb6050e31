// SPDX-License-Identifier: MIT
#include <algorithm>

#include <doewright/core/errors.hpp>
#include <doewright/kinship/inverse.hpp>

#include "model_state.hpp"

namespace doewright {

namespace {

/// Node of a group; `none` if there is none.
class GroupNodes {
 public:
  GroupNodes(const UnknownParentGroups& groups, std::uint32_t first)
      : groups_(groups), first_(first) {}
  std::uint32_t operator()(const std::vector<std::uint32_t>& of, std::uint32_t animal) const {
    const std::uint32_t group = of[animal];
    if (group == UnknownParentGroups::none) return ModelNodes::none;
    if (group >= groups_.groups) throw UsageError("merit: no such group of unknown parents");
    return first_ + group;
  }

 private:
  const UnknownParentGroups& groups_;
  std::uint32_t first_;
};

/// The rest of a stand-in's chances goes to the group of the sire of its first kid.
void put_groups_of_stand_ins(const Pedigree& pedigree, const UnknownParentGroups& groups,
                             const GroupNodes& node_of, ModelNodes& nodes) {
  std::vector<std::uint32_t> kid(pedigree.stand_ins(), ModelNodes::none);
  for (std::uint32_t a = nodes.animals; a-- > 0;) {
    const std::uint32_t slot = pedigree.sire_slots()[a];
    if (Pedigree::is_stand_in(slot)) kid[Pedigree::stand_in_of(slot)] = a;
  }
  std::vector<std::uint32_t> first = {0}, buck;
  std::vector<double> chance;
  for (std::uint32_t s = 0; s < nodes.stand_ins(); ++s) {
    double rest = 1.0;
    for (std::uint32_t k = nodes.list_first[s]; k < nodes.list_first[s + 1]; ++k) {
      buck.push_back(nodes.buck[k]);
      chance.push_back(nodes.chance[k]);
      rest -= nodes.chance[k];
    }
    const std::uint32_t group =
        kid[s] == ModelNodes::none ? ModelNodes::none : node_of(groups.of_sire, kid[s]);
    if (rest > 1e-12 && group != ModelNodes::none) {
      buck.push_back(group);
      chance.push_back(rest);
    }
    first.push_back(static_cast<std::uint32_t>(buck.size()));
  }
  nodes.list_first = std::move(first);
  nodes.buck = std::move(buck);
  nodes.chance = std::move(chance);
}

/// In the place of every unknown parent its group (Westell, Quaas and Van Vleck 1988).
void put_groups(const Pedigree& pedigree, std::span<const Animal> phantom_dams,
                const UnknownParentGroups& groups, ModelNodes& nodes) {
  if (groups.of_sire.size() != nodes.animals || groups.of_dam.size() != nodes.animals) {
    throw UsageError(
        "merit: every animal needs a group of its unknown sire and of its unknown dam");
  }
  nodes.groups = groups.groups;
  const GroupNodes node_of(groups, nodes.first_group());
  put_groups_of_stand_ins(pedigree, groups, node_of, nodes);
  const std::uint32_t first_phantom = nodes.animals + nodes.stand_ins();
  for (std::size_t k = 0; k < phantom_dams.size(); ++k) {
    const std::uint32_t group = node_of(groups.of_dam, phantom_dams[k].position);
    nodes.sire[first_phantom + k] = nodes.dam[first_phantom + k] = group;  // wholly of her group
  }
  for (std::uint32_t a = 0; a < nodes.animals; ++a) {
    if (nodes.sire[a] == ModelNodes::none) nodes.sire[a] = node_of(groups.of_sire, a);
    if (nodes.dam[a] == ModelNodes::none) nodes.dam[a] = node_of(groups.of_dam, a);
  }
  for (std::uint32_t g = nodes.first_group(); g < nodes.size(); ++g) {
    nodes.inverse_own[g] = groups.variance_ratio ? 1.0 / *groups.variance_ratio : 0.0;
  }
}

}  // namespace

ModelNodes model_nodes(const Pedigree& pedigree, std::span<const double> f,
                       std::span<const Animal> phantom_dams, const UnknownParentGroups& groups) {
  std::vector<double> own = sampling_variances(pedigree, f);
  const auto animals = static_cast<std::uint32_t>(pedigree.size());
  const auto stand_ins = static_cast<std::uint32_t>(pedigree.stand_ins());
  const std::size_t count = std::size_t{animals} + stand_ins + phantom_dams.size() + groups.groups;
  ModelNodes nodes;
  nodes.animals = animals;
  nodes.sire.reserve(count);
  nodes.dam.reserve(count);
  nodes.sire.assign(pedigree.sire_slots().begin(), pedigree.sire_slots().end());
  nodes.dam.assign(pedigree.dam_slots().begin(), pedigree.dam_slots().end());
  for (std::uint32_t& slot : nodes.sire) {
    if (Pedigree::is_stand_in(slot)) slot = animals + Pedigree::stand_in_of(slot);
  }
  nodes.list_first.push_back(0);
  for (std::uint32_t s = 0; s < stand_ins; ++s) {
    for (const SireChance& each : pedigree.stand_in(s)) {
      nodes.buck.push_back(each.sire.position);
      nodes.chance.push_back(each.probability);
    }
    nodes.list_first.push_back(static_cast<std::uint32_t>(nodes.buck.size()));
  }
  nodes.sire.resize(count, ModelNodes::none);
  nodes.dam.resize(count, ModelNodes::none);
  own.resize(count, 1.0);
  for (std::size_t k = 0; k < phantom_dams.size(); ++k) {
    const Animal kid = phantom_dams[k];
    if (kid.position >= animals || nodes.dam[kid.position] != ModelNodes::none) {
      throw UsageError("merit: a phantom dam is for an animal whose dam is not known");
    }
    nodes.dam[kid.position] = animals + stand_ins + static_cast<std::uint32_t>(k);
    own[kid.position] -= 0.25;  // what the unknown dam gave is the phantom's now
  }
  for (double& d : own) d = 1.0 / d;
  nodes.inverse_own = std::move(own);
  if (groups.groups > 0) put_groups(pedigree, phantom_dams, groups, nodes);
  return nodes;
}

std::vector<std::uint32_t> ModelNodes::parents_first() const {
  // Groups, then phantoms of them; a stand-in comes as soon as its last buck has come.
  std::vector<std::uint32_t> order;
  order.reserve(size());
  for (std::uint32_t node = first_group(); node < size(); ++node) order.push_back(node);
  for (std::uint32_t node = animals + stand_ins(); node < first_group(); ++node) {
    order.push_back(node);
  }
  std::vector<std::vector<std::uint32_t>> after(stand_ins() > 0 ? animals : 0);
  for (std::uint32_t s = 0; s < stand_ins(); ++s) {
    const auto begin = buck.begin() + list_first[s], end = buck.begin() + list_first[s + 1];
    std::uint32_t last = 0;
    for (auto each = begin; each != end; ++each) {
      if (*each < animals) last = std::max(last, *each);
    }
    after[last].push_back(animals + s);
  }
  for (std::uint32_t node = 0; node < animals; ++node) {
    order.push_back(node);
    if (!after.empty()) order.insert(order.end(), after[node].begin(), after[node].end());
  }
  return order;
}

}  // namespace doewright
