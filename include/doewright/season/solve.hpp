// SPDX-License-Identifier: MIT
#pragma once
/// The best plan of a season, proven; the next best ones; what each limit costs.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/season/plan_problem.hpp>

namespace doewright {

/// How hard to try. No clock is read: the same effort gives the same plan on every machine.
struct SolveOptions {
  /// Cells of the doe-by-sire table that may be read before the search gives up its proof and
  /// returns the best plan found with its gap. The default lasts some tens of seconds; a herd of 60
  /// does and 40 sires needs a hundredth of it or less.
  std::uint64_t most_cells = 2'000'000'000;
  /// Nothing: no limit. Otherwise at most so many sires get a doe, own ones counted too.
  std::optional<unsigned> most_used;
};

/// One plan.
struct PlanChoice {
  /// What PlanProblem maximises, in millionths. Of a plan that is not feasible as well: a doe left
  /// open against the rules counts her open value too, and 0 if she has none.
  std::int64_t objective = 0;
  /// No plan is better than this one by more than `gap` millionths; 0 exactly if proven_optimal.
  /// Of an alternative: no plan with another set of sires than those before it.
  std::int64_t gap = 0;
  bool proven_optimal = false;
  std::vector<std::optional<std::size_t>> sire_of_doe;  ///< One a doe; nothing: left open.
  std::vector<std::size_t> hired;  ///< Sires with at least one doe, own ones too, ascending.

  /// False: no plan keeps to all limits, and this is the least bad one: as few does as can be are
  /// left open that must not be (`unserved`), then the highest objective. A doe locked to a sire
  /// that breaks a limit, or is not allowed, is among them.
  bool feasible = true;
  std::vector<std::size_t> unserved;  ///< Does, ascending; empty if feasible.
  /// Limits of which each alone, lifted, makes the problem feasible. Empty if feasible, or if no
  /// single one would do. `must_be_served` is never among them: it is what the least bad plan
  /// breaks.
  std::vector<PlanLimit> in_the_way;
};

/// The best plan.
///
///     const PlanChoice plan = solve(problem);
///     if (plan.proven_optimal) ... plan.sire_of_doe[0] ...
///
/// Of plans that are worth the same the one whose list of used sires is lexicographically smallest,
/// then the one whose does in order have the smallest sires (open counts after the last sire).
/// Where the effort ran out the sires of that set are the best found, and ties among sets may be
/// open.
///
/// \throws UsageError  lists that do not fit each other, a locked sire beyond the list, a stay that
///         ends before it begins, a budget below 0, or numbers too large to be added up
///         exactly (60 does and 40 sires: none while all are within 10^12, a million of money, of
///         0).
/// \throws Cancelled, LimitError  as in Run.
///
/// Accuracy  exact: integers throughout; equals exhaustive search (tests/season/test_solve.cpp) and
///           SciPy's mixed-integer solver (tests/season/twins_plan.py).
/// Cost      a search over sets of sires. Its nodes are bounded by Lagrangian relaxation of "one
///           place a doe", of pens and of the budget; each bound reads the table some tens of
///           times. Finding the best plan is NP-hard (facility location), so there is no promise.
///           tests/bench/bench_plan compares it with trying every set of at most three sires.
/// Source    Geoffrion (1974), Lagrangean relaxation for integer programming; Held, Wolfe and
///           Crowder (1974), Validation of subgradient optimization; both from memory.
DOEWRIGHT_EXPORT PlanChoice solve(const PlanProblem& problem, const SolveOptions& options = {},
                                  const Run& run = {});

/// The `count` best plans after the best one, each with another set of used sires, best first, ties
/// as in solve(). Fewer if there are fewer; none if the problem is not feasible. For each set its
/// best assignment in which every sire of it gets a doe.
DOEWRIGHT_EXPORT std::vector<PlanChoice> alternatives(const PlanProblem& problem, std::size_t count,
                                                      const SolveOptions& options = {},
                                                      const Run& run = {});

/// The best plan with at least one sire fewer than `choice` uses; nothing if there is none that is
/// feasible.
DOEWRIGHT_EXPORT std::optional<PlanChoice> with_one_fewer(const PlanProblem& problem,
                                                          const PlanChoice& choice,
                                                          const SolveOptions& options = {},
                                                          const Run& run = {});

/// What one limit costs.
struct LimitCost {
  PlanLimit limit = PlanLimit::pens;
  std::int64_t cost = 0;  ///< Objective with the limit lifted less `choice`'s, never negative if
                          ///< both are proven.
  bool proven = false;    ///< Both plans are proven optimal.
};

/// The cost of each limit the problem has, in the order of PlanLimit, each lifted by itself: costs
/// of two limits do not add up. Empty if `choice` is not feasible. `choice` is solve()'s answer.
DOEWRIGHT_EXPORT std::vector<LimitCost> limit_costs(const PlanProblem& problem,
                                                    const PlanChoice& choice,
                                                    const SolveOptions& options = {},
                                                    const Run& run = {});

}  // namespace doewright
