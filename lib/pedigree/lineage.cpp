// SPDX-License-Identifier: MIT
#include <doewright/pedigree/lineage.hpp>

#include <unordered_set>
#include <utility>
#include <vector>

namespace doewright {

std::optional<std::string> place_of(const Pedigree& pedigree, Animal animal, Animal ancestor) {
  std::vector<std::pair<Animal, std::string>> generation = {{animal, ""}};
  std::unordered_set<std::uint32_t> seen = {animal.position};
  while (!generation.empty()) {
    for (const auto& [who, place] : generation) {
      if (who == ancestor) return place;
    }
    std::vector<std::pair<Animal, std::string>> next;
    const auto visit = [&](Animal parent, std::string place) {
      // An animal older than the one looked for cannot lead to it.
      if (parent < ancestor || !seen.insert(parent.position).second) return;
      next.emplace_back(parent, std::move(place));
    };
    for (const auto& [who, place] : generation) {
      if (const auto dam = pedigree.dam(who)) visit(*dam, place + 'd');
      for (const SireChance& chance : pedigree.possible_sires(who)) visit(chance.sire, place + 's');
    }
    generation = std::move(next);
  }
  return std::nullopt;
}

}  // namespace doewright
