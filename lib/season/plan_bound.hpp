// SPDX-License-Identifier: MIT
#pragma once
/// How good a plan can be at most, when some sires are decided and others are not.
#include <cstddef>
#include <cstdint>
#include <vector>

#include "plan_table.hpp"

namespace doewright {

/// Prices that replace limits: a place of a doe, a pen on a day, a part of the budget. Any prices
/// (of pens and budget not negative) give a true bound; good ones give a close one.
struct PlanPrices {
  std::vector<std::int64_t> doe, pen;
  std::int64_t budget = 0;  ///< In 1024ths of money a money.
};

/// Lagrangian relaxation. With a price on each doe's one place every sire chooses his does by
/// himself, and the sires are then chosen by what is left of their gains. "At most
/// max_hired" and the least and most sires used stay exact, pens and budget are priced.
class PlanBound {
 public:
  explicit PlanBound(const PlanTable& table);

  PlanPrices first_prices() const;

  /// The bound at these prices. Fills gains(), chosen() and the direction of descent.
  std::int64_t at(const PlanPrices& prices, const PlanDecided& decided);

  /// The bound from the last at(), had this sire been decided otherwise: used if he was not chosen,
  /// unused if he was.
  std::int64_t turned(std::size_t sire, const PlanDecided& decided) const;

  const SireSet& chosen() const { return chosen_; }
  const std::vector<std::int64_t>& gains() const { return gains_; }
  bool met() const { return met_; }  ///< The choice breaks no priced limit.

  /// Prices after a step of subgradient descent towards a bound `distance` lower.
  PlanPrices step(const PlanPrices& prices, double distance);

  /// All does' prices higher by the same (lower if negative), as far as makes sense.
  PlanPrices raised(const PlanPrices& prices, std::int64_t by) const;
  std::int64_t cost_scale() const { return static_cast<std::int64_t>(cost_scale_); }

  std::uint64_t cells() const { return cells_; }

 private:
  void gain_of(std::size_t sire, const PlanPrices& prices);
  std::int64_t choose(const PlanDecided& decided, SireSet* chosen) const;
  void slopes_at_choice();

  const PlanTable& table_;
  std::vector<std::vector<std::uint32_t>> taken_;  // does a sire would take, a list a sire
  std::vector<std::int64_t> gains_;
  std::vector<std::size_t> by_gain_;
  SireSet chosen_;
  std::vector<bool> stays_open_;
  std::vector<std::int64_t> doe_slope_, pen_slope_;
  std::vector<double> direction_;
  double budget_slope_ = 0.0, cost_scale_ = 1.0;
  std::int64_t fixed_part_ = 0, chosen_part_ = 0;
  std::int64_t largest_pen_price_ = 0, largest_budget_price_ = 0;
  bool met_ = false;
  std::uint64_t cells_ = 0;
  std::vector<std::pair<std::int64_t, std::uint32_t>> wanted_;
};

}  // namespace doewright
