// SPDX-License-Identifier: MIT
#include <algorithm>

#include <doewright/core/errors.hpp>
#include <doewright/kinship/inverse.hpp>

#include "model_state.hpp"

namespace doewright {

ModelNodes model_nodes(const Pedigree& pedigree, std::span<const double> f,
                       std::span<const Animal> phantom_dams) {
  std::vector<double> own = sampling_variances(pedigree, f);
  const auto animals = static_cast<std::uint32_t>(pedigree.size());
  const auto stand_ins = static_cast<std::uint32_t>(pedigree.stand_ins());
  const std::size_t count = std::size_t{animals} + stand_ins + phantom_dams.size();
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
  return nodes;
}

std::vector<std::uint32_t> ModelNodes::parents_first() const {
  // Phantoms are founders; a stand-in comes as soon as its last buck has come.
  std::vector<std::uint32_t> order;
  order.reserve(size());
  for (std::uint32_t node = animals + stand_ins(); node < size(); ++node) order.push_back(node);
  std::vector<std::vector<std::uint32_t>> after(stand_ins() > 0 ? animals : 0);
  for (std::uint32_t s = 0; s < stand_ins(); ++s) {
    const auto begin = buck.begin() + list_first[s], end = buck.begin() + list_first[s + 1];
    after[*std::max_element(begin, end)].push_back(animals + s);
  }
  for (std::uint32_t node = 0; node < animals; ++node) {
    order.push_back(node);
    if (!after.empty()) order.insert(order.end(), after[node].begin(), after[node].end());
  }
  return order;
}

}  // namespace doewright
