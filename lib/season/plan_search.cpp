// SPDX-License-Identifier: MIT
#include "plan_search.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace doewright {

namespace {

constexpr int first_steps = 400, later_steps = 40;      // of descent, in one part
constexpr int first_patience = 15, later_patience = 5;  // steps without gain before they shorten
constexpr double first_stretch = 1.5, least_stretch = 0.005;
constexpr double share_kept = 0.85;

/// The lexicographically smallest set a part of the search can hold: what is used, and whoever is
/// undecided before the last of them. (A set ranks before any longer one that begins with it.)
SireSet smallest_set(const std::vector<SireStand>& stands) {
  std::size_t end = 0;
  for (std::size_t s = 0; s < stands.size(); ++s) {
    if (stands[s] == SireStand::used) end = s + 1;
  }
  SireSet set;
  for (std::size_t s = 0; s < end; ++s) {
    if (stands[s] != SireStand::unused) set.push_back(s);
  }
  return set;
}

}  // namespace

bool ranks_before(const RankedSet& a, const RankedSet& b) {
  return a.objective != b.objective ? a.objective > b.objective : a.set < b.set;
}

PlanSearch::PlanSearch(const PlanTable& table, std::size_t wanted, std::uint64_t most_cells,
                       const Run& run)
    : table_(table),
      wanted_(wanted),
      most_cells_(most_cells),
      run_(run),
      bound_(table),
      assignment_(table),
      chosen_share_(table.sires) {}

bool PlanSearch::cannot_win(std::int64_t upper, const std::vector<SireStand>& stands) const {
  if (kept_.size() < wanted_) return false;
  const RankedSet& last = kept_.back();
  if (upper != last.objective) return upper < last.objective;
  return !(smallest_set(stands) < last.set);
}

void PlanSearch::keep(RankedSet found) {
  const auto at = std::lower_bound(kept_.begin(), kept_.end(), found, ranks_before);
  if (at != kept_.end() && at->set == found.set) return;
  kept_.insert(at, std::move(found));
  if (kept_.size() > wanted_) kept_.pop_back();
}

/// Keeps the best plan that uses no sire outside of this set; then without the sire who gains
/// least, as long as that is better.
void PlanSearch::try_set(SireSet set) {
  bool better = true;
  for (std::int64_t best = -table_.beyond_all; better && tried_.insert(set).second;) {
    std::int64_t objective = *assignment_.solve(set, false);
    SireSet with_does;
    for (std::size_t i = 0; i < set.size(); ++i) {
      if (assignment_.counts()[i] == 0) continue;
      with_does.push_back(set[i]);
      objective -= table_.hire_cost[set[i]];
    }
    if (within_limits(table_, with_does)) keep({objective, with_does});
    better = objective > best && !with_does.empty();
    if (!better) return;
    best = objective;
    with_does.erase(std::min_element(
        with_does.begin(), with_does.end(),
        [&](std::size_t a, std::size_t b) { return bound_.gains()[a] < bound_.gains()[b]; }));
    set = std::move(with_does);
  }
}

/// Descends to better prices; returns the best bound, whose prices and gains stay in force.
std::int64_t PlanSearch::tighten(Part& part, bool first) {
  PlanPrices prices = *part.prices, best_prices = prices;
  std::int64_t best = 0;
  double stretch = first ? first_stretch : first_stretch / 2;
  int idle = 0;
  std::fill(chosen_share_.begin(), chosen_share_.end(), 0.0);
  const int steps = first ? first_steps : later_steps;
  for (int i = 0; i < steps; ++i) {
    throw_if_stopped(run_);
    const std::int64_t upper = bound_.at(prices, part.stands);
    for (double& share : chosen_share_) share *= share_kept;
    for (const std::size_t s : bound_.chosen()) chosen_share_[s] += 1.0 - share_kept;
    if (bound_.met()) try_set(bound_.chosen());
    if (i == 0 || upper < best) {
      best = upper;
      best_prices = prices;
      idle = 0;
    } else if (++idle >= (first ? first_patience : later_patience)) {
      idle = 0;
      stretch /= 2;
      prices = best_prices;  // once more from there, with its own slopes
      if (stretch >= least_stretch) continue;
    }
    if (cannot_win(best, part.stands) || stretch < least_stretch) break;
    const std::int64_t aim =
        kept_.empty() ? best - std::abs(best) / 20 - 1 : kept_.back().objective;
    const auto distance = static_cast<double>(std::max<std::int64_t>(upper - aim, 1));
    prices = bound_.step(prices, stretch * distance);
  }
  const std::int64_t upper = bound_.at(best_prices, part.stands);
  part.prices = std::make_shared<const PlanPrices>(std::move(best_prices));
  return upper;
}

/// Decides the sires of whom only one decision can still win. False if none can.
bool PlanSearch::conclude(Part& part) {
  for (std::size_t s = 0; s < table_.sires; ++s) {
    if (part.stands[s] != SireStand::undecided) continue;
    const std::int64_t upper = bound_.turned(s, part.stands);
    const bool is_chosen = std::binary_search(bound_.chosen().begin(), bound_.chosen().end(), s);
    part.stands[s] = is_chosen ? SireStand::unused : SireStand::used;
    if (cannot_win(upper, part.stands)) {
      part.stands[s] = is_chosen ? SireStand::used : SireStand::unused;
    } else {
      part.stands[s] = SireStand::undecided;
    }
  }
  return settle_limits(table_, part.stands);
}

std::size_t PlanSearch::branching_sire(const Part& part) const {
  const bool tie = kept_.size() == wanted_ && part.upper == kept_.back().objective;
  std::size_t best = table_.sires;
  double best_distance = 2.0;
  for (std::size_t s = 0; s < table_.sires; ++s) {
    if (part.stands[s] != SireStand::undecided) continue;
    if (tie) return s;  // only a smaller set could win: decide the small ones first
    const double distance = std::abs(chosen_share_[s] - 0.5);
    if (distance < best_distance) {
      best = s;
      best_distance = distance;
    }
  }
  return best;
}

void PlanSearch::split(const Part& part) {
  const std::size_t sire = branching_sire(part);
  const bool likely = chosen_share_[sire] >= 0.5;
  for (const bool use : {!likely, likely}) {  // the newer part comes first among equals
    Part half = part;
    half.stands[sire] = use ? SireStand::used : SireStand::unused;
    half.number = next_number_++;
    if (settle_limits(table_, half.stands)) open_.push(std::move(half));
  }
}

void PlanSearch::look_into(Part part, bool first) {
  ++parts_;
  part.upper = std::min(part.upper, tighten(part, first));
  if (cannot_win(part.upper, part.stands) || !conclude(part)) return;
  if (cannot_win(part.upper, part.stands)) return;
  if (std::count(part.stands.begin(), part.stands.end(), SireStand::undecided) > 0) {
    split(part);
    return;
  }
  RankedSet only{0, {}};
  for (std::size_t s = 0; s < table_.sires; ++s) {
    if (part.stands[s] != SireStand::used) continue;
    only.set.push_back(s);
    only.objective -= table_.hire_cost[s];
  }
  const auto worth = assignment_.solve(only.set, true);
  if (!worth) return;  // not every sire of the set can get a doe
  only.objective += *worth;
  keep(std::move(only));
}

void PlanSearch::search() {
  Part whole;
  whole.upper = table_.beyond_all;
  whole.stands.assign(table_.sires, SireStand::undecided);
  whole.prices = std::make_shared<const PlanPrices>(bound_.first_prices());
  try_set({});  // all open: always a plan, if a poor one
  if (settle_limits(table_, whole.stands)) open_.push(std::move(whole));
  for (bool first = true; !open_.empty(); first = false) {
    throw_if_stopped(run_);
    Part part = open_.top();
    open_.pop();
    if (cannot_win(part.upper, part.stands)) continue;
    if (!first && cells() > most_cells_) {
      upper_ = part.upper;
      return;
    }
    look_into(std::move(part), first);
  }
  finished_ = true;
  upper_ = kept_.back().objective;
}

}  // namespace doewright
