// SPDX-License-Identifier: MIT
#pragma once
/// Branch and bound over the sets of sires that are used.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <queue>
#include <set>
#include <string_view>
#include <vector>

#include <doewright/core/run.hpp>

#include "plan_assignment.hpp"
#include "plan_bound.hpp"
#include "plan_table.hpp"

namespace doewright {

/// A set of used sires and what its best plan is worth, penalties included.
struct RankedSet {
  std::int64_t objective = 0;
  SireSet set;
};

/// Better first: the higher objective, then the lexicographically smaller set.
bool ranks_before(const RankedSet& a, const RankedSet& b);

/// Finds the `wanted` best sets. Best bound first; a part of the search is dropped only if it can
/// hold no set that ranks before the worst of the sets kept, ties included.
class PlanSearch {
 public:
  PlanSearch(const PlanTable& table, std::size_t wanted, std::uint64_t most_cells, const Run& run);

  void search();

  const std::vector<RankedSet>& kept() const { return kept_; }
  bool finished() const { return finished_; }
  /// No set that is not kept is worth more. Where finished: the objective of the last one kept.
  std::int64_t upper() const { return upper_; }
  std::size_t parts() const { return parts_; }  ///< Parts of the search looked into.

 private:
  struct Part {
    std::int64_t upper = 0;
    std::uint64_t number = 0;
    PlanDecided decided;
    bool new_number = false;  // just split by the number of sires
    std::shared_ptr<const PlanPrices> prices;
  };
  struct LaterPart {
    bool operator()(const Part& a, const Part& b) const {
      return a.upper != b.upper ? a.upper < b.upper : a.number < b.number;  // then the newer one
    }
  };

  bool cannot_win(std::int64_t upper, const PlanDecided& decided) const;
  void keep(RankedSet found);
  void try_set(SireSet set);
  void look_into(Part part, bool first);
  std::int64_t tighten(Part& part, bool first);
  bool conclude(Part& part);
  bool settle(Part& part) const;
  void search_level(Part& part);
  std::size_t branching_sire(const Part& part) const;
  void split(const Part& part);
  bool split_by_number(const Part& part);
  void put_back(Part part);
  std::uint64_t cells() const { return bound_.cells() + assignment_.cells(); }

  const PlanTable& table_;
  std::size_t wanted_;
  std::uint64_t most_cells_;
  const Run& run_;
  PlanBound bound_;
  PlanAssignment assignment_;
  std::vector<RankedSet> kept_;
  std::set<SireSet> tried_;
  std::priority_queue<Part, std::vector<Part>, LaterPart> open_;
  std::vector<double> chosen_share_;  // how often a sire was chosen of late, in this part
  double chosen_number_ = 0.0;        // how many sires were, on average
  std::uint64_t next_number_ = 0;
  std::int64_t upper_ = 0;
  std::size_t parts_ = 0;
  bool finished_ = false;
};

}  // namespace doewright
