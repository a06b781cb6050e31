// SPDX-License-Identifier: MIT
#include <doewright/timing/stay_terms.hpp>

#include <algorithm>

#include <doewright/core/errors.hpp>
#include <doewright/timing/offer.hpp>

#include "exposed_days.hpp"

namespace doewright {

namespace {

constexpr double weight_of_the_class = 10.0;  // does, beside a record elsewhere
constexpr double fresh_semen = 0.55, surgical_semen = 0.65;
constexpr unsigned heats_of_a_visit = 2, straws_for_a_doe = 1;

double by_class(const Herd& herd, const SireOffer& offer) {
  const Season::Settle& settle = herd.season.settle;
  if (offer.terms == Terms::semen) {
    if (offer.semen == SemenKind::fresh) return fresh_semen;
    return offer.semen == SemenKind::surgical ? surgical_semen : settle.semen;
  }
  switch (sire_age(herd, offer)) {
    case SireAge::buck_kid:
      return settle.buck_kid;
    case SireAge::yearling:
      return settle.yearling;
    case SireAge::grown:
      break;
  }
  return settle.proven;
}

double per_heat(const Herd& herd, const SireOffer& offer) {
  if (offer.conception) return *offer.conception;
  const double c = by_class(herd, offer);
  if (!offer.served || !offer.settled) return c;
  return std::min(
      1.0, (weight_of_the_class * c + *offer.settled) / (weight_of_the_class + *offer.served));
}

std::optional<unsigned> heats_used(Terms terms) {
  if (terms == Terms::visit) return heats_of_a_visit;
  if (terms == Terms::semen) return straws_for_a_doe;
  return std::nullopt;
}

Settles by_heats(const Season& season, const StayTerms& terms, unsigned heats) {
  const DoeOdds does = doe_odds(season);
  const double b = does.never, h = season.settle.heat_noticed, f = terms.infertile;
  const double share = cycling_on(does, terms.from);
  const double c = for_does_that_can(terms.conception, b);
  const double can = (1.0 - b) * (1.0 - f);
  double missed = 1.0;  // (1 - h c')^j
  double visits = 0.0;
  for (unsigned j = 0; j < heats; ++j) {
    visits += 1.0 - can * (1.0 - missed);
    missed *= 1.0 - h * c;
  }
  return {.probability = can * share * (1.0 - missed), .expected_visits = share * h * visits};
}

}  // namespace

StayTerms stay_terms(const Herd& herd, const SireOffer& offer, bool proven) {
  const Season& season = herd.season;
  StayTerms terms;
  terms.from = first_day_of_stay(herd, offer);
  terms.to = last_day_of_stay(herd, offer);
  terms.days_on_farm = std::max(0, terms.to - terms.from + 1);
  if (offer.terms == Terms::hired) {
    terms.days_on_farm += static_cast<int>(season.papers.isolation_days);
  }
  terms.conception = per_heat(herd, offer);
  terms.infertile = proven ? season.settle.infertile_proven : season.settle.infertile_unproven;
  terms.heats = heats_used(offer.terms);
  return terms;
}

StayTerms days_left(StayTerms terms, Date today) noexcept {
  terms.from = std::max(terms.from, today);
  return terms;
}

Settles settle(const Season& season, const StayTerms& terms) {
  const auto chances = {terms.conception, terms.infertile, season.settle.heat_noticed,
                        season.settle.never};
  if (!std::all_of(chances.begin(), chances.end(), [](double p) { return p >= 0.0 && p <= 1.0; })) {
    throw UsageError("settle: a chance is outside of 0..1");
  }
  if (terms.heats) return by_heats(season, terms, *terms.heats);
  if (terms.to < terms.from) return {};
  const BuckOdds buck{.conception = terms.conception, .infertile = terms.infertile};
  const Exposure stay{.buck = 0, .from = terms.from, .to = terms.to};
  return {.probability = conception_days(doe_odds(season), {&buck, 1}, {&stay, 1}).total(),
          .expected_visits = 0.0};
}

}  // namespace doewright
