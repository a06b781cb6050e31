// SPDX-License-Identifier: MIT
// solve() against every plan there is, and rules that hold whatever the numbers are.
#include <doctest/doctest.h>

#include <cstdint>

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

TEST_CASE("no does, no sires: the empty plan") {
  PlanProblem problem;
  CHECK(solve(problem).proven_optimal);
  CHECK(solve(problem).objective == 0);
  CHECK(alternatives(problem, 3).empty());
  problem.does.resize(2);
  problem.open_values = {5, std::nullopt};
  problem.values = Grid<std::optional<std::int64_t>>(2, 0);
  const PlanChoice plan = solve(problem);
  CHECK(plan.objective == 5);
  CHECK(!plan.feasible);
  CHECK(plan.unserved == std::vector<std::size_t>{1});
  CHECK(plan.in_the_way.empty());
}

TEST_CASE("what the caller gets wrong is said, and a stop is heeded") {
  PlanDice dice(7);
  const PlanProblem good = herd_problem(dice);
  PlanProblem bad = good;
  bad.open_values.pop_back();
  CHECK_THROWS_AS(solve(bad), UsageError);
  bad = good;
  bad.does[0].locked = good.sires.size();
  CHECK_THROWS_AS(solve(bad), UsageError);
  bad = good;
  bad.sires[0].from = Date{9};
  bad.sires[0].to = Date{8};
  CHECK_THROWS_AS(solve(bad), UsageError);
  bad = good;
  bad.hire_budget = -1;
  CHECK_THROWS_AS(solve(bad), UsageError);
  for (const std::int64_t huge : {std::int64_t{1} << 57, std::int64_t{1} << 62, INT64_MIN}) {
    bad = good;
    bad.values(0, 0) = huge;
    bad.does[0].locked.reset();
    CHECK_THROWS_AS(solve(bad), UsageError);
    bad = good;
    bad.sires[0].hire_cost = huge;
    CHECK_THROWS_AS(solve(bad), UsageError);
  }
  std::stop_source stop;
  Run run;
  run.stop = stop.get_token();
  stop.request_stop();
  CHECK_THROWS_AS(solve(good, {}, run), Cancelled);
  run = {};
  run.memory_limit = 10;
  CHECK_THROWS_AS(solve(good, {}, run), LimitError);
}

TEST_CASE("one doe, two bucks, one pen: by hand") {
  // Two does; buck 0 costs 30 and makes 50 and 10, buck 1 costs 5 and makes 20 and 20; open is 0.
  // Both together: 50 + 20 - 35 = 35. Buck 0 alone: 60 - 30 = 30. Buck 1 alone: 40 - 5 = 35, a tie;
  // of {0, 1} and {1} the first is smaller. They overlap on day 5: with one pen {1} is left.
  PlanProblem problem;
  problem.sires = {{30, {}, false, true, Date{1}, Date{5}}, {5, {}, false, true, Date{5}, {}}};
  problem.does.resize(2);
  problem.open_values = {0, 0};
  problem.values = Grid<std::optional<std::int64_t>>(2, 2);
  problem.values.cells = {50, 20, 10, 20};
  CHECK(solve(problem).objective == 35);
  CHECK(solve(problem).hired == std::vector<std::size_t>{0, 1});
  problem.pens = 1;
  CHECK(solve(problem).hired == std::vector<std::size_t>{1});
  problem.sires[0].to = Date{4};  // now they miss each other
  CHECK(solve(problem).hired == std::vector<std::size_t>{0, 1});
  const auto next = alternatives(problem, 9);
  REQUIRE(next.size() == 3);
  CHECK(next[0].objective == 35);
  CHECK(next[1].objective == 30);
  CHECK(next[2].objective == 0);
  problem.hire_budget = 34;
  CHECK(solve(problem).hired == std::vector<std::size_t>{1});
  problem.does[0].locked = 0;
  problem.does[1].locked = 1;
  const PlanChoice broken = solve(problem);
  CHECK(!broken.feasible);
  CHECK(broken.objective == 20);  // doe 0 to buck 0: 50 - 30; doe 1 to buck 1 would be 20 - 5
  CHECK(broken.unserved == std::vector<std::size_t>{1});
  CHECK(broken.in_the_way == std::vector<PlanLimit>{PlanLimit::locked, PlanLimit::hire_budget});
}

TEST_CASE("a doe left open against the rules counts her open value") {
  // Two does set to one buck, a third to another, one may be hired: 2 x 109 - 50 - 40.
  PlanProblem problem;
  problem.sires.assign(2, {50, {}, false, false, {}, {}});
  problem.does = {{true, 0}, {true, 0}, {true, 1}};
  problem.open_values.assign(3, -40);
  problem.values = Grid<std::optional<std::int64_t>>(3, 2, 109);
  problem.max_hired = 1;
  const PlanChoice plan = solve(problem);
  CHECK(!plan.feasible);
  CHECK(plan.unserved == std::vector<std::size_t>{2});
  CHECK(plan.objective == 128);
  // Who must stay open is the one it costs least, her open value counted.
  problem.does = {{true, 0}, {true, 1}};
  problem.open_values = {-40, 30};
  problem.values = Grid<std::optional<std::int64_t>>(2, 2, 109);
  CHECK(solve(problem).unserved == std::vector<std::size_t>{1});
  CHECK(solve(problem).objective == 109 - 50 + 30);
}
