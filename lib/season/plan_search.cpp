// SPDX-License-Identifier: MIT
#include "plan_search.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace doewright {

namespace {

constexpr double least_part = 0.1;  // of a sire, to split by their number

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

bool PlanSearch::cannot_win(std::int64_t upper, const PlanDecided& decided) const {
  if (kept_.size() < wanted_) return false;
  const RankedSet& last = kept_.back();
  if (upper != last.objective) return upper < last.objective;
  return !(smallest_set(decided.stands) < last.set);
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

/// Decides the sires of whom only one decision can still win. False if none can.
bool PlanSearch::conclude(Part& part) {
  for (std::size_t s = 0; s < table_.sires; ++s) {
    if (part.decided.stands[s] != SireStand::undecided) continue;
    const std::int64_t upper = bound_.turned(s, part.decided);
    const bool is_chosen = std::binary_search(bound_.chosen().begin(), bound_.chosen().end(), s);
    part.decided.stands[s] = is_chosen ? SireStand::unused : SireStand::used;
    if (cannot_win(upper, part.decided)) {
      part.decided.stands[s] = is_chosen ? SireStand::used : SireStand::unused;
    } else {
      part.decided.stands[s] = SireStand::undecided;
    }
  }
  return settle(part);
}

bool PlanSearch::settle(Part& part) const {
  if (wanted_ == 1) settle_twins(table_, part.decided);
  return settle_limits(table_, part.decided);
}

std::size_t PlanSearch::branching_sire(const Part& part) const {
  const bool tie = kept_.size() == wanted_ && part.upper == kept_.back().objective;
  std::size_t best = table_.sires;
  double best_distance = 2.0;
  for (std::size_t s = 0; s < table_.sires; ++s) {
    if (part.decided.stands[s] != SireStand::undecided) continue;
    if (tie) return s;  // only a smaller set could win: decide the small ones first
    const double distance = std::abs(chosen_share_[s] - 0.5);
    if (distance < best_distance) {
      best = s;
      best_distance = distance;
    }
  }
  return best;
}

void PlanSearch::put_back(Part part) {
  part.number = next_number_++;
  if (settle(part)) open_.push(std::move(part));
}

/// Where the relaxation uses 3.7 sires: at most 3, or at least 4. Among sires much like each other
/// this decides what deciding them one by one cannot.
bool PlanSearch::split_by_number(const Part& part) {
  const double below = std::floor(chosen_number_);
  if (chosen_number_ - below < least_part || below + 1.0 - chosen_number_ < least_part)
    return false;
  const auto few = static_cast<std::size_t>(below);
  if (few < part.decided.least_used || few >= part.decided.most_used) return false;
  Part fewer = part, more = part;
  fewer.new_number = more.new_number = true;
  fewer.decided.most_used = few;
  more.decided.least_used = few + 1;
  put_back(std::move(fewer));
  put_back(std::move(more));
  return true;
}

void PlanSearch::split(const Part& part) {
  if (split_by_number(part)) return;
  const std::size_t sire = branching_sire(part);
  const bool likely = chosen_share_[sire] >= 0.5;
  for (const bool use : {!likely, likely}) {  // the newer part comes first among equals
    Part half = part;
    half.new_number = false;
    half.decided.stands[sire] = use ? SireStand::used : SireStand::unused;
    put_back(std::move(half));
  }
}

void PlanSearch::look_into(Part part, bool first) {
  ++parts_;
  part.upper = std::min(part.upper, tighten(part, first));
  if (cannot_win(part.upper, part.decided) || !conclude(part)) return;
  if (cannot_win(part.upper, part.decided)) return;
  if (std::count(part.decided.stands.begin(), part.decided.stands.end(), SireStand::undecided) >
      0) {
    split(part);
    return;
  }
  RankedSet only{0, {}};
  for (std::size_t s = 0; s < table_.sires; ++s) {
    if (part.decided.stands[s] != SireStand::used) continue;
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
  whole.decided = {std::vector(table_.sires, SireStand::undecided), 0, table_.sires};
  whole.prices = std::make_shared<const PlanPrices>(bound_.first_prices());
  try_set({});  // all open: always a plan, if a poor one
  if (settle(whole)) open_.push(std::move(whole));
  for (bool first = true; !open_.empty(); first = false) {
    throw_if_stopped(run_);
    Part part = open_.top();
    open_.pop();
    if (cannot_win(part.upper, part.decided)) continue;
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
