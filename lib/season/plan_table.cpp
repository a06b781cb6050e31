// SPDX-License-Identifier: MIT
#include "plan_table.hpp"

#include <algorithm>
#include <limits>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

constexpr std::int64_t largest = std::int64_t{1} << 58;

void check(const PlanProblem& problem) {
  const std::size_t does = problem.does.size(), sires = problem.sires.size();
  if (problem.values.rows != does || problem.values.columns != sires ||
      problem.values.cells.size() != does * sires || problem.open_values.size() != does) {
    throw UsageError("a plan needs a value for each doe and sire and an open value for each doe");
  }
  for (const PlanDoe& doe : problem.does) {
    if (doe.locked && *doe.locked >= sires) {
      throw UsageError("a doe is locked to a sire that is not on the list");
    }
  }
  for (const PlanSire& sire : problem.sires) {
    if (sire.from && sire.to && *sire.to < *sire.from) {
      throw UsageError("a sire's stay ends before it begins");
    }
  }
  if (problem.hire_budget && *problem.hire_budget < 0) {
    throw UsageError("a hire budget cannot be negative");
  }
}

std::int64_t checked(std::int64_t number) {
  if (number > largest || number < -largest) {
    throw UsageError("a plan's numbers are too large to be added up exactly");
  }
  return number;
}

/// Adds, and refuses before the sum could overflow.
void add_checked(std::int64_t& sum, std::int64_t number) {
  sum = checked(sum + checked(number));
}

void take_worths(const PlanProblem& problem, PlanTable& table) {
  table.worths.assign(table.sires * table.does, PlanTable::not_allowed);
  for (std::size_t d = 0; d < table.does; ++d) {
    const auto& locked = problem.does[d].locked;
    for (std::size_t s = 0; s < table.sires; ++s) {
      const auto& value = problem.values(d, s);
      if (!value || (locked && *locked != s)) continue;
      table.worths[s * table.does + d] = checked(*value);
    }
    const bool must = !problem.does[d].may_be_open || locked || !problem.open_values[d];
    table.must_be_served.push_back(must);
    table.open.push_back(checked(problem.open_values[d].value_or(0)));
  }
}

/// Lowest and highest worth of each doe, and the penalty from their differences. A doe left open
/// against the rules counts her open value, and the penalty besides.
void take_penalty(PlanTable& table) {
  std::int64_t spread = 1;
  for (const std::int64_t cost : table.hire_cost) add_checked(spread, cost < 0 ? -cost : cost);
  const std::int64_t hire_costs = spread;
  for (std::size_t d = 0; d < table.does; ++d) {
    std::int64_t low = table.open[d], high = table.open[d];
    for (std::size_t s = 0; s < table.sires; ++s) {
      const std::int64_t worth = table.worth(d, s);
      if (worth == PlanTable::not_allowed) continue;
      low = std::min(low, worth);
      high = std::max(high, worth);
    }
    table.lowest.push_back(low);
    table.highest.push_back(high);
    add_checked(spread, high - low);
  }
  table.penalty = spread;
  std::int64_t all = hire_costs;
  for (std::size_t d = 0; d < table.does; ++d) {
    if (table.must_be_served[d]) {
      table.open[d] -= table.penalty;
      table.lowest[d] = std::min(table.lowest[d], table.open[d]);
    }
    add_checked(all, table.highest[d] - table.lowest[d]);
    add_checked(all, std::max(std::abs(table.highest[d]), std::abs(table.lowest[d])));
  }
  // A bound adds up to `sires` times the sum over all does.
  if (all > 4 * largest / static_cast<std::int64_t>(table.sires + 1)) checked(largest + 1);
  table.beyond_all = 2 * all + 1;
}

std::vector<SireSet> pen_days(const PlanProblem& problem, std::size_t pens) {
  constexpr std::int32_t always = std::numeric_limits<std::int32_t>::min();
  std::vector<SireSet> days;
  for (const PlanSire& first : problem.sires) {
    if (!first.needs_pen) continue;
    const std::int32_t day = first.from ? first.from->day : always;  // somebody's first day
    SireSet there;
    for (std::size_t s = 0; s < problem.sires.size(); ++s) {
      const PlanSire& sire = problem.sires[s];
      if (sire.needs_pen && (!sire.from || sire.from->day <= day) &&
          (!sire.to || sire.to->day >= day)) {
        there.push_back(s);
      }
    }
    if (there.size() > pens) days.push_back(std::move(there));
  }
  std::sort(days.begin(), days.end());
  days.erase(std::unique(days.begin(), days.end()), days.end());
  std::vector<SireSet> kept;  // a day whose sires are all there on another day says nothing new
  for (const SireSet& day : days) {
    const bool said = std::any_of(days.begin(), days.end(), [&](const SireSet& other) {
      return other.size() > day.size() &&
             std::includes(other.begin(), other.end(), day.begin(), day.end());
    });
    if (!said) kept.push_back(day);
  }
  return kept;
}

void take_limits(const PlanProblem& problem, std::optional<unsigned> most_used, PlanTable& table) {
  const auto limit = [&](std::optional<unsigned> most) {
    return most ? std::min<std::size_t>(*most, table.sires) : table.sires;
  };
  table.pens = limit(problem.pens);
  table.max_hired = limit(problem.max_hired);
  table.max_used = limit(most_used);
  table.pen_days = pen_days(problem, table.pens);
  std::int64_t most = 0;
  for (const std::int64_t cost : table.hire_cost) most += std::max<std::int64_t>(0, cost);
  if (problem.hire_budget && *problem.hire_budget < most) table.budget = problem.hire_budget;
}

bool are_twins(const PlanTable& table, std::size_t a, std::size_t b) {
  const auto row = [&](std::size_t s) {
    return table.worths.begin() + static_cast<std::ptrdiff_t>(s * table.does);
  };
  const auto there = [](const SireSet& day, std::size_t s) {
    return std::binary_search(day.begin(), day.end(), s);
  };
  return table.room[a] == table.room[b] && table.hire_cost[a] == table.hire_cost[b] &&
         table.own[a] == table.own[b] && std::equal(row(a), row(a + 1), row(b)) &&
         std::all_of(table.pen_days.begin(), table.pen_days.end(),
                     [&](const SireSet& day) { return there(day, a) == there(day, b); });
}

void take_twins(PlanTable& table) {
  table.twin.resize(table.sires);
  for (std::size_t s = 0; s < table.sires; ++s) {
    for (std::size_t before = s; before-- > 0 && !table.twin[s];) {
      if (are_twins(table, before, s)) table.twin[s] = before;
    }
  }
}

}  // namespace

PlanTable plan_table(const PlanProblem& problem, std::optional<unsigned> most_used) {
  check(problem);
  PlanTable table;
  table.does = problem.does.size();
  table.sires = problem.sires.size();
  take_worths(problem, table);
  for (std::size_t s = 0; s < table.sires; ++s) {
    const PlanSire& sire = problem.sires[s];
    table.own.push_back(sire.own);
    table.hire_cost.push_back(checked(sire.hire_cost));
    std::size_t can = 0;
    for (std::size_t d = 0; d < table.does; ++d) can += table.worth(d, s) != table.not_allowed;
    table.room.push_back(sire.most_does ? std::min<std::size_t>(can, *sire.most_does) : can);
  }
  take_penalty(table);
  take_limits(problem, most_used, table);
  take_twins(table);
  return table;
}

bool settle_limits(const PlanTable& table, PlanDecided& decided) {
  using enum SireStand;
  std::vector<SireStand>& stands = decided.stands;
  const std::size_t most_used = std::min({decided.most_used, table.max_used, table.does});
  std::size_t used_in_all = 0, hired = 0;
  std::int64_t cost = 0;  // the least that what is decided can come to
  for (std::size_t s = 0; s < table.sires; ++s) {
    if (stands[s] == used) {
      ++used_in_all;
      hired += !table.own[s];
      cost += table.hire_cost[s];
    } else if (stands[s] == undecided) {
      cost += std::min<std::int64_t>(0, table.hire_cost[s]);
    }
  }
  if (used_in_all > most_used || hired > table.max_hired ||
      (table.budget && cost > *table.budget)) {
    return false;
  }
  for (std::size_t s = 0; s < table.sires; ++s) {
    if (stands[s] != undecided) continue;
    if (table.room[s] == 0 || used_in_all == most_used ||
        (!table.own[s] && hired == table.max_hired) ||
        (table.budget && table.hire_cost[s] > 0 && cost + table.hire_cost[s] > *table.budget)) {
      stands[s] = unused;
    }
  }
  for (const SireSet& day : table.pen_days) {
    std::size_t there = 0;
    for (const std::size_t s : day) there += stands[s] == used;
    if (there > table.pens) return false;
    if (there < table.pens) continue;
    for (const std::size_t s : day) {
      if (stands[s] == undecided) stands[s] = unused;
    }
  }
  const auto undecided_sires =
      static_cast<std::size_t>(std::count(stands.begin(), stands.end(), undecided));
  if (used_in_all + undecided_sires > decided.least_used || undecided_sires == 0) {
    return used_in_all + undecided_sires >= decided.least_used;
  }
  if (used_in_all + undecided_sires < decided.least_used) return false;
  std::replace(stands.begin(), stands.end(), undecided, used);  // all are needed
  return settle_limits(table, decided);
}

void settle_twins(const PlanTable& table, PlanDecided& decided) {
  for (std::size_t s = 0; s < table.sires; ++s) {
    if (!table.twin[s] || decided.stands[s] != SireStand::undecided) continue;
    if (decided.stands[*table.twin[s]] == SireStand::unused) decided.stands[s] = SireStand::unused;
  }
  for (std::size_t s = table.sires; s-- > 0;) {
    if (!table.twin[s] || decided.stands[s] != SireStand::used) continue;
    SireStand& before = decided.stands[*table.twin[s]];
    if (before == SireStand::undecided) before = SireStand::used;
  }
}

bool within_limits(const PlanTable& table, const SireSet& set) {
  PlanDecided decided{std::vector(table.sires, SireStand::unused), set.size(), set.size()};
  for (const std::size_t s : set) decided.stands[s] = SireStand::used;
  return settle_limits(table, decided);
}

}  // namespace doewright
