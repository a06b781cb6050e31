// SPDX-License-Identifier: MIT
// Geoffrion (1974) and Held, Wolfe and Crowder (1974), from memory. With x(d,s) = doe d goes to
// sire s, y(s) = he is used, price u(d) on "doe d has exactly one place":
//
//   bound = sum u(d) + sum max(0, open(d) - u(d)) + the best choice of sires by gain(s)
//   gain(s) = the sum of his best worth(d,s) - u(d), as many as he has room for and as are positive
//             (at least one) - hire_cost(s) - prices of his pen days - his part of the budget
//
// All sums are integers, so the bound holds to the last millionth; doubles only say which prices to
// try next.
#include "plan_bound.hpp"

#include <algorithm>
#include <cmath>

namespace doewright {

namespace {

/// price x money / 1024, rounded down.
std::int64_t priced(std::int64_t price, std::int64_t money) {
  return price * (money >> 10) + ((price * (money & 1023)) >> 10);
}

constexpr double direction_kept = 0.4;  // part of the last direction: fewer swings

}  // namespace

PlanBound::PlanBound(const PlanTable& table)
    : table_(table),
      taken_(table.sires),
      gains_(table.sires),
      stays_open_(table.does),
      doe_slope_(table.does),
      pen_slope_(table.pen_days.size()),
      direction_(table.does + table.pen_days.size() + 1, 0.0) {
  std::int64_t most = 1, sum = 0;
  for (const std::int64_t cost : table.hire_cost) {
    most = std::max(most, std::abs(cost));
    sum += std::abs(cost);
  }
  if (!table.hire_cost.empty()) {
    cost_scale_ = std::max(1.0, static_cast<double>(sum) / static_cast<double>(table.sires));
  }
  const auto days = static_cast<std::int64_t>(table.pen_days.size());
  const auto sires = static_cast<std::int64_t>(table.sires);
  largest_pen_price_ = (std::int64_t{1} << 58) / (days * (sires + 1) + 1);
  const std::int64_t whole = std::max(sum, table.budget.value_or(0));
  largest_budget_price_ =
      std::min(std::int64_t{1} << 20, (std::int64_t{1} << 58) / ((whole >> 10) + 1));
}

PlanPrices PlanBound::first_prices() const {
  PlanPrices prices;
  for (std::size_t d = 0; d < table_.does; ++d) {  // the second best of what she could get
    std::int64_t best = table_.open[d], second = table_.open[d];
    for (std::size_t s = 0; s < table_.sires; ++s) {
      const std::int64_t worth = table_.worth(d, s);
      if (worth > best) {
        second = best;
        best = worth;
      } else if (worth > second) {
        second = worth;
      }
    }
    const bool penalised = table_.must_be_served[d] && second == table_.open[d];
    prices.doe.push_back(penalised ? best : second);
  }
  prices.pen.assign(table_.pen_days.size(), 0);
  return prices;
}

void PlanBound::gain_of(std::size_t sire, const PlanPrices& prices) {
  wanted_.clear();
  const std::int64_t* worths = table_.worths.data() + sire * table_.does;
  std::pair<std::int64_t, std::uint32_t> best{PlanTable::not_allowed, 0};
  // Each sire begins at another doe: sires of equal worth should not all want the same does.
  const std::size_t turn = sire * table_.room[sire] % table_.does;
  for (std::size_t i = 0, d = turn; i < table_.does; ++i, d = d + 1 == table_.does ? 0 : d + 1) {
    const std::int64_t left = worths[d] - prices.doe[d];
    if (left > 0) {
      wanted_.emplace_back(-left, static_cast<std::uint32_t>(i));
    } else if (left > best.first && worths[d] != PlanTable::not_allowed) {
      best = {left, static_cast<std::uint32_t>(i)};
    }
  }
  cells_ += table_.does;
  if (wanted_.empty()) wanted_.emplace_back(-best.first, best.second);  // a used sire has a doe
  if (wanted_.size() > table_.room[sire]) {
    const auto end = wanted_.begin() + static_cast<std::ptrdiff_t>(table_.room[sire]);
    std::nth_element(wanted_.begin(), end, wanted_.end());
    wanted_.erase(end, wanted_.end());
  }
  std::int64_t gain = -table_.hire_cost[sire];
  taken_[sire].clear();
  for (const auto& each : wanted_) {
    gain -= each.first;
    taken_[sire].push_back(static_cast<std::uint32_t>((each.second + turn) % table_.does));
  }
  if (prices.budget > 0) gain -= priced(prices.budget, table_.hire_cost[sire]);
  gains_[sire] = gain;
}

std::int64_t PlanBound::choose(const PlanDecided& decided, SireSet* chosen) const {
  std::size_t used_in_all = 0, hired = 0;
  const std::size_t most_used = std::min(table_.max_used, decided.most_used);
  std::int64_t sum = 0;
  const auto take = [&](std::size_t s) {
    ++used_in_all;
    hired += !table_.own[s];
    sum += gains_[s];
    if (chosen) chosen->push_back(s);
  };
  for (std::size_t s = 0; s < table_.sires; ++s) {
    if (decided.stands[s] == SireStand::used) take(s);
  }
  for (const std::size_t s : by_gain_) {  // the two limits are nested: the greedy choice is best
    if (used_in_all >= most_used || (gains_[s] <= 0 && used_in_all >= decided.least_used)) break;
    if (decided.stands[s] != SireStand::undecided) continue;
    if (table_.own[s] || hired < table_.max_hired) take(s);
  }
  if (chosen) std::sort(chosen->begin(), chosen->end());
  return sum;
}

std::int64_t PlanBound::at(const PlanPrices& prices, const PlanDecided& decided) {
  fixed_part_ = 0;
  for (std::size_t d = 0; d < table_.does; ++d) {
    stays_open_[d] = table_.open[d] > prices.doe[d];
    fixed_part_ += std::max(table_.open[d], prices.doe[d]);
  }
  by_gain_.clear();
  for (std::size_t s = 0; s < table_.sires; ++s) {
    gains_[s] = 0;
    if (decided.stands[s] == SireStand::unused) continue;
    gain_of(s, prices);
    if (decided.stands[s] == SireStand::undecided) by_gain_.push_back(s);
  }
  for (std::size_t p = 0; p < prices.pen.size(); ++p) {
    for (const std::size_t s : table_.pen_days[p]) gains_[s] -= prices.pen[p];
    fixed_part_ += prices.pen[p] * static_cast<std::int64_t>(table_.pens);
  }
  if (prices.budget > 0) fixed_part_ -= priced(prices.budget, -*table_.budget);
  std::sort(by_gain_.begin(), by_gain_.end(), [&](std::size_t a, std::size_t b) {
    return gains_[a] != gains_[b] ? gains_[a] > gains_[b] : a < b;
  });
  chosen_.clear();
  chosen_part_ = choose(decided, &chosen_);
  slopes_at_choice();
  return fixed_part_ + chosen_part_;
}

std::int64_t PlanBound::turned(std::size_t sire, const PlanDecided& decided) const {
  PlanDecided other = decided;
  const bool is_chosen = std::binary_search(chosen_.begin(), chosen_.end(), sire);
  other.stands[sire] = is_chosen ? SireStand::unused : SireStand::used;
  return fixed_part_ + choose(other, nullptr);
}

void PlanBound::slopes_at_choice() {
  for (std::size_t d = 0; d < table_.does; ++d) doe_slope_[d] = stays_open_[d] ? 0 : 1;
  std::int64_t cost = 0;
  for (const std::size_t s : chosen_) {
    for (const std::uint32_t d : taken_[s]) --doe_slope_[d];
    cost += table_.hire_cost[s];
  }
  met_ = !table_.budget || cost <= *table_.budget;
  budget_slope_ = table_.budget ? static_cast<double>(*table_.budget - cost) / cost_scale_ : 0.0;
  for (std::size_t p = 0; p < pen_slope_.size(); ++p) {
    std::int64_t there = 0;
    for (const std::size_t s : table_.pen_days[p]) {
      there += std::binary_search(chosen_.begin(), chosen_.end(), s);
    }
    pen_slope_[p] = static_cast<std::int64_t>(table_.pens) - there;
    met_ = met_ && pen_slope_[p] >= 0;
  }
}

PlanPrices PlanBound::raised(const PlanPrices& prices, std::int64_t by) const {
  PlanPrices next = prices;
  for (std::size_t d = 0; d < table_.does; ++d) {
    next.doe[d] = std::clamp(prices.doe[d] + by, table_.lowest[d], table_.highest[d]);
  }
  return next;
}

PlanPrices PlanBound::step(const PlanPrices& prices, double distance) {
  double length = 0.0;
  const std::size_t does = table_.does, days = pen_slope_.size();
  for (std::size_t i = 0; i < direction_.size(); ++i) {
    double slope = budget_slope_;
    if (i < does) {
      slope = static_cast<double>(doe_slope_[i]);
    } else if (i < does + days) {
      slope = static_cast<double>(pen_slope_[i - does]);
      if (slope > 0 && prices.pen[i - does] == 0) slope = 0.0;
    } else if (slope > 0 && prices.budget == 0) {
      slope = 0.0;
    }
    direction_[i] = direction_kept * direction_[i] + slope;
    length += direction_[i] * direction_[i];
  }
  PlanPrices next = prices;
  if (length <= 0.0) return next;
  const double t = distance / length;
  const auto moved = [&](std::int64_t price, double by, std::int64_t low, std::int64_t high) {
    const double to = static_cast<double>(price) - by;
    if (to <= static_cast<double>(low)) return low;
    if (to >= static_cast<double>(high)) return high;
    return static_cast<std::int64_t>(std::llround(to));
  };
  for (std::size_t d = 0; d < does; ++d) {
    next.doe[d] = moved(prices.doe[d], t * direction_[d], table_.lowest[d], table_.highest[d]);
  }
  for (std::size_t p = 0; p < days; ++p) {
    next.pen[p] = moved(prices.pen[p], t * direction_[does + p], 0, largest_pen_price_);
  }
  if (table_.budget) {
    next.budget = moved(prices.budget, 1024.0 * t * direction_.back() / cost_scale_, 0,
                        largest_budget_price_);
  }
  return next;
}

}  // namespace doewright
