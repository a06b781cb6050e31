// SPDX-License-Identifier: MIT
#include "sire_account.hpp"

#include <doewright/pairing/papers.hpp>
#include <doewright/timing/offer.hpp>

#include "valuation.hpp"

namespace doewright {

namespace {

/// By his terms, or, where those are blank, by what else stands in his row.
bool is_semen(const SireOffer& offer) {
  return offer.terms == Terms::semen ||
         (offer.terms == Terms::unknown && (offer.straws || offer.semen != SemenKind::unknown));
}

/// A buck sold or given back may come again for hire; a dead one comes no more.
bool is_gone(const Herd& herd, const SireOffer& offer) {
  if (is_semen(offer) || !herd.animals.gone[offer.sire.position]) return false;
  const LeftWhy why = herd.animals.left_why[offer.sire.position];
  return why == LeftWhy::died || why == LeftWhy::slaughtered || offer.terms == Terms::own;
}

/// Blank terms of a living buck of the own herd: he is nobody's to hire.
bool is_own_without_terms(const Herd& herd, const SireOffer& offer) {
  return offer.terms == Terms::unknown && !is_semen(offer) && in_own_herd(herd, offer.sire) &&
         (offer.owner.empty() || offer.owner == herd.season.own_herd);
}

}  // namespace

std::vector<FaultEvidence> evidence_of(const EvidenceIndex& index, Animal animal,
                                       const std::vector<FaultIndex>& faults) {
  std::vector<FaultEvidence> result;
  result.reserve(faults.size());
  for (const FaultIndex fault : faults) result.push_back(index.around(animal, fault));
  return result;
}

SireAccount account_of_sire(const Herd& herd, const Kinship& kinship, const Offspring& offspring,
                            const EvidenceIndex& evidence, const SireOffer& offer,
                            const std::vector<FaultIndex>& faults, bool days_left_only) {
  SireAccount sire;
  sire.offer = offer;
  sire.known = kinship.known(offer.sire);
  sire.gone = is_gone(herd, offer);
  if (const auto months = sire_months(herd, offer)) sire.age_months = *months;
  sire.most_does = most_does(herd, offer);
  sire.proven = is_proven(herd, offspring, offer);
  if (papers_needed(herd, offer)) sire.papers = papers(herd, offer.sire);
  sire.positives = positives(herd, offer.sire);
  const SireMoney money = sire_money(herd, offer, sire.proven);
  sire.hire_cost = money.hire_cost;
  sire.doe_cost = money.doe_cost;
  sire.settle_probability = money.settles.probability;
  sire.infertile =
      infertile_odds(herd, offspring, offer.sire, money.terms.conception, money.terms.infertile);
  sire.from = money.terms.from;
  sire.to = money.terms.to;
  sire.days_on_farm = money.terms.days_on_farm;
  if (days_left_only && money.terms.from < herd.as_of) {
    const SireMoney left = sire_money_left(herd, offer, sire.proven);
    sire.some_days_past = true;
    sire.settle_probability = left.settles.probability;
    sire.doe_cost = left.doe_cost;
  }
  sire.faults = evidence_of(evidence, offer.sire, faults);
  if (is_own_without_terms(herd, offer)) sire.offer.terms = Terms::own;  // costs are as recorded
  return sire;
}

}  // namespace doewright
