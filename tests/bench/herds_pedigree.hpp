// SPDX-License-Identifier: MIT
#pragma once
/// The pedigree that the benchmarks share: herds like goat herds.
#include <algorithm>
#include <cstdint>
#include <random>
#include <vector>

#include <doewright/pedigree/pedigree.hpp>

namespace doewright::testing {

/// Herds of 40 does and two bucks over 40 years; bucks stay three years and come from a nucleus of
/// one herd in twenty, from a neighbour, or (one in seven) from home; a fifth of the does is
/// replaced a year.
inline Pedigree herds(std::size_t animals, unsigned seed) {
  std::mt19937 source(seed);
  const auto below = [&](std::size_t n) { return static_cast<std::uint32_t>(source() % n); };
  const std::size_t years = 40, does = 40, kids = 70;
  const std::size_t count = std::max<std::size_t>(2, animals / (years * kids));
  struct Herd {
    std::vector<std::uint32_t> does, bucks, doe_kids, buck_kids;
  };
  std::vector<Herd> all(count);
  std::vector<std::uint32_t> sires, dams;
  const auto add = [&](std::uint32_t sire, std::uint32_t dam) {
    sires.push_back(sire);
    dams.push_back(dam);
    return static_cast<std::uint32_t>(sires.size() - 1);
  };
  for (Herd& herd : all) {
    for (std::size_t i = 0; i < does; ++i) herd.does.push_back(add(Pedigree::none, Pedigree::none));
    for (int i = 0; i < 2; ++i) herd.bucks.push_back(add(Pedigree::none, Pedigree::none));
  }
  for (std::size_t year = 0; year < years && sires.size() < animals; ++year) {
    for (Herd& herd : all) {
      herd.doe_kids.clear();
      herd.buck_kids.clear();
      for (std::size_t k = 0; k < kids && sires.size() < animals; ++k) {
        const std::uint32_t kid = add(herd.bucks[below(2)], herd.does[below(does)]);
        (k % 2 == 0 ? herd.doe_kids : herd.buck_kids).push_back(kid);
      }
    }
    for (std::size_t h = 0; h < count; ++h) {
      Herd& herd = all[h];
      if (herd.doe_kids.empty() || herd.buck_kids.empty()) continue;
      for (std::size_t i = 0; i < does / 5; ++i)
        herd.does[below(does)] = herd.doe_kids[below(herd.doe_kids.size())];
      if (year % 3 != h % 3) continue;
      for (std::uint32_t& buck : herd.bucks) {
        const std::uint32_t from = below(7);
        const std::size_t nucleus = below(std::max<std::size_t>(1, count / 20));
        const Herd& origin = from == 0 ? herd : from < 5 ? all[nucleus] : all[(h + 1) % count];
        if (!origin.buck_kids.empty()) buck = origin.buck_kids[below(origin.buck_kids.size())];
      }
    }
  }
  return Pedigree(std::move(sires), std::move(dams));
}

}  // namespace doewright::testing
