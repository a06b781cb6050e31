// SPDX-License-Identifier: MIT
#pragma once
/// The best places of all does when the set of sires is given.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "plan_table.hpp"

namespace doewright {

/// A transportation problem, solved doe by doe: each new doe takes the best chain of moves ("she
/// goes to him, who gives up that one, who stays open"). Sires are few, so chains are sought among
/// places (sires of the set, and "open" as the last) and not among does.
class PlanAssignment {
 public:
  explicit PlanAssignment(const PlanTable& table) : table_(table) {}

  /// Sum of worths of the best assignment to `set`, hire costs left out; where `each_used`, among
  /// those in which every sire of the set gets a doe, and nothing if there is none.
  std::optional<std::int64_t> solve(const SireSet& set, bool each_used);

  /// After solve(set, true): of all assignments as good the one in which the does in order have the
  /// smallest sires, open counted last.
  void take_smallest();

  const std::vector<std::size_t>& places() const { return places_; }  ///< Into set; its size: open.
  const std::vector<std::size_t>& counts() const { return counts_; }  ///< One a place.
  std::uint64_t cells() const { return cells_; }  ///< Read so far, over all calls.

 private:
  struct Move {
    std::int64_t gain;
    std::size_t doe;
  };

  std::int64_t worth(std::size_t doe, std::size_t place) const {
    return place == set_.size() ? table_.open[doe] : table_.worth(doe, set_[place]);
  }
  Move& move(std::size_t from, std::size_t to) { return moves_[from * (set_.size() + 1) + to]; }
  void offer_moves(std::size_t doe, std::size_t place);
  void search_moves(std::size_t from, std::size_t to, std::size_t first_doe);
  void enter(std::size_t doe, std::size_t place);
  void leave(std::size_t doe, std::size_t place);
  void insert(std::size_t doe, bool each_used);
  void settle_smallest(std::size_t doe);

  const PlanTable& table_;
  SireSet set_;
  std::vector<std::size_t> places_, counts_;
  std::vector<std::vector<std::size_t>> rosters_;  // does at each place
  std::vector<Move> moves_;                        // best single move between two places
  std::vector<std::int64_t> gains_;
  std::vector<std::size_t> steps_;
  std::vector<char> fresh_;
  std::uint64_t cells_ = 0;
};

}  // namespace doewright
