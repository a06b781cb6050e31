// SPDX-License-Identifier: MIT
#include <algorithm>
#include <numeric>

#include "cells_forms.hpp"
#include "pedigree_forms.hpp"
#include "rank_words.hpp"

namespace doewright {

bool CellsLook::at_head(std::size_t doe, std::size_t offer) const {
  const auto& head = heads[doe];
  return std::find(head.begin(), head.end(), offer) != head.end();
}

bool CellsLook::drawn(const PairingAccount& pair) const {
  return all_drawn || (pair.rank == 1 && pair.verdict != Verdict::avoid);
}

CellsLook cells_look(const Herd& herd, const PairingTable& table) {
  CellsLook look{.herd = herd, .table = table, .weave = {}, .heads = {}};
  std::vector<std::size_t> times(table.sires.size(), 0);
  look.highest = 0.0;
  for (const DoeAccount& doe : table.does) {
    const auto open = choices_of(doe);
    look.heads.push_back(open.empty() ? std::vector<std::size_t>() : level_at_head(open));
    for (const std::size_t offer : look.heads.back()) ++times[offer];
    for (const PairingAccount& pair : doe.sires) {
      if (!pair.money) continue;
      look.lowest = std::min(look.lowest, pair.money->value);
      look.highest = std::max(look.highest, pair.money->value);
    }
  }
  if (look.highest <= look.lowest) look.highest = look.lowest + 1.0;
  look.all_drawn = table.does.size() * table.sires.size() <= cells_drawn_most;
  std::vector<std::size_t> order(table.sires.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return times[a] > times[b]; });
  look.weave.assign(table.sires.size(), threads_most);
  for (std::size_t k = 0; k < std::min(threads_most, order.size()); ++k) {
    if (times[order[k]] > 0) look.weave[order[k]] = k;
  }
  return look;
}

}  // namespace doewright
