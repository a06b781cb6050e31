// SPDX-License-Identifier: MIT
// solve() against every plan there is, and rules that hold whatever the numbers are.
#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/season/solve.hpp>

#include "season/plan_twins.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

PlanMix small_mix(PlanDice& dice) {
  PlanMix mix;
  mix.sires = 1 + dice.below(4);
  mix.does = 1 + dice.below(mix.sires > 3 ? 5 : 6);
  mix.largest = dice.chance(30) ? 2 : 12;  // now and then nearly everything is a tie
  mix.unit = dice.chance(50) ? 1 : 1'234'567;
  return mix;
}

}  // namespace

TEST_CASE("the plan equals the best of all plans, ties included, on 1500 random problems") {
  int feasible = 0, limits_bind = 0;
  for (unsigned seed = 1; seed <= 1500; ++seed) {
    CAPTURE(seed);
    PlanDice dice(seed);
    const PlanProblem problem = random_problem(dice, small_mix(dice));
    const auto plans = all_plans(problem);
    const PlanChoice choice = solve(problem);
    REQUIRE(choice.proven_optimal);
    CHECK(choice.gap == 0);
    CHECK(choice.unserved.size() == plans.front().unserved);
    CHECK(choice.feasible == (plans.front().unserved == 0));
    CHECK(choice.objective == plans.front().objective);
    CHECK(choice.hired == plans.front().set);
    CHECK(choice.sire_of_doe == plans.front().places);
    feasible += choice.feasible;

    std::vector<PlanLimit> in_the_way;
    if (!choice.feasible) {
      for (const PlanLimit limit : {PlanLimit::locked, PlanLimit::most_does, PlanLimit::pens,
                                    PlanLimit::max_hired, PlanLimit::hire_budget}) {
        if (has_limit(problem, limit) && all_plans(lifted(problem, limit)).front().unserved == 0) {
          in_the_way.push_back(limit);
        }
      }
    }
    CHECK(choice.in_the_way == in_the_way);
    for (const LimitCost& cost : limit_costs(problem, choice)) {
      const auto freed = all_plans(lifted(problem, cost.limit));
      CHECK(cost.proven);
      CHECK(cost.cost == freed.front().objective - plans.front().objective);
      limits_bind += cost.cost > 0;
    }
  }
  CHECK(feasible > 500);  // the mix is no mix of nothing
  CHECK(feasible < 1400);
  CHECK(limits_bind > 300);
}

TEST_CASE("the next best plans are those of the next best sets of sires") {
  for (unsigned seed = 1; seed <= 500; ++seed) {
    CAPTURE(seed);
    PlanDice dice(90000 + seed);
    const PlanProblem problem = random_problem(dice, small_mix(dice));
    auto plans = all_plans(problem);
    std::erase_if(plans, [](const TriedPlan& plan) { return plan.unserved > 0; });
    const std::size_t wanted = 1 + dice.below(4);
    const auto next = alternatives(problem, wanted);
    REQUIRE(next.size() == std::min(wanted, plans.empty() ? 0 : plans.size() - 1));
    for (std::size_t i = 0; i < next.size(); ++i) {
      CHECK(next[i].objective == plans[i + 1].objective);
      CHECK(next[i].hired == plans[i + 1].set);
      CHECK(next[i].sire_of_doe == plans[i + 1].places);
      CHECK(next[i].proven_optimal);
    }
    const PlanChoice choice = solve(problem);
    const auto fewer = with_one_fewer(problem, choice);
    auto allowed = choice.hired.empty() ? std::vector<TriedPlan>{}
                                        : all_plans(problem, choice.hired.size() - 1);
    std::erase_if(allowed, [](const TriedPlan& plan) { return plan.unserved > 0; });
    REQUIRE(fewer.has_value() == !allowed.empty());
    if (fewer) CHECK(fewer->objective == allowed.front().objective);
    if (fewer) CHECK(fewer->hired == allowed.front().set);
  }
}
