// SPDX-License-Identifier: MIT
// Rules that hold whatever the numbers are, on herds too large for trying everything.
#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/season/solve.hpp>

#include "season/plan_twins.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

PlanProblem relabelled(const PlanProblem& problem, const std::vector<std::size_t>& sire_at,
                       const std::vector<std::size_t>& doe_at) {
  PlanProblem other = problem;
  const auto new_place = [&](std::size_t sire) {
    return static_cast<std::size_t>(std::find(sire_at.begin(), sire_at.end(), sire) -
                                    sire_at.begin());
  };
  for (std::size_t s = 0; s < sire_at.size(); ++s) other.sires[s] = problem.sires[sire_at[s]];
  for (std::size_t d = 0; d < doe_at.size(); ++d) {
    other.does[d] = problem.does[doe_at[d]];
    if (other.does[d].locked) other.does[d].locked = new_place(*other.does[d].locked);
    other.open_values[d] = problem.open_values[doe_at[d]];
    for (std::size_t s = 0; s < sire_at.size(); ++s) {
      other.values(d, s) = problem.values(doe_at[d], sire_at[s]);
    }
  }
  return other;
}

std::vector<std::size_t> mixed(PlanDice& dice, std::size_t n) {
  std::vector<std::size_t> order(n);
  for (std::size_t i = 0; i < n; ++i) order[i] = i;
  for (std::size_t i = n; i > 1; --i) std::swap(order[i - 1], order[dice.below(i)]);
  return order;
}

/// The limits of the problem and the sum, by the definition of the twin.
void check_adds_up(const PlanProblem& problem, const PlanChoice& choice) {
  std::size_t unserved = 0;
  const auto worth = worth_by_definition(problem, choice.sire_of_doe, unserved);
  REQUIRE(worth);
  CHECK(*worth == choice.objective);
  CHECK(unserved == choice.unserved.size());
  CHECK(used_sires(choice.sire_of_doe) == choice.hired);
}

}  // namespace

TEST_CASE("another order of does and sires changes nothing but the names") {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    PlanDice dice(40000 + seed);
    const PlanProblem problem = herd_problem(dice);
    const auto sire_at = mixed(dice, problem.sires.size());
    const auto doe_at = mixed(dice, problem.does.size());
    const PlanProblem other = relabelled(problem, sire_at, doe_at);
    const PlanChoice a = solve(problem), b = solve(other);
    REQUIRE(a.proven_optimal);
    REQUIRE(b.proven_optimal);
    CHECK(a.objective == b.objective);
    CHECK(a.unserved.size() == b.unserved.size());
    check_adds_up(problem, a);
    check_adds_up(other, b);
  }
}

TEST_CASE("a doe worth more whatever becomes of her changes the sum and not the plan") {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    PlanDice dice(50000 + seed);
    const PlanProblem problem = herd_problem(dice);
    PlanProblem richer = problem;
    std::int64_t more = 0;
    const PlanChoice plan = solve(problem);
    for (std::size_t d = 0; d < problem.does.size(); ++d) {
      const std::int64_t by = dice.between(-3'000'000, 9'000'000);
      for (std::size_t s = 0; s < problem.sires.size(); ++s) {
        if (richer.values(d, s)) *richer.values(d, s) += by;
      }
      if (richer.open_values[d]) *richer.open_values[d] += by;
      const bool counts =
          std::find(plan.unserved.begin(), plan.unserved.end(), d) == plan.unserved.end();
      if (counts) more += by;
    }
    if (!plan.feasible) continue;  // which does to leave open may change with their worth
    const PlanChoice richer_plan = solve(richer);
    CHECK(richer_plan.objective == plan.objective + more);
    CHECK(richer_plan.sire_of_doe == plan.sire_of_doe);
  }
}

TEST_CASE("a search cut short says by how much its plan may be beaten, and is not beaten by more") {
  int cut = 0;
  for (unsigned seed = 1; seed <= 80; ++seed) {
    CAPTURE(seed);
    PlanDice dice(60000 + seed);
    const PlanProblem problem = herd_problem(dice);
    const PlanChoice best = solve(problem);
    SolveOptions hasty;
    hasty.most_cells = 1;
    const PlanChoice plan = solve(problem, hasty);
    check_adds_up(problem, plan);
    CHECK(plan.proven_optimal == (plan.gap == 0));
    if (!best.feasible || !plan.feasible) continue;
    CHECK(plan.objective <= best.objective);
    CHECK(plan.objective + plan.gap >= best.objective);
    cut += !plan.proven_optimal;
  }
  CHECK(cut > 3);
}

TEST_CASE("in a smaller coin the plan is the same, as long as the sums are exact") {
  int refused = 0, solved = 0;
  for (unsigned seed = 1; seed <= 12; ++seed) {
    PlanDice dice(70000 + seed);
    const PlanProblem problem = herd_problem(dice);
    const PlanChoice plan = solve(problem);
    for (std::int64_t coins = 1024; coins < std::int64_t{1} << 36; coins *= 64) {
      CAPTURE(seed);
      CAPTURE(coins);
      PlanProblem smaller = problem;
      for (PlanSire& sire : smaller.sires) sire.hire_cost *= coins;
      for (auto& value : smaller.values.cells)
        value = value ? std::optional(*value * coins) : value;
      for (auto& value : smaller.open_values) value = value ? std::optional(*value * coins) : value;
      if (smaller.hire_budget) *smaller.hire_budget *= coins;
      try {
        const PlanChoice same = solve(smaller);
        CHECK(same.objective == plan.objective * coins);
        CHECK(same.sire_of_doe == plan.sire_of_doe);
        ++solved;
      } catch (const UsageError&) {
        ++refused;
      }
    }
  }
  CHECK(solved > 12);
  CHECK(refused > 12);  // the largest are beyond what can be added up
}

TEST_CASE("60 does, 40 sires: values as large as the header allows") {
  constexpr std::int64_t large = 1'000'000'000'000;
  PlanProblem problem;
  problem.values = Grid<std::optional<std::int64_t>>(60, 40, -large);
  problem.sires.assign(40, {large, 2, false, false, {}, {}});
  problem.does.assign(60, {false, {}});
  problem.open_values.assign(60, std::nullopt);
  for (std::size_t d = 0; d < 60; ++d) problem.values(d, d % 40) = large;
  const PlanChoice plan = solve(problem);
  CHECK(plan.proven_optimal);
  CHECK(plan.feasible);
  // Each doe to the one buck who is worth it to her: 60 does less 40 hires.
  // kind.
  CHECK(plan.objective == 20 * large);
}
