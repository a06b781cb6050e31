// SPDX-License-Identifier: MIT
#include <doewright/season/solve.hpp>

#include <algorithm>
#include <utility>

#include "plan_assignment.hpp"
#include "plan_search.hpp"
#include "plan_table.hpp"

namespace doewright {

namespace {

PlanChoice written_out(const PlanTable& table, const RankedSet& ranked, const PlanSearch& search) {
  PlanChoice choice;
  PlanAssignment assignment(table);
  assignment.solve(ranked.set, true);
  assignment.take_smallest();
  choice.hired = ranked.set;
  choice.objective = ranked.objective;
  for (std::size_t d = 0; d < table.does; ++d) {
    const std::size_t place = assignment.places()[d];
    const bool open = place == ranked.set.size();
    choice.sire_of_doe.push_back(open ? std::nullopt : std::optional(ranked.set[place]));
    if (!open || !table.must_be_served[d]) continue;
    choice.unserved.push_back(d);
    choice.objective += table.penalty;
  }
  choice.feasible = choice.unserved.empty();
  choice.gap = search.finished() ? 0 : std::max<std::int64_t>(0, search.upper() - ranked.objective);
  choice.proven_optimal = choice.gap == 0;
  return choice;
}

std::vector<PlanChoice> best_plans(const PlanProblem& problem, std::size_t count,
                                   const SolveOptions& options, const Run& run) {
  const PlanTable table = plan_table(problem, options.most_used);
  throw_if_too_big(run, table.worths.size() * (sizeof(std::int64_t) + sizeof(std::uint32_t)),
                   "the plan");
  PlanSearch search(table, count, options.most_cells, run);
  search.search();
  std::vector<PlanChoice> plans;
  for (const RankedSet& ranked : search.kept()) {
    plans.push_back(written_out(table, ranked, search));
  }
  return plans;
}

std::vector<PlanLimit> limits_of(const PlanProblem& problem) {
  std::vector<PlanLimit> limits;
  for (const PlanLimit limit : {PlanLimit::must_be_served, PlanLimit::locked, PlanLimit::most_does,
                                PlanLimit::pens, PlanLimit::max_hired, PlanLimit::hire_budget}) {
    if (has_limit(problem, limit)) limits.push_back(limit);
  }
  return limits;
}

}  // namespace

PlanChoice solve(const PlanProblem& problem, const SolveOptions& options, const Run& run) {
  PlanChoice best = best_plans(problem, 1, options, run).front();
  if (best.feasible) return best;
  for (const PlanLimit limit : limits_of(problem)) {
    if (limit == PlanLimit::must_be_served) continue;
    if (best_plans(lifted(problem, limit), 1, options, run).front().feasible) {
      best.in_the_way.push_back(limit);
    }
  }
  return best;
}

std::vector<PlanChoice> alternatives(const PlanProblem& problem, std::size_t count,
                                     const SolveOptions& options, const Run& run) {
  std::vector<PlanChoice> plans;
  if (count == 0) return plans;
  plans = best_plans(problem, count + 1, options, run);
  std::erase_if(plans, [](const PlanChoice& plan) { return !plan.feasible; });
  if (!plans.empty()) plans.erase(plans.begin());
  return plans;
}

std::optional<PlanChoice> with_one_fewer(const PlanProblem& problem, const PlanChoice& choice,
                                         const SolveOptions& options, const Run& run) {
  if (choice.hired.empty()) return std::nullopt;
  SolveOptions fewer = options;
  fewer.most_used = static_cast<unsigned>(choice.hired.size() - 1);
  PlanChoice best = best_plans(problem, 1, fewer, run).front();
  return best.feasible ? std::optional(std::move(best)) : std::nullopt;
}

std::vector<LimitCost> limit_costs(const PlanProblem& problem, const PlanChoice& choice,
                                   const SolveOptions& options, const Run& run) {
  std::vector<LimitCost> costs;
  if (!choice.feasible) return costs;
  for (const PlanLimit limit : limits_of(problem)) {
    const PlanChoice free = best_plans(lifted(problem, limit), 1, options, run).front();
    costs.push_back(
        {limit, free.objective - choice.objective, free.proven_optimal && choice.proven_optimal});
  }
  return costs;
}

}  // namespace doewright
