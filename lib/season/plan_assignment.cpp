// SPDX-License-Identifier: MIT
// Successive best chains (Edmonds and Karp 1972, from memory) on a graph that has a node a place
// instead of a node a doe: between two places only the best single move counts. After each doe the
// assignment is the best one of the does so far, so no chain of moves gains anything by going
// round.
#include "plan_assignment.hpp"

#include <algorithm>
#include <utility>

namespace doewright {

namespace {

constexpr std::size_t nobody = static_cast<std::size_t>(-1);
constexpr std::int64_t no_way = PlanTable::not_allowed;

}  // namespace

void PlanAssignment::offer_moves(std::size_t doe, std::size_t place) {
  const std::int64_t here = worth(doe, place);
  for (std::size_t to = 0; to <= set_.size(); ++to) {
    const std::int64_t there = worth(doe, to);
    if (to == place || there == no_way) continue;
    Move& best = move(place, to);
    if (best.doe == nobody || there - here > best.gain) best = {there - here, doe};
  }
  cells_ += set_.size() + 1;
}

void PlanAssignment::search_moves(std::size_t from, std::size_t to, std::size_t first_doe) {
  Move best{no_way, nobody};
  for (const std::size_t doe : rosters_[from]) {
    const std::int64_t there = worth(doe, to);
    if (doe < first_doe || there == no_way) continue;
    const std::int64_t gain = there - worth(doe, from);
    if (best.doe == nobody || gain > best.gain) best = {gain, doe};
  }
  cells_ += rosters_[from].size();
  move(from, to) = best;
}

void PlanAssignment::enter(std::size_t doe, std::size_t place) {
  places_[doe] = place;
  ++counts_[place];
  rosters_[place].push_back(doe);
  offer_moves(doe, place);
}

void PlanAssignment::leave(std::size_t doe, std::size_t place) {
  --counts_[place];
  auto& roster = rosters_[place];
  *std::find(roster.begin(), roster.end(), doe) = roster.back();
  roster.pop_back();
  for (std::size_t to = 0; to <= set_.size(); ++to) {
    if (to != place && move(place, to).doe == doe) search_moves(place, to, 0);
  }
}

void PlanAssignment::insert(std::size_t doe, bool each_used) {
  const std::size_t open = set_.size();
  std::size_t nearest = open;
  gains_[open] = worth(doe, open);
  for (std::size_t place = 0; place < open; ++place) {
    gains_[place] = worth(doe, place);
    if (gains_[place] > gains_[nearest]) nearest = place;
  }
  cells_ += open + 1;
  // No chain of moves by the others gains anything, so a best place with room cannot be bettered
  // (where each sire must get a doe one may still wait for her).
  if (!each_used && (nearest == open || counts_[nearest] < table_.room[set_[nearest]])) {
    enter(doe, nearest);
    return;
  }
  std::fill(steps_.begin(), steps_.end(), nobody);
  std::fill(fresh_.begin(), fresh_.end(), true);  // its gain is news to the others
  for (bool changed = true; changed;) {
    changed = false;
    for (std::size_t from = 0; from <= open; ++from) {
      if (gains_[from] == no_way || !std::exchange(fresh_[from], false)) continue;
      cells_ += open + 1;
      for (std::size_t to = 0; to <= open; ++to) {
        const Move& step = move(from, to);
        if (to == from || step.doe == nobody || gains_[from] + step.gain <= gains_[to]) continue;
        gains_[to] = gains_[from] + step.gain;
        steps_[to] = from;
        fresh_[to] = true;
        changed = true;
      }
    }
  }
  std::size_t end = open;
  std::int64_t best = gains_[open];
  for (std::size_t place = 0; place < open; ++place) {
    if (counts_[place] >= table_.room[set_[place]] || gains_[place] == no_way) continue;
    const bool waiting = each_used && counts_[place] == 0;
    const std::int64_t gain = gains_[place] + (waiting ? table_.beyond_all : 0);
    if (gain > best) {
      best = gain;
      end = place;
    }
  }
  std::vector<std::pair<std::size_t, std::size_t>>
      chain;  // who goes where, read before anybody goes
  while (steps_[end] != nobody) {
    chain.emplace_back(move(steps_[end], end).doe, end);
    end = steps_[end];
  }
  chain.emplace_back(doe, end);
  for (const auto& step : chain) {
    if (step.first != doe) leave(step.first, places_[step.first]);
  }
  for (const auto& step : chain) enter(step.first, step.second);
}

std::optional<std::int64_t> PlanAssignment::solve(const SireSet& set, bool each_used) {
  set_ = set;
  const std::size_t places = set.size() + 1;
  places_.assign(table_.does, nobody);
  counts_.assign(places, 0);
  rosters_.assign(places, {});
  moves_.assign(places * places, {no_way, nobody});
  gains_.assign(places + 1, no_way);
  steps_.assign(places + 1, nobody);
  fresh_.assign(places, false);
  for (std::size_t doe = 0; doe < table_.does; ++doe) insert(doe, each_used);
  if (each_used && std::count(counts_.begin(), counts_.end() - 1, 0u) > 0) return std::nullopt;
  std::int64_t sum = 0;
  for (std::size_t doe = 0; doe < table_.does; ++doe) sum += worth(doe, places_[doe]);
  return sum;
}

/// Puts this doe to the smallest sire that costs nothing, the does before her staying where they
/// are. Two more ways lead through "elsewhere": a sire with room takes one more, a sire with two or
/// more does (or "open") gives one up.
void PlanAssignment::settle_smallest(std::size_t doe) {
  const std::size_t open = set_.size(), elsewhere = open + 1, home = places_[doe];
  leave(doe, home);
  for (std::size_t from = 0; from <= open; ++from) {
    for (std::size_t to = 0; to <= open; ++to) {
      if (to != from) search_moves(from, to, doe + 1);
    }
  }
  std::fill(gains_.begin(), gains_.end(), no_way);  // here: best gain of a chain from there to home
  std::fill(steps_.begin(), steps_.end(), nobody);  // here: the next place on it
  gains_[home] = 0;
  const auto has_room = [&](std::size_t place) {
    return place == open || counts_[place] + (place == home) < table_.room[set_[place]];
  };
  const auto can_give = [&](std::size_t place) {
    return place == open || counts_[place] + (place == home) > 1;
  };
  const auto relax = [&](std::size_t from, std::size_t to, std::int64_t gain) {
    if (gains_[to] == no_way || gains_[to] + gain <= gains_[from]) return false;
    gains_[from] = gains_[to] + gain;
    steps_[from] = to;
    return true;
  };
  for (bool changed = true; changed;) {
    changed = false;
    for (std::size_t from = 0; from <= open; ++from) {
      for (std::size_t to = 0; to <= open; ++to) {
        if (to == from || move(from, to).doe == nobody) continue;
        changed = relax(from, to, move(from, to).gain) || changed;
      }
      if (has_room(from)) changed = relax(from, elsewhere, 0) || changed;
      if (can_give(from)) changed = relax(elsewhere, from, 0) || changed;
    }
    cells_ += (open + 1) * (open + 1);
  }
  std::size_t best = home;
  for (std::size_t place = 0; place <= open && best == home && place != home; ++place) {
    if (gains_[place] == no_way || worth(doe, place) == no_way) continue;
    if (worth(doe, place) - worth(doe, home) + gains_[place] == 0) best = place;
  }
  std::vector<std::pair<std::size_t, std::size_t>> chain;
  for (std::size_t at = best; at != home; at = steps_[at]) {
    if (at == elsewhere || steps_[at] == elsewhere) continue;
    chain.emplace_back(move(at, steps_[at]).doe, steps_[at]);
  }
  for (const auto& step : chain) leave(step.first, places_[step.first]);
  for (const auto& step : chain) enter(step.first, step.second);
  enter(doe, best);
}

void PlanAssignment::take_smallest() {
  for (std::size_t doe = 0; doe < table_.does; ++doe) settle_smallest(doe);
}

}  // namespace doewright
