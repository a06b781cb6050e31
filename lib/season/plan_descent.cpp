// SPDX-License-Identifier: MIT
// The part of the search that looks for good prices: a common change first, then subgradients.
#include <algorithm>
#include <cmath>
#include <utility>

#include "plan_search.hpp"

namespace doewright {

namespace {

constexpr int first_steps = 400, later_steps = 40;      // of descent, in one part
constexpr int first_patience = 15, later_patience = 5;  // steps without gain before they shorten
constexpr double first_stretch = 1.5, least_stretch = 0.005;
constexpr int tried_every = 4;   // steps, between plans made of a relaxation's choice
constexpr int level_steps = 10;  // of a common change of prices
constexpr double share_kept = 0.85;

}  // namespace

/// With another number of sires a place is worth more or less to all does alike: the best common
/// change of their prices, by doubling and halving.
void PlanSearch::search_level(Part& part) {
  PlanPrices best_prices = *part.prices;
  std::int64_t best = bound_.at(best_prices, part.decided);
  std::int64_t by = bound_.cost_scale() / 32 + 1;
  const auto lower = [&](std::int64_t change) {
    PlanPrices prices = bound_.raised(best_prices, change);
    const std::int64_t upper = bound_.at(prices, part.decided);
    if (upper >= best) return false;
    best = upper;
    best_prices = std::move(prices);
    return true;
  };
  for (int i = 0; i < level_steps; ++i) {
    if (lower(by) || lower(-by)) {
      by *= 2;
    } else {
      by = by / 4 + 1;
    }
  }
  part.prices = std::make_shared<const PlanPrices>(std::move(best_prices));
}

/// Descends to better prices; returns the best bound, whose prices and gains stay in force.
std::int64_t PlanSearch::tighten(Part& part, bool first) {
  if (part.new_number) search_level(part);
  PlanPrices prices = *part.prices, best_prices = prices;
  std::int64_t best = 0;
  double stretch = first ? first_stretch : first_stretch / 2;
  int idle = 0;
  std::fill(chosen_share_.begin(), chosen_share_.end(), 0.0);
  const int steps = first ? first_steps : later_steps;
  for (int i = 0; i < steps; ++i) {
    throw_if_stopped(run_);
    const std::int64_t upper = bound_.at(prices, part.decided);
    for (double& share : chosen_share_) share *= share_kept;
    for (const std::size_t s : bound_.chosen()) chosen_share_[s] += 1.0 - share_kept;
    const auto number = static_cast<double>(bound_.chosen().size());
    chosen_number_ = i == 0 ? number : share_kept * chosen_number_ + (1.0 - share_kept) * number;
    const bool lower = i == 0 || upper < best;
    if (bound_.met() && i % tried_every == 0) try_set(bound_.chosen());
    if (lower) {
      best = upper;
      best_prices = prices;
      idle = 0;
    } else if (++idle >= (first ? first_patience : later_patience)) {
      idle = 0;
      stretch /= 2;
      prices = best_prices;  // once more from there, with its own slopes
      if (stretch >= least_stretch) continue;
    }
    if (cannot_win(best, part.decided) || stretch < least_stretch) break;
    const std::int64_t aim =
        kept_.empty() ? best - std::abs(best) / 20 - 1 : kept_.back().objective;
    const auto distance = static_cast<double>(std::max<std::int64_t>(upper - aim, 1));
    prices = bound_.step(prices, stretch * distance);
  }
  const std::int64_t upper = bound_.at(best_prices, part.decided);
  part.prices = std::make_shared<const PlanPrices>(std::move(best_prices));
  return upper;
}

}  // namespace doewright
