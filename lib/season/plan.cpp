// SPDX-License-Identifier: MIT
#include <doewright/season/plan.hpp>

#include <algorithm>
#include <cmath>

#include <doewright/timing/settling.hpp>
#include <doewright/timing/stay_terms.hpp>

#include "fallback.hpp"

namespace doewright {

namespace {

const PairingAccount& account_with(const DoeAccount& doe, std::size_t sire) {
  return *std::find_if(doe.sires.begin(), doe.sires.end(),
                       [&](const PairingAccount& pair) { return pair.offer == sire; });
}

/// The best sire by value for her among those that pass; ties by id. Nothing: none is allowed.
template <class Passes>
std::optional<std::size_t> best_for(const Herd& herd, const PairingTable& table,
                                    const SeasonProblem& question, std::size_t doe,
                                    const Passes& passes) {
  std::optional<std::size_t> best;
  for (std::size_t s = 0; s < table.sires.size(); ++s) {
    const auto& value = question.problem.values(doe, s);
    if (!value || question.problem.sires[s].most_does == 0u || !passes(s)) continue;
    const auto& first = best ? question.problem.values(doe, *best) : value;
    const bool earlier =
        best && *value == *first &&
        herd.ids[table.sires[s].offer.sire] < herd.ids[table.sires[*best].offer.sire];
    if (!best || *value > *first || earlier) best = s;
  }
  return best;
}

/// A doe of his in this plan was found in kid: he settles does.
bool settled_one(const SeasonPlan& plan, std::size_t s) {
  return std::any_of(plan.pairings.begin(), plan.pairings.end(), [&](const PlannedPair& pair) {
    return pair.sire == s && pair.in_kid && pair.in_kid->found_in_kid();
  });
}

/// A doe that he served this season has kidded to him since: whatever else, he is not infertile.
bool kidded_to(const Herd& herd, Animal sire) {
  constexpr int season_days = 200, kidding_follows = 120;
  const auto of_service = [&](const Kidding& kidding) {
    return std::any_of(herd.services.begin(), herd.services.end(), [&](const Service& service) {
      return service.sire == sire && service.doe == kidding.doe && service.from.known() &&
             service.from.earliest() >= herd.as_of - season_days &&
             kidding.date.earliest() - service.from.latest() >= kidding_follows;
    });
  };
  return std::any_of(herd.kiddings.begin(), herd.kiddings.end(), [&](const Kidding& kidding) {
    return kidding.sire == sire && kidding.date.known() && kidding.date.latest() <= herd.as_of &&
           of_service(kidding);
  });
}

/// Of his does together, given what is known of them: one in kid is not open.
double all_open_chance(const Herd& herd, const SireAccount& account, const SeasonPlan& plan,
                       std::size_t s, const std::vector<double>& settle) {
  if (settled_one(plan, s)) return 0.0;
  const double infertile = stay_terms(herd, account.offer, account.proven).infertile;
  if (!kidded_to(herd, account.offer.sire)) return all_open_probability(infertile, settle);
  std::vector<double> if_fertile = settle;
  for (double& chance : if_fertile) chance = std::min(1.0, chance / (1.0 - infertile));
  return all_open_probability(0.0, if_fertile);
}

PlannedSire planned_sire(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                         std::size_t s) {
  const SireAccount& account = table.sires[s];
  PlannedSire sire{.sire = s, .hire_cost = account.hire_cost};
  std::vector<double> settle;
  for (const PlannedPair& pair : plan.pairings) {
    if (pair.sire != s) continue;
    const PairingAccount& hers = table.does[pair.doe].sires[pair.account];
    settle.push_back(hers.settle_probability);
    sire.doe_costs += hers.doe_cost;
    sire.all_open_loss += hers.money->value - (herd.season.open_value - hers.doe_cost);
  }
  sire.does = settle.size();
  sire.all_open_probability = all_open_chance(herd, account, plan, s, settle);
  sire.crowded_days = crowded_days(sire.does);
  return sire;
}

OpenDoe open_doe(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                 FallbackChoice& fallback, std::size_t d) {
  const auto& unserved = plan.choice.unserved;
  const auto best = best_for(herd, table, plan.question, d, [](std::size_t) { return true; });
  if (std::find(unserved.begin(), unserved.end(), d) != unserved.end()) {
    const auto& locked = plan.question.problem.does[d].locked;
    return {d, OpenWhy::no_plan, locked ? locked : best};
  }
  switch (plan.question.standing[d]) {
    case DoeStanding::on_hold:
      return {d, OpenWhy::on_hold, {}};
    case DoeStanding::not_there:
      return {d, OpenWhy::not_there, fallback.of(d, std::nullopt)};
    default:
      break;
  }
  if (!best) return {d, OpenWhy::nobody, {}};
  const bool worth_less =
      *plan.question.problem.values(d, *best) <= plan.question.problem.open_values[d].value_or(0);
  return {d, worth_less ? OpenWhy::worth_less : OpenWhy::no_room, best};
}

void place_does(const Herd& herd, const PairingTable& table, SeasonPlan& plan) {
  const Offspring offspring(herd.pedigree);
  FallbackChoice fallback(herd, table, plan);
  for (std::size_t d = 0; d < table.does.size(); ++d) {
    const std::optional<std::size_t> sire = plan.choice.sire_of_doe[d];
    if (!sire) {
      plan.open.push_back(open_doe(herd, table, plan, fallback, d));
      continue;
    }
    const DoeAccount& doe = table.does[d];
    const auto account = static_cast<std::size_t>(&account_with(doe, *sire) - doe.sires.data());
    plan.pairings.push_back({.doe = d,
                             .sire = *sire,
                             .account = account,
                             .fallback = fallback.of(d, sire),
                             .in_kid = {}});
    const std::optional<Service>& served = plan.question.served[d];
    if (served && served->sire == table.sires[*sire].offer.sire) {
      plan.pairings.back().in_kid = stands_in_kid(herd, offspring, doe.doe.doe);
    }
  }
}

/// Best first, each of another set of sires: as many sets as are looked at for one of two sires.
constexpr std::size_t sets_looked_at = 64;

std::optional<PlanChoice> best_with_two(const SeasonPlan& plan, const SolveOptions& effort,
                                        const Run& run) {
  const auto first_of_two = [](const std::vector<PlanChoice>& plans) -> std::optional<PlanChoice> {
    for (const PlanChoice& other : plans) {
      if (other.hired.size() > 1) return other;
    }
    return std::nullopt;
  };
  const std::optional<PlanChoice> there = first_of_two(plan.alternatives);
  if (there) return there;
  return first_of_two(alternatives(plan.question.problem, sets_looked_at, effort, run));
}

std::optional<BeyondLimits> beyond_limits(const SeasonPlan& plan, const SolveOptions& effort,
                                          const Run& run) {
  const PlanProblem& problem = plan.question.problem;
  const LimitCost* dearest = nullptr;
  for (const LimitCost& cost : plan.limit_costs) {
    if (cost.cost > 0 && (dearest == nullptr || cost.cost > dearest->cost)) dearest = &cost;
  }
  if (dearest != nullptr) {
    BeyondLimits beyond{dearest->limit, solve(lifted(problem, dearest->limit), effort, run)};
    if (beyond.choice.feasible && !beyond.choice.hired.empty()) return beyond;
  }
  PlanProblem free = problem;
  for (const PlanLimit limit : {PlanLimit::pens, PlanLimit::max_hired, PlanLimit::hire_budget}) {
    free = lifted(free, limit);
  }
  BeyondLimits beyond{std::nullopt, solve(free, effort, run)};
  if (!beyond.choice.feasible || beyond.choice.hired.empty()) return std::nullopt;
  return beyond;
}

/// What the plan is worth more than the other one, both kept as they are, at these values.
double lead_over(const PlanChoice& plan, const PlanChoice& other, const Grid<double>& values) {
  double lead = 0.0;
  for (std::size_t d = 0; d < plan.sire_of_doe.size(); ++d) {
    const auto& mine = plan.sire_of_doe[d];
    const auto& theirs = other.sire_of_doe[d];
    lead += (mine ? values(d, *mine) : 0.0) - (theirs ? values(d, *theirs) : 0.0);
  }
  return lead;
}

Grid<double> values_of(const PairingTable& table) {
  Grid<double> values(table.does.size(), table.sires.size());
  for (std::size_t d = 0; d < table.does.size(); ++d) {
    for (const PairingAccount& pair : table.does[d].sires) {
      values(d, pair.offer) = pair.money->value;
    }
  }
  return values;
}

std::vector<std::string> prices_of(const PairingTable& table, const OtherPrice& varied,
                                   const PlanChoice& plan, const PlanChoice& other) {
  if (varied.price != all_default_prices) return {varied.price};
  const double lead = lead_over(plan, other, values_of(table));
  std::vector<std::string> nearer;
  for (const OtherPrice& single : table.other_prices) {
    if (single.factor != varied.factor || single.price == all_default_prices) continue;
    const double then = lead_over(plan, other, single.values);
    if (std::llround(then * 1e6) < std::llround(lead * 1e6)) nearer.push_back(single.price);
  }
  return nearer;
}

/// Every default price halved and doubled on its own, and all of them together, the whole plan made
/// again. A set that is as good as the plan's own at that price is no change.
std::vector<PriceCall> price_calls(const PairingTable& table, const SeasonPlan& plan,
                                   const SolveOptions& effort, const Run& run) {
  std::vector<PriceCall> calls;
  if (!plan.choice.feasible) return calls;
  for (const OtherPrice& other : table.other_prices) {
    const PlanProblem problem = at_other_price(plan.question.problem, other);
    PlanChoice best = solve(problem, effort, run);
    if (best.hired == plan.choice.hired) continue;
    PlanProblem only_ours = problem;
    for (std::size_t s = 0; s < problem.sires.size(); ++s) {
      const auto& ours = plan.choice.hired;
      if (std::find(ours.begin(), ours.end(), s) == ours.end()) only_ours.sires[s].most_does = 0;
    }
    const PlanChoice kept = solve(only_ours, effort, run);
    if (kept.feasible && kept.objective >= best.objective) continue;
    std::vector<std::string> prices = prices_of(table, other, plan.choice, best);
    calls.push_back({other.price, std::move(prices), other.factor, std::move(best.hired)});
  }
  return calls;
}

/// A service cannot be given up: sires set for does are in the way only if it would do to free the
/// does that the keeper has set one for.
void keep_services(SeasonPlan& plan, const SolveOptions& effort, const Run& run) {
  auto& ways = plan.choice.in_the_way;
  const auto locked = std::find(ways.begin(), ways.end(), PlanLimit::locked);
  const auto& standing = plan.question.standing;
  const bool any = std::count(standing.begin(), standing.end(), DoeStanding::served) > 0;
  if (locked == ways.end() || !any) return;
  PlanProblem freed = plan.question.problem;
  for (std::size_t d = 0; d < freed.does.size(); ++d) {
    if (standing[d] == DoeStanding::locked) freed.does[d].locked.reset();
  }
  if (!solve(freed, effort, run).feasible) ways.erase(locked);
}

}  // namespace

std::string_view word(OpenWhy why) noexcept {
  switch (why) {
    case OpenWhy::on_hold:
      return "hold";
    case OpenWhy::not_there:
      return "sire-not-on-offer";
    case OpenWhy::nobody:
      return "nobody";
    case OpenWhy::worth_less:
      return "worth-less";
    case OpenWhy::no_room:
      return "no-room";
    case OpenWhy::no_plan:
      return "no-plan";
  }
  return "";
}

double crowded_days(std::size_t does) {
  constexpr double day = 1.0 / days_of_cycle;
  if (does < 2) return 0.0;
  const auto n = static_cast<double>(does);
  const double none = std::pow(1.0 - day, n);
  return std::max(0.0, 1.0 - none - n * day * none / (1.0 - day));
}

SeasonPlan make_plan(const Herd& herd, const PairingTable& table, const PlanOptions& options,
                     const Run& run) {
  SeasonPlan plan;
  plan.question = plan_problem(herd, table);
  const PlanProblem& problem = plan.question.problem;
  plan.choice = solve(problem, options.effort, run);
  keep_services(plan, options.effort, run);
  place_does(herd, table, plan);
  for (const std::size_t s : plan.choice.hired) {
    plan.hired.push_back(planned_sire(herd, table, plan, s));
    plan.cost += plan.hired.back().hire_cost + plan.hired.back().doe_costs;
  }
  if (options.alternatives > 0) {
    plan.alternatives = alternatives(problem, options.alternatives, options.effort, run);
  }
  if (plan.hired.size() > 1) {
    plan.one_fewer = with_one_fewer(problem, plan.choice, options.effort, run);
  }
  plan.limit_costs = limit_costs(problem, plan.choice, options.effort, run);
  plan.on_one_unproven = plan.hired.size() == 1 && plan.hired.front().does > 1 &&
                         !table.sires[plan.hired.front().sire].proven &&
                         !settled_one(plan, plan.hired.front().sire);
  if (plan.on_one_unproven && table.sires.size() > 1) {
    plan.with_two = best_with_two(plan, options.effort, run);
  }
  if (plan.hired.empty() && plan.choice.feasible) {
    plan.beyond = beyond_limits(plan, options.effort, run);
  }
  plan.gaps = buck_gaps(herd, table, plan.choice.hired);
  plan.price_calls = price_calls(table, plan, options.effort, run);
  return plan;
}

}  // namespace doewright
