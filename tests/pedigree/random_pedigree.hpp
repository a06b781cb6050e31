// SPDX-License-Identifier: MIT
#pragma once
/// Random pedigrees for tests: the same for the same seed.
#include <algorithm>
#include <cstdint>
#include <random>
#include <vector>

#include <doewright/pedigree/pedigree.hpp>

namespace doewright_test {

/// n animals; some parents unknown, some sires uncertain, stand-ins shared now and then; one animal
/// may be both parents of a kid.
inline doewright::Pedigree random_pedigree(std::uint32_t n, std::mt19937& random) {
  using doewright::Animal;
  using doewright::Pedigree;
  std::vector<std::uint32_t> sires(n, Pedigree::none), dams(n, Pedigree::none);
  std::vector<std::vector<doewright::SireChance>> stand_ins;
  const auto below = [&](std::uint32_t bound) {
    return static_cast<std::uint32_t>(random() % bound);
  };
  for (std::uint32_t i = 1; i < n; ++i) {
    if (below(4) != 0) dams[i] = below(i);
    const std::uint32_t kind = below(6);
    if (kind < 3) {
      sires[i] = below(i);
    } else if (kind == 3 && !stand_ins.empty() && stand_ins.back().back().sire.position < i) {
      sires[i] = Pedigree::stand_in_bit | static_cast<std::uint32_t>(stand_ins.size() - 1);
    } else if (kind == 4) {
      std::vector<std::uint32_t> bucks;
      for (std::uint32_t k = 1 + below(3); k > 0; --k) bucks.push_back(below(i));
      std::sort(bucks.begin(), bucks.end());
      bucks.erase(std::unique(bucks.begin(), bucks.end()), bucks.end());
      std::vector<doewright::SireChance> list;
      for (const std::uint32_t buck : bucks) list.push_back({Animal{buck}, 0.25});
      sires[i] = Pedigree::stand_in_bit | static_cast<std::uint32_t>(stand_ins.size());
      stand_ins.push_back(list);
    }
  }
  return Pedigree(sires, dams, stand_ins);
}

}  // namespace doewright_test
