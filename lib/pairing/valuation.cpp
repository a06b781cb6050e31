// SPDX-License-Identifier: MIT
#include "valuation.hpp"

#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

constexpr double days_of_month = 30.4375;

std::vector<const FaultChance*> pointers_to(const std::vector<FaultChance>& chances) {
  std::vector<const FaultChance*> result;
  for (const FaultChance& chance : chances) result.push_back(&chance);
  return result;
}

}  // namespace

namespace {

SireMoney money_with(const Herd& herd, const SireOffer& offer, const StayTerms& terms,
                   const Settles& settles) {
  SireMoney money;
  money.terms = terms;
  money.settles = settles;
  const double fee_per_doe = offer.fee_per_doe.value_or(0.0);
  const double haul = offer.haul.value_or(0.0);
  const double cost_per_day = offer.cost_per_day.value_or(0.0);
  const double visits = money.settles.expected_visits;
  switch (offer.terms) {
    case Terms::visit:
      money.doe_cost = fee_per_doe + (haul + cost_per_day) * visits;
      money.hire_cost = offer.fee.value_or(0.0);
      break;
    case Terms::semen:
      money.doe_cost = fee_per_doe * visits;
      money.hire_cost = offer.fee.value_or(0.0);
      break;
    case Terms::own:
    case Terms::hired:
    case Terms::unknown: {
      const double days = money.terms.days_on_farm;
      const double lost = 1.0 - std::pow(1.0 - herd.season.loss_per_month, days / days_of_month);
      money.doe_cost = fee_per_doe;
      money.hire_cost = offer.fee.value_or(0.0) + haul + offer.tests_cost.value_or(0.0) +
                        cost_per_day * days + offer.value_if_lost.value_or(0.0) * lost;
      break;
    }
  }
  return money;
}

}  // namespace

SireMoney sire_money(const Herd& herd, const SireOffer& offer, bool proven) {
  const StayTerms terms = stay_terms(herd, offer, proven);
  return money_with(herd, offer, terms, settle(herd.season, terms));
}

SireMoney sire_money_left(const Herd& herd, const SireOffer& offer, bool proven) {
  const StayTerms terms = days_left(stay_terms(herd, offer, proven), herd.as_of);
  const bool over = terms.to < terms.from;  // of visits and semen too
  return money_with(herd, offer, terms, over ? Settles{} : settle(herd.season, terms));
}

double trait_price(const Trait& trait, std::size_t sex, std::size_t fate) {
  if (fate == 1) return trait.value_meat;
  return trait.shown_by == ShownBy::does && sex == 1 ? 0.0 : trait.value_keep;
}

std::array<std::array<double, 2>, 2> shares_of(const Fate& fate) {
  return {{{fate.doe_kept, 1.0 - fate.doe_kept}, {fate.buck_kept, 1.0 - fate.buck_kept}}};
}

BreedingValues::BreedingValues(const Herd& herd, const Genetics& genetics,
                               std::span<const Animal> animals) {
  for (std::size_t t = 0; t < herd.traits.size(); ++t) {
    if (herd.traits[t].use) traits_.push_back(static_cast<TraitIndex>(t));
  }
  values_ = Grid<double>(traits_.size(), animals.size());
  reliabilities_ = Grid<double>(traits_.size(), animals.size());
  for (const MeritFit& fit : genetics.merit) {
    for (const TraitIndex trait : fit.traits()) {
      const auto row = static_cast<std::size_t>(
          std::find(traits_.begin(), traits_.end(), trait) - traits_.begin());
      if (row == traits_.size()) continue;
      const auto found = fit.of(animals, trait);
      for (std::size_t a = 0; a < animals.size(); ++a) {
        values_(row, a) = found[a].breeding_value;
        reliabilities_(row, a) = found[a].reliability;
      }
    }
  }
}

void set_value(const Herd& herd, const KidPrices& prices, const PairInputs& inputs,
               PairingAccount& pair) {
  std::vector<double> each;
  const KidWorth worth =
      kid_worth(prices, inputs.kid, pointers_to(inputs.chances), &each);
  PairingMoney money;
  money.value_per_kid = worth.total();
  money.kids = inputs.kids * worth.base;
  money.merit = inputs.kids * worth.merit;
  money.inbreeding = inputs.kids * worth.inbreeding;
  money.faults = -inputs.kids * worth.faults;
  money.open = (1.0 - pair.settle_probability) * herd.season.open_value;
  money.cost = -pair.doe_cost;
  money.value =
      money.kids + money.merit + money.inbreeding + money.faults + money.open + money.cost;
  pair.money = money;
  for (std::size_t f = 0; f < pair.faults.size(); ++f) pair.faults[f].cost = inputs.kids * each[f];
}

double value_at(const Herd& herd, const KidPrices& prices, const PairInputs& inputs,
                const PairingAccount& pair) {
  const KidWorth worth =
      kid_worth(prices, inputs.kid, pointers_to(inputs.chances), nullptr);
  return inputs.kids * worth.total() + (1.0 - pair.settle_probability) * herd.season.open_value -
         pair.doe_cost;
}

}  // namespace doewright
