// SPDX-License-Identifier: MIT
// Inbreeding by a table of the kinships between the parents in use: Emik and Terrill's tabular rule
// (1949, J. Hered. 40:51-55), K(i,q) = (K(sire,q) + K(dam,q)) / 2, with a row kept only from an
// animal's birth to its last kid. Differences from the source: rows are dropped and their places
// used again; a founder comes in right before its first kid; kinships, not relationships; a
// stand-in's row is the mean of its candidates' rows, weighted by their chances (Henderson 1988).
#include <algorithm>
#include <utility>

#include "engines.hpp"
#include "groups.hpp"

namespace doewright {

namespace {

bool is_founder(const Family& family, std::uint32_t node) {
  return family.sire(node) == Family::none && family.dam(node) == Family::none &&
         !family.is_stand_in(node);
}

/// The last node that has each node as a parent; none for animals without kids.
std::vector<std::uint32_t> last_uses(const Family& family) {
  std::vector<std::uint32_t> last(family.size(), Family::none);
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    family.for_parents(node, [&](std::uint32_t parent, double) { last[parent] = node; });
  }
  return last;
}

/// Walks the nodes in order and says who comes into use and who goes: enter(node) for a parent,
/// groups at the beginning, founders right before their first kid; look(node) while all its parents
/// are in use; leave(node).
template <class Enter, class Look, class Leave>
void walk(const Family& family, const std::vector<std::uint32_t>& last, std::uint32_t groups,
          Enter&& enter, Look&& look, Leave&& leave) {
  std::vector<bool> is_in(family.size(), false);
  for (std::uint32_t group = 0; group < groups; ++group) {
    if (last[group] == Family::none) continue;
    is_in[group] = true;
    enter(group);
  }
  for (std::uint32_t node = 0; node < family.size(); ++node) {
    family.for_parents(node, [&](std::uint32_t parent, double) {
      if (is_in[parent]) return;
      is_in[parent] = true;
      enter(parent);
    });
    if (!look(node)) return;
    if (last[node] != Family::none && !is_founder(family, node)) {
      is_in[node] = true;
      enter(node);
    }
    family.for_parents(node, [&](std::uint32_t parent, double) {
      if (last[parent] != node || !is_in[parent]) return;
      is_in[parent] = false;  // once, should sire and dam be one node
      leave(parent);
    });
  }
}

class KinshipTable {
 public:
  KinshipTable(const Family& family, std::uint32_t active)
      : family_(family),
        width_(active),
        cells_(std::size_t{active} * active, 0.0),
        zeros_(active, 0.0),
        slot_(family.size(), Family::none) {
    for (std::uint32_t z = active; z > 0; --z) free_.push_back(z - 1);
  }

  double between(std::uint32_t a, std::uint32_t b) const {
    return cells_[std::size_t{slot_[a]} * width_ + slot_[b]];
  }

  /// A row for `node`; places not in use hold stale numbers that nobody reads.
  void enter(std::uint32_t node, double f) {
    const std::uint32_t z = free_.back();
    free_.pop_back();
    slot_[node] = z;
    double* const row = row_at(z);
    if (family_.is_stand_in(node)) {
      std::fill_n(row, width_, 0.0);
      for (const ParentPart& buck : family_.candidates(family_.list_of(node))) {
        const double* const his = row_at(slot_[buck.node]);
        for (std::uint32_t q = 0; q < width_; ++q) row[q] += buck.part * his[q];
      }
    } else {
      const double* const sire = row_of(family_.sire(node));
      const double* const dam = row_of(family_.dam(node));
      for (std::uint32_t q = 0; q < width_; ++q) row[q] = 0.5 * (sire[q] + dam[q]);
    }
    for (std::uint32_t q = 0; q < width_; ++q) cells_[std::size_t{q} * width_ + z] = row[q];
    row[z] = 0.5 * (1.0 + f);
  }

  /// A row for a group: only groups are there yet.
  void enter_group(std::uint32_t group, const GroupKinship& groups) {
    enter(group, 2.0 * groups.between(group, group) - 1.0);
    for (std::uint32_t other = 0; other < group; ++other) {
      if (slot_[other] == Family::none) continue;
      const double kinship = groups.between(group, other);
      cells_[std::size_t{slot_[group]} * width_ + slot_[other]] = kinship;
      cells_[std::size_t{slot_[other]} * width_ + slot_[group]] = kinship;
    }
  }

  void leave(std::uint32_t node) { free_.push_back(slot_[node]); }

 private:
  double* row_at(std::uint32_t z) { return cells_.data() + std::size_t{z} * width_; }
  const double* row_of(std::uint32_t node) {
    return node == Family::none ? zeros_.data() : row_at(slot_[node]);
  }

  const Family& family_;
  std::uint32_t width_;
  std::vector<double> cells_;
  std::vector<double> zeros_;
  std::vector<std::uint32_t> slot_;
  std::vector<std::uint32_t> free_;  // places, the next one at the back
};

}  // namespace

std::uint32_t most_active(const Family& family, std::uint32_t limit, std::uint32_t groups) {
  std::uint32_t now = 0, most = 0;
  walk(
      family, last_uses(family), groups, [&](std::uint32_t) { most = std::max(most, ++now); },
      [&](std::uint32_t) { return most <= limit; }, [&](std::uint32_t) { --now; });
  return std::min(most, limit + 1);
}

NodeInbreeding active_set_inbreeding(const Family& family, std::uint32_t active, const Run& run,
                                     const GroupKinship* groups) {
  NodeInbreeding result;
  result.f.assign(family.size(), 0.0);
  result.stand_in_own.assign(family.stand_ins(), 0.0);
  const std::uint32_t first = groups == nullptr ? 0 : groups->groups;
  for (std::uint32_t g = 0; g < first; ++g) result.f[g] = 2.0 * groups->between(g, g) - 1.0;
  KinshipTable table(family, active);
  const auto look_at_stand_in = [&](std::uint32_t node) {
    const auto bucks = family.candidates(family.list_of(node));
    double f = 0.0, from_bucks = 0.0;  // F(m) and p'Ap
    for (const ParentPart& j : bucks) {
      f += j.part * result.f[j.node];
      for (const ParentPart& k : bucks) {
        from_bucks += 2.0 * j.part * k.part * table.between(j.node, k.node);
      }
    }
    result.f[node] = f;
    result.stand_in_own[family.list_of(node)] = 1.0 + f - from_bucks;
  };
  const auto look = [&](std::uint32_t node) {
    if (node % 65536 == 0) throw_if_stopped(run);
    if (family.is_stand_in(node)) {
      look_at_stand_in(node);
    } else if (family.sire(node) != Family::none && family.dam(node) != Family::none) {
      result.f[node] = table.between(family.sire(node), family.dam(node));
    }
    return true;
  };
  walk(
      family, last_uses(family), first,
      [&](std::uint32_t node) {
        node < first ? table.enter_group(node, *groups) : table.enter(node, result.f[node]);
      },
      look, [&](std::uint32_t node) { table.leave(node); });
  return result;
}

}  // namespace doewright
