// SPDX-License-Identifier: MIT
#include "fallback.hpp"

#include <algorithm>
#include <cmath>

#include <doewright/timing/settling.hpp>
#include <doewright/timing/stay_terms.hpp>

namespace doewright {

Date FallbackChoice::known_to_have_failed(std::size_t doe, std::optional<std::size_t> sire) const {
  const std::optional<Service>& served = plan_.question.served[doe];
  const bool by_him = served && (!sire || served->sire == table_.sires[*sire].offer.sire);
  Date first = herd_.as_of;
  if (by_him) {
    first = served->from.earliest();
  } else if (sire) {
    first = std::max(first, table_.sires[*sire].from);
  } else {
    return herd_.as_of;
  }
  return std::max(herd_.as_of, first + days_of_cycle);
}

bool FallbackChoice::may_serve(std::size_t doe, const PairingAccount& pair) const {
  const PlanSire& sire = plan_.question.problem.sires[pair.offer];
  if (!pair.money || sire.most_does == 0u || table_.sires[pair.offer].gone) return false;
  if (plan_.question.standing[doe] == DoeStanding::not_there) {
    return pair.verdict != Verdict::avoid;
  }
  return plan_.question.problem.values(doe, pair.offer).has_value();
}

double FallbackChoice::settles_from(std::size_t sire, Date day) {
  const auto [at, is_new] = settles_.try_emplace({sire, day}, 0.0);
  if (is_new) {
    const SireAccount& account = table_.sires[sire];
    const StayTerms terms = days_left(stay_terms(herd_, account.offer, account.proven), day);
    if (terms.from <= terms.to) at->second = settle(herd_.season, terms).probability;
  }
  return at->second;
}

std::optional<std::size_t> FallbackChoice::of(std::size_t doe, std::optional<std::size_t> sire) {
  const Date day = known_to_have_failed(doe, sire);
  const auto& used = plan_.choice.hired;
  const double open = herd_.season.open_value;
  std::optional<std::size_t> best;
  std::int64_t most = 0;
  for (const PairingAccount& pair : table_.does[doe].sires) {
    if (!may_serve(doe, pair)) continue;
    if (sire && pair.pairing.sire == table_.sires[*sire].offer.sire) continue;
    const double settles = settles_from(pair.offer, day);
    const double gain =
        settles * (pair.kids_per_kidding * pair.money->value_per_kid - open) - pair.doe_cost;
    if (settles <= 0.0 || gain <= 0.0) continue;
    const bool in_plan = std::find(used.begin(), used.end(), pair.offer) != used.end();
    const double hire = in_plan ? 0.0 : table_.sires[pair.offer].hire_cost;
    const std::int64_t worth = std::llround((gain - hire) * 1e6);
    const bool earlier = best && worth == most &&
                         herd_.ids[pair.pairing.sire] < herd_.ids[table_.sires[*best].offer.sire];
    if (best && worth <= most && !earlier) continue;
    best = pair.offer;
    most = worth;
  }
  return best;
}

}  // namespace doewright
