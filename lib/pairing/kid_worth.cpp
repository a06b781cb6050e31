// SPDX-License-Identifier: MIT
#include "kid_worth.hpp"

#include <algorithm>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

constexpr std::size_t keep = 0;
constexpr std::size_t most_grades = 8;

/// Adds `amount` to the faults in proportion to their chances.
template <class IsOne>
void share_out(std::vector<double>* each_fault, double amount, std::size_t sex,
               std::span<const FaultChance* const> chances, IsOne is_one) {
  if (each_fault == nullptr || amount == 0.0) return;
  double sum = 0.0;
  for (std::size_t f = 0; f < chances.size(); ++f) {
    if (is_one(f)) sum += chances[f]->shows[sex];
  }
  if (sum <= 0.0) return;
  for (std::size_t f = 0; f < chances.size(); ++f) {
    if (is_one(f)) (*each_fault)[f] += amount * chances[f]->shows[sex] / sum;
  }
}

}  // namespace

KidPrices kid_prices(const Herd& herd, const std::vector<FaultIndex>& faults) {
  KidPrices prices;
  prices.base = {herd.season.kid.value_keep, herd.season.kid.value_meat};
  for (const FaultIndex fault : faults) {
    const FaultModel& model = herd.faults[fault];
    FaultPrice price;
    price.lethal = model.lethal_by_days.has_value();
    price.default_keep = model.cost_keep.empty();
    price.by_grade = {model.cost_keep, model.cost_meat};
    price.carried = model.cost_carried;
    prices.faults.push_back(std::move(price));
  }
  return prices;
}

FaultChance fault_chance(const FaultModel& model, const KidRisk& risk) {
  if (model.grades.size() > most_grades) {
    throw UsageError("fault " + model.key + " has more than eight grades");
  }
  FaultChance chance;
  chance.shows = {risk.affected_doe, risk.affected_buck};
  chance.carrier = {risk.carrier_doe.value_or(0.0), risk.carrier_buck.value_or(0.0)};
  for (std::size_t g = 0; g < risk.grades_doe.size(); ++g) chance.grades[0][g] = risk.grades_doe[g];
  for (std::size_t g = 0; g < risk.grades_buck.size(); ++g) {
    chance.grades[1][g] = risk.grades_buck[g];
  }
  return chance;
}

KidWorth kid_worth(const KidPrices& prices, const KidInputs& kid,
                   std::span<const FaultChance* const> chances, std::vector<double>* each_fault) {
  KidWorth worth;
  if (each_fault != nullptr) each_fault->assign(chances.size(), 0.0);
  for (std::size_t sex = 0; sex < 2; ++sex) {
    double lives = 1.0;        // no lethal fault
    double none_default = 1.0; // none of the faults for which she is just not kept
    for (std::size_t f = 0; f < chances.size(); ++f) {
      if (prices.faults[f].lethal) {
        lives *= 1.0 - chances[f]->shows[sex];
      } else if (prices.faults[f].default_keep) {
        none_default *= 1.0 - chances[f]->shows[sex];
      }
    }
    for (std::size_t fate = 0; fate < 2; ++fate) {
      const double share = 0.5 * kid.share[sex][fate];
      if (share == 0.0) continue;
      const double base = prices.base[fate];
      const double merit = kid.merit[sex][fate];
      const double inbreeding = kid.inbreeding[sex][fate];
      worth.base += share * base;
      worth.merit += share * merit;
      worth.inbreeding += share * inbreeding;

      const double lost = share * (1.0 - lives) * std::max(0.0, base + merit + inbreeding);
      worth.faults += lost;
      share_out(each_fault, lost, sex, chances,
                [&](std::size_t f) { return prices.faults[f].lethal; });
      const double living = share * lives;
      if (fate == keep) {
        const double charge = living * prices.not_kept() * (1.0 - none_default);
        worth.faults += charge;
        share_out(each_fault, charge, sex, chances, [&](std::size_t f) {
          return !prices.faults[f].lethal && prices.faults[f].default_keep;
        });
      }
      for (std::size_t f = 0; f < chances.size(); ++f) {
        const FaultPrice& price = prices.faults[f];
        double cost = 0.0;
        if (!price.lethal) {
          const std::vector<double>& by_grade = price.by_grade[fate];
          for (std::size_t g = 0; g < by_grade.size(); ++g) {
            cost += living * chances[f]->grades[sex][g] * by_grade[g];
          }
        }
        if (fate == keep) cost += living * chances[f]->carrier[sex] * price.carried;
        worth.faults += cost;
        if (each_fault != nullptr) (*each_fault)[f] += cost;
      }
    }
  }
  return worth;
}

}  // namespace doewright
