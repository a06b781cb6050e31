// SPDX-License-Identifier: MIT
#pragma once
/// The money of every pair of a table (DEFINITIONS 7): what comes before the kids, and the kids.
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/pairing/genetics.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/timing/stay_terms.hpp>

#include "kid_worth.hpp"

namespace doewright {

/// Money that a sire costs, whoever the doe.
struct SireMoney {
  StayTerms terms;
  Settles settles;
  double hire_cost = 0.0;  ///< Once, if he gets any doe.
  double doe_cost = 0.0;   ///< Of each doe put to him.
};
SireMoney sire_money(const Herd& herd, const SireOffer& offer, bool proven);
/// The same for a doe that has only his days from as-of on; hire_cost is that of all his days.
SireMoney sire_money_left(const Herd& herd, const SireOffer& offer, bool proven);

/// Price of a unit of a trait in a kid of that sex ([0] doe, [1] buck) and fate ([0] keep, [1] meat).
double trait_price(const Trait& trait, std::size_t sex, std::size_t fate);

/// Shares of fates by sex.
std::array<std::array<double, 2>, 2> shares_of(const Fate& fate);

/// Breeding values of some animals: of every trait in use.
class BreedingValues {
 public:
  BreedingValues(const Herd& herd, const Genetics& genetics, std::span<const Animal> animals);
  /// Index into the traits in use; animal as in the constructor.
  double operator()(std::size_t trait, std::size_t animal) const { return values_(trait, animal); }
  double reliability(std::size_t trait, std::size_t animal) const {
    return reliabilities_(trait, animal);
  }
  const std::vector<TraitIndex>& traits() const noexcept { return traits_; }

 private:
  std::vector<TraitIndex> traits_;
  Grid<double> values_, reliabilities_;
};

/// All that the value of a pair is made from; kept so that prices can be varied and worlds drawn.
struct PairInputs {
  KidInputs kid;
  std::vector<FaultChance> chances;  ///< One for each of PairingTable::faults.
  double kids = 0.0;                 ///< P n.
};

/// Fills value, parts and the cost of each fault.
void set_value(const Herd& herd, const KidPrices& prices, const PairInputs& inputs,
               PairingAccount& pair);

/// The value alone, at other prices.
double value_at(const Herd& herd, const KidPrices& prices, const PairInputs& inputs,
                const PairingAccount& pair);

}  // namespace doewright
