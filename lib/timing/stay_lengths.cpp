// SPDX-License-Identifier: MIT
#include <doewright/timing/stay_lengths.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

#include <doewright/timing/gestation.hpp>
#include <doewright/timing/heats.hpp>
#include <doewright/timing/offer.hpp>
#include <doewright/timing/stay_terms.hpp>

namespace doewright {

namespace {

constexpr double days_of_month = 30.4375;

std::vector<GestationClass> classes_of(const Herd& herd, std::span<const Animal> does) {
  const auto shares = breed_shares(herd);
  std::vector<GestationClass> classes;
  for (const Animal doe : does) {
    classes.push_back(gestation_of(herd.season, shares.at(doe.position), herd.animals.breed_names));
  }
  return classes;
}

}  // namespace

double stay_cost(const Herd& herd, const SireOffer& offer, int days) {
  const int isolation =
      offer.terms == Terms::hired ? static_cast<int>(herd.season.papers.isolation_days) : 0;
  const double on_farm = days + isolation;
  const double lost = 1.0 - std::pow(1.0 - herd.season.loss_per_month, on_farm / days_of_month);
  return offer.fee.value_or(0.0) + offer.haul.value_or(0.0) + offer.tests_cost.value_or(0.0) +
         offer.cost_per_day.value_or(0.0) * on_farm + offer.value_if_lost.value_or(0.0) * lost;
}

std::vector<double> settled_by_day(const Herd& herd, const Offspring& offspring,
                                   const SireOffer& offer, int days) {
  // A day's conceptions hang on the days before it alone: the longest stay holds all shorter ones.
  const StayTerms terms = stay_terms(herd, offer, is_proven(herd, offspring, offer));
  const BuckOdds buck{.conception = terms.conception, .infertile = terms.infertile};
  const Exposure stay{.buck = 0, .from = terms.from, .to = terms.from + (days - 1)};
  std::vector<double> settled =
      conception_days_varying(doe_odds(herd.season), {&buck, 1}, {&stay, 1}).by_buck.front();
  std::partial_sum(settled.begin(), settled.end(), settled.begin());
  return settled;
}

std::vector<StayLength> stay_lengths(const Herd& herd, const Offspring& offspring,
                                     const SireOffer& offer, std::span<const Animal> does,
                                     std::span<const int> also) {
  const StayTerms terms = stay_terms(herd, offer, is_proven(herd, offspring, offer));
  if (terms.heats) return {};
  const int offered = terms.to - terms.from + 1;
  std::vector<int> lengths = {7, 14, 21, 24, 28, 35, 42, 49, longest_stay};
  lengths.insert(lengths.end(), also.begin(), also.end());
  if (offered > 0) lengths.push_back(offered);
  std::sort(lengths.begin(), lengths.end());
  lengths.erase(std::unique(lengths.begin(), lengths.end()), lengths.end());
  const std::vector<GestationClass> classes = classes_of(herd, does);
  const DoeOdds odds = doe_odds(herd.season);
  const BuckOdds buck{.conception = terms.conception, .infertile = terms.infertile};
  std::vector<StayLength> result;
  for (const int days : lengths) {
    const Exposure stay{.buck = 0, .from = terms.from, .to = terms.from + (days - 1)};
    const ConceptionDays settles = conception_days_varying(odds, {&buck, 1}, {&stay, 1});
    StayLength length{.days = days, .to = stay.to, .last_due = {}, .offered = days == offered};
    length.settled = settles.total();
    length.open_expected = static_cast<double>(does.size()) * (1.0 - length.settled);
    length.cost = stay_cost(herd, offer, days);
    std::vector<DueFrom> parts;
    for (const GestationClass& gestation : classes) {
      parts.push_back({settles.first, settles.by_buck.front(), gestation});
    }
    if (!parts.empty() && length.settled > 0.0) length.last_due = due_after_days(parts).high;
    result.push_back(length);
  }
  return result;
}

}  // namespace doewright
