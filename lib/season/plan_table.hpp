// SPDX-License-Identifier: MIT
#pragma once
/// A plan's numbers as the search reads them: every plan feasible, broken rules priced.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/season/plan_problem.hpp>

namespace doewright {

/// What is decided of a sire in one part of the search.
enum class SireStand : std::uint8_t { undecided, used, unused };

using SireSet = std::vector<std::size_t>;  ///< Ascending.

/// What is decided in one part of the search.
struct PlanDecided {
  std::vector<SireStand> stands;              ///< One a sire.
  std::size_t least_used = 0, most_used = 0;  ///< Sires used in all, both counted.
};

/// PlanProblem made elastic: a doe that must not stay open may, at `penalty`, which is more than
/// everything else together could gain. So every problem has a plan, the one with fewest penalties
/// wins, and without penalties it is the optimum of the problem as given.
struct PlanTable {
  static constexpr std::int64_t not_allowed = -(std::int64_t{1} << 61);

  std::size_t does = 0, sires = 0;
  std::vector<std::int64_t> worths;  ///< Sire by doe (a row a sire), locks applied.
  std::vector<std::int64_t> open;    ///< One a doe; less the penalty where she must be served.
  std::vector<bool> must_be_served;
  std::vector<std::int64_t> lowest, highest;  ///< Of a doe's worths, open included.
  std::vector<std::size_t> room;              ///< Does a sire can take; 0: he cannot be used.
  std::vector<std::int64_t> hire_cost;
  std::vector<bool> own;
  std::vector<std::optional<std::size_t>> twin;  ///< The sire before him who is like him in all.
  std::vector<SireSet> pen_days;  ///< Sires at the farm together on one day, more than `pens`.
  std::size_t pens = 0, max_hired = 0, max_used = 0;  ///< At least the number of sires: no limit.
  std::optional<std::int64_t> budget;                 ///< Nothing: cannot be passed.
  std::int64_t penalty = 0;
  std::int64_t beyond_all = 0;  ///< More than any two plans can differ by.

  std::int64_t worth(std::size_t doe, std::size_t sire) const { return worths[sire * does + doe]; }
};

/// \throws UsageError as solve() says.
PlanTable plan_table(const PlanProblem& problem, std::optional<unsigned> most_used);

/// Draws the conclusions of what is decided: who can be used no more. False if a limit is passed,
/// or the least number of sires cannot be reached.
bool settle_limits(const PlanTable& table, PlanDecided& decided);

/// Of sires alike in all, the first ones are used first: so much is decided for free where only the
/// best set is wanted, for any other choice of them gives a set that ranks after it.
void settle_twins(const PlanTable& table, PlanDecided& decided);

/// True if this set of sires keeps to all limits on sets.
bool within_limits(const PlanTable& table, const SireSet& set);

}  // namespace doewright
