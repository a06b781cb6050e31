// SPDX-License-Identifier: MIT
#pragma once
/// The slow twin of solve(): every assignment of every doe, held against the definition of
/// PlanProblem line by line; and random problems of every kind.
#include <algorithm>
#include <cstdint>
#include <map>
#include <optional>
#include <random>
#include <set>
#include <vector>

#include <doewright/season/solve.hpp>

namespace doewright::testing {

using Places = std::vector<std::optional<std::size_t>>;

/// A plan by trying everything. Order: fewer unserved does, higher objective.
struct TriedPlan {
  std::size_t unserved = 0;
  std::int64_t objective = 0;
  std::vector<std::size_t> set;
  Places places;
};

inline std::vector<std::size_t> used_sires(const Places& places) {
  std::set<std::size_t> used;
  for (const auto& place : places) {
    if (place) used.insert(*place);
  }
  return {used.begin(), used.end()};
}

/// True if the most sires at the farm together, over every day there can be, are within `pens`.
inline bool pens_hold(const PlanProblem& problem, const std::vector<std::size_t>& used) {
  if (!problem.pens) return true;
  std::set<std::int32_t> days = {-1000000, 1000000};  // before and after everybody
  for (const PlanSire& sire : problem.sires) {
    if (sire.from) days.insert({sire.from->day - 1, sire.from->day});
    if (sire.to) days.insert({sire.to->day, sire.to->day + 1});
  }
  for (const std::int32_t day : days) {
    std::size_t there = 0;
    for (const std::size_t s : used) {
      const PlanSire& sire = problem.sires[s];
      there += sire.needs_pen && (!sire.from || sire.from->day <= day) &&
               (!sire.to || day <= sire.to->day);
    }
    if (there > *problem.pens) return false;
  }
  return true;
}

/// What a plan is worth by the definition, or nothing if it breaks a limit. Does left open against
/// the rules are counted in `unserved` and are worth their open value, or nothing if they have none.
inline std::optional<std::int64_t> worth_by_definition(const PlanProblem& problem,
                                                       const Places& places,
                                                       std::size_t& unserved) {
  unserved = 0;
  std::int64_t sum = 0;
  std::vector<unsigned> count(problem.sires.size());
  for (std::size_t d = 0; d < places.size(); ++d) {
    const PlanDoe& doe = problem.does[d];
    if (!places[d]) {
      unserved += doe.locked || !doe.may_be_open || !problem.open_values[d];
      sum += problem.open_values[d].value_or(0);
      continue;
    }
    if (doe.locked && doe.locked != places[d]) return std::nullopt;
    if (!problem.values(d, *places[d])) return std::nullopt;
    sum += *problem.values(d, *places[d]);
    ++count[*places[d]];
  }
  const auto used = used_sires(places);
  unsigned hired = 0;
  std::int64_t cost = 0;
  for (const std::size_t s : used) {
    if (problem.sires[s].most_does && count[s] > *problem.sires[s].most_does) return std::nullopt;
    hired += !problem.sires[s].own;
    cost += problem.sires[s].hire_cost;
  }
  if (problem.max_hired && hired > *problem.max_hired) return std::nullopt;
  if (problem.hire_budget && cost > *problem.hire_budget) return std::nullopt;
  if (!pens_hold(problem, used)) return std::nullopt;
  return sum - cost;
}

/// The best plan of each set of sires, best first; ties to the smaller set, and in a set to the
/// smaller sires doe by doe, open last.
inline std::vector<TriedPlan> all_plans(const PlanProblem& problem,
                                        std::size_t most_used = static_cast<std::size_t>(-1)) {
  const std::size_t does = problem.does.size(), sires = problem.sires.size();
  std::map<std::vector<std::size_t>, TriedPlan> best;
  std::vector<std::size_t> digits(does, 0);  // counts up: the first of equals is the smallest
  for (bool more = true; more;) {
    TriedPlan plan;
    for (const std::size_t digit : digits) {
      plan.places.push_back(digit == sires ? std::nullopt : std::optional(digit));
    }
    plan.set = used_sires(plan.places);
    const auto worth = worth_by_definition(problem, plan.places, plan.unserved);
    if (worth && plan.set.size() <= most_used) {
      plan.objective = *worth;
      const auto [at, is_new] = best.try_emplace(plan.set, plan);
      TriedPlan& known = at->second;
      if (!is_new && (plan.unserved < known.unserved ||
                      (plan.unserved == known.unserved && plan.objective > known.objective))) {
        known = plan;
      }
    }
    std::size_t d = does;
    while (d > 0 && digits[d - 1] == sires) digits[--d] = 0;
    more = d > 0;
    if (more) ++digits[d - 1];
  }
  std::vector<TriedPlan> plans;
  for (const auto& each : best) plans.push_back(each.second);
  std::stable_sort(plans.begin(), plans.end(), [](const TriedPlan& a, const TriedPlan& b) {
    return a.unserved != b.unserved ? a.unserved < b.unserved : a.objective > b.objective;
  });
  return plans;
}

/// What a random problem looks like. Chances are in percent.
struct PlanMix {
  std::size_t does = 4, sires = 3;
  std::int64_t unit = 1;      ///< Values are whole multiples of this: 1 makes many ties.
  std::int64_t largest = 12;  ///< Values lie in -largest/3 .. largest, in units.
  unsigned no_value = 15, no_open = 15, must = 8, locked = 8, twins = 15;
};

class PlanDice {
 public:
  explicit PlanDice(unsigned seed) : source_(seed) {}
  std::size_t below(std::size_t n) { return source_() % n; }
  bool chance(unsigned percent) { return below(100) < percent; }
  std::int64_t between(std::int64_t low, std::int64_t high) {
    return low + static_cast<std::int64_t>(below(static_cast<std::size_t>(high - low + 1)));
  }

 private:
  std::mt19937 source_;
};

inline PlanProblem random_problem(PlanDice& dice, const PlanMix& mix) {
  PlanProblem problem;
  const std::int64_t top = mix.largest;
  const auto money = [&](std::int64_t low, std::int64_t high) {
    return dice.between(low, high) * mix.unit;
  };
  problem.values = Grid<std::optional<std::int64_t>>(mix.does, mix.sires);
  for (std::size_t s = 0; s < mix.sires; ++s) {
    PlanSire sire;
    sire.hire_cost = dice.chance(10) ? money(-top / 2, 0) : money(0, 2 * top);
    if (dice.chance(50)) sire.most_does = static_cast<unsigned>(dice.below(mix.does));
    sire.own = dice.chance(25);
    sire.needs_pen = dice.chance(60);
    const auto from = static_cast<std::int32_t>(dice.below(20));
    if (dice.chance(80)) sire.from = Date{from};
    if (dice.chance(80)) sire.to = Date{from + static_cast<std::int32_t>(dice.below(8))};
    problem.sires.push_back(sire);
  }
  for (std::size_t d = 0; d < mix.does; ++d) {
    PlanDoe doe;
    doe.may_be_open = !dice.chance(mix.must);
    if (dice.chance(mix.locked)) doe.locked = dice.below(mix.sires);
    problem.does.push_back(doe);
    problem.open_values.push_back(
        dice.chance(mix.no_open) ? std::nullopt : std::optional(money(-top / 2, top / 2)));
    for (std::size_t s = 0; s < mix.sires; ++s) {
      if (!dice.chance(mix.no_value)) problem.values(d, s) = money(-top / 3, top);
    }
  }
  if (mix.sires > 1 && dice.chance(mix.twins)) {  // two sires nobody can tell apart
    problem.sires[1] = problem.sires[0];
    for (std::size_t d = 0; d < mix.does; ++d) problem.values(d, 1) = problem.values(d, 0);
  }
  if (dice.chance(50)) problem.max_hired = static_cast<unsigned>(dice.below(mix.sires + 1));
  if (dice.chance(50)) problem.pens = static_cast<unsigned>(dice.below(mix.sires));
  if (dice.chance(50)) problem.hire_budget = money(0, 3 * top);
  return problem;
}

/// Herds of some twenty does: beyond trying everything, and with few ties.
inline PlanProblem herd_problem(PlanDice& dice) {
  PlanMix mix;
  mix.does = 12 + dice.below(12);
  mix.sires = 4 + dice.below(7);
  mix.unit = 7919;
  mix.largest = 5000;
  mix.no_value = 10;
  mix.no_open = mix.must = mix.locked = 3;
  return random_problem(dice, mix);
}

}  // namespace doewright::testing
