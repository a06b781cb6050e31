// SPDX-License-Identifier: MIT
#include <doewright/season/plan.hpp>

#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>
#include <doewright/pairing/doe_review.hpp>

namespace doewright {

namespace {

std::int64_t millionths(double money) {
  constexpr double most = 4e18;  // beyond it a whole number does not hold it
  const double scaled = money * 1e6;
  if (!(std::abs(scaled) < most)) {
    throw UsageError("a plan's numbers are too large to be added up exactly");
  }
  return std::llround(scaled);
}

PlanSire plan_sire(const SireAccount& account) {
  const Terms terms = account.offer.terms;
  PlanSire sire;
  sire.hire_cost = millionths(account.hire_cost);
  sire.most_does = account.most_does;
  sire.own = terms == Terms::own;
  sire.needs_pen = terms != Terms::visit && terms != Terms::semen;
  if (account.to < account.from) {
    sire.most_does = 0;  // no day with the does
  } else {
    sire.from = account.from;
    sire.to = account.to;
  }
  return sire;
}

std::optional<std::size_t> offer_of(const PairingTable& table, Animal sire) {
  for (std::size_t s = 0; s < table.sires.size(); ++s) {
    if (table.sires[s].offer.sire == sire) return s;
  }
  return std::nullopt;
}

bool ruled_out(const DoeForward& doe, Animal sire) {
  return std::find(doe.not_sires.begin(), doe.not_sires.end(), sire) != doe.not_sires.end();
}

/// The standing of a doe, and the sire she is held to.
struct Standing {
  DoeStanding standing = DoeStanding::free;
  std::optional<std::size_t> locked;
};

Standing standing_of(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                     const std::optional<Service>& served) {
  if (herd.animals.gone[doe.doe.doe.position]) return {DoeStanding::on_hold, {}};
  if (doe.doe.sire) {
    const auto offer = offer_of(table, *doe.doe.sire);
    return {offer ? DoeStanding::locked : DoeStanding::not_there, offer};
  }
  if (served) {
    const auto offer = offer_of(table, served->sire);
    return {offer ? DoeStanding::served : DoeStanding::not_there, offer};
  }
  if (doe.fitness.on_hold()) return {DoeStanding::on_hold, {}};
  bool any = false;
  for (const PairingAccount& pair : doe.sires) {
    if (!pair.money) continue;
    if (pair.verdict != Verdict::avoid) return {DoeStanding::free, {}};
    any = any || (!ruled_out(doe.doe, pair.pairing.sire) && !table.sires[pair.offer].gone);
  }
  return {any ? DoeStanding::overruled : DoeStanding::nobody, {}};
}

bool allowed(const Standing& standing, const DoeAccount& doe, const PairingAccount& pair) {
  if (standing.locked == pair.offer) return true;
  switch (standing.standing) {
    case DoeStanding::overruled:
      return !ruled_out(doe.doe, pair.pairing.sire);
    case DoeStanding::on_hold:
    case DoeStanding::not_there:
    case DoeStanding::nobody:
      return false;
    case DoeStanding::free:
    case DoeStanding::locked:
    case DoeStanding::served:
      break;
  }
  return pair.verdict != Verdict::avoid;
}

}  // namespace

std::string_view word(DoeStanding standing) noexcept {
  switch (standing) {
    case DoeStanding::free:
      return "free";
    case DoeStanding::overruled:
      return "overruled";
    case DoeStanding::locked:
      return "locked";
    case DoeStanding::served:
      return "served";
    case DoeStanding::on_hold:
      return "hold";
    case DoeStanding::not_there:
      return "sire-not-on-offer";
    case DoeStanding::nobody:
      return "nobody";
  }
  return "";
}

SeasonProblem plan_problem(const Herd& herd, const PairingTable& table) {
  const std::size_t does = table.does.size(), sires = table.sires.size();
  SeasonProblem result;
  PlanProblem& problem = result.problem;
  for (const SireAccount& account : table.sires) problem.sires.push_back(plan_sire(account));
  problem.values = Grid<std::optional<std::int64_t>>(does, sires);
  result.doe_costs = Grid<std::int64_t>(does, sires);
  const Offspring offspring(herd.pedigree);
  for (std::size_t d = 0; d < does; ++d) {
    const DoeAccount& doe = table.does[d];
    result.served.push_back(served_this_season(herd, offspring, doe.doe.doe));
    const Standing standing = standing_of(herd, table, doe, result.served.back());
    result.standing.push_back(standing.standing);
    problem.does.push_back({.may_be_open = true, .locked = standing.locked});
    problem.open_values.emplace_back(millionths(herd.season.open_value));
    for (const PairingAccount& pair : doe.sires) {
      result.doe_costs(d, pair.offer) = millionths(pair.doe_cost);
      const bool over = table.sires[pair.offer].some_days_past && pair.settle_probability <= 0.0;
      const bool not_there = over || table.sires[pair.offer].gone;  // no day left, or dead
      if (not_there && standing.locked != pair.offer) continue;
      if (pair.money && allowed(standing, doe, pair)) {
        problem.values(d, pair.offer) = millionths(pair.money->value);
      }
    }
  }
  problem.max_hired = herd.season.max_hired;
  problem.pens = herd.season.pens;
  if (herd.season.hire_budget) problem.hire_budget = millionths(*herd.season.hire_budget);
  return result;
}

PlanProblem at_other_price(const PlanProblem& problem, const OtherPrice& other) {
  PlanProblem result = problem;
  for (std::size_t d = 0; d < problem.does.size(); ++d) {
    for (std::size_t s = 0; s < problem.sires.size(); ++s) {
      if (result.values(d, s)) result.values(d, s) = millionths(other.values(d, s));
    }
  }
  return result;
}

}  // namespace doewright
