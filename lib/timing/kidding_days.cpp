// SPDX-License-Identifier: MIT
#include <doewright/timing/kidding_days.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

#include <doewright/timing/heats.hpp>
#include <doewright/timing/whose.hpp>

#include "exposed_days.hpp"
#include "served_doe.hpp"

namespace doewright {

namespace {

constexpr double furthest_of_gestation = 8.0;  // standard deviations

/// Shortest and longest gestation that is looked at.
struct GestationReach {
  int least, most;
};

GestationReach reach_of(const GestationClass& gestation) {
  const double tail = furthest_of_gestation * gestation.sd + 1.0;
  return {static_cast<int>(std::floor(gestation.mean - tail)),
          static_cast<int>(std::ceil(gestation.mean + tail))};
}

DueFrom of_stay(const Season& season, const StayTerms& terms, Date begin,
                const GestationClass& gestation) {
  const BuckOdds buck{.conception = terms.conception, .infertile = terms.infertile};
  const Exposure left{.buck = 0, .from = std::max(terms.from, begin), .to = terms.to};
  if (left.to < left.from) return {left.from, {}, gestation};
  ConceptionDays days = conception_days_varying(doe_odds(season), {&buck, 1}, {&left, 1});
  return {days.first, std::move(days.by_buck.front()), gestation};
}

/// Heat j of m: noticed, and she settles to it and to none before (settle(), visit and semen).
DueFrom of_heats(const Season& season, const StayTerms& terms, Date begin,
                 const GestationClass& gestation) {
  const DoeOdds does = doe_odds(season);
  const double used = season.settle.heat_noticed * for_does_that_can(terms.conception, does.never);
  double chance = (1.0 - does.never) * (1.0 - terms.infertile) * cycling_on(does, terms.from);
  DueFrom result{std::max(terms.from, begin), {}, gestation};
  if (terms.to < result.first) return result;
  for (unsigned heat = 0; heat < *terms.heats; ++heat) {
    result.weight.insert(result.weight.end(), days_of_cycle, chance * used / days_of_cycle);
    chance *= 1.0 - used;
  }
  return result;
}

}  // namespace

double KiddingDays::total() const {
  return std::accumulate(expected.begin(), expected.end(), 0.0);
}

double KiddingDays::between(Date from, Date to) const {
  const auto place = [&](std::int32_t day) {
    return std::clamp<std::int32_t>(day, 0, static_cast<std::int32_t>(expected.size()));
  };
  const std::int32_t low = place(from - first), over = place(to - first + 1);
  return low < over ? std::accumulate(expected.begin() + low, expected.begin() + over, 0.0) : 0.0;
}

KiddingDays kidding_days(std::span<const DueFrom> does) {
  KiddingDays result;
  std::optional<Date> first, over;
  for (const DueFrom& doe : does) {
    if (doe.weight.empty()) continue;
    const GestationReach reach = reach_of(doe.gestation);
    const Date low = doe.first + reach.least;
    const Date high = doe.first + (static_cast<std::int32_t>(doe.weight.size()) + reach.most);
    first = first ? std::min(*first, low) : low;
    over = over ? std::max(*over, high) : high;
  }
  if (!first) return result;
  result.first = *first;
  result.expected.assign(static_cast<std::size_t>(*over - *first), 0.0);
  for (const DueFrom& doe : does) {
    const GestationReach reach = reach_of(doe.gestation);
    std::vector<double> chances;
    for (int days = reach.least; days <= reach.most; ++days) {
      chances.push_back(gestation_chance(doe.gestation, days));
    }
    for (std::size_t t = 0; t < doe.weight.size(); ++t) {
      if (doe.weight[t] == 0.0) continue;
      const auto at = static_cast<std::size_t>(doe.first - result.first + reach.least) + t;
      for (std::size_t k = 0; k < chances.size(); ++k) {
        result.expected[at + k] += doe.weight[t] * chances[k];
      }
    }
  }
  return result;
}

DueFrom conceptions_of_offer(const Season& season, const StayTerms& terms, Date begin,
                             const GestationClass& gestation) {
  return terms.heats ? of_heats(season, terms, begin, gestation)
                     : of_stay(season, terms, begin, gestation);
}

std::optional<DueFrom> conceptions_of_served(const Herd& herd, const Offspring& offspring,
                                             Animal doe, const GestationClass& gestation,
                                             std::optional<Date> pen_until) {
  const std::optional<ServedDoe> served = served_doe(herd, offspring, doe);
  if (!served) return std::nullopt;
  DueFrom result{served->first, served->weight, gestation};
  if (pen_until && served->after_stay && served->sire && *pen_until > served->last) {
    const BuckOdds buck = buck_odds_on(herd, offspring, *served->sire, served->first, false);
    const Exposure pen{.buck = 0, .from = served->first, .to = *pen_until};
    const auto whole =
        conception_days_varying(doe_odds(herd.season), {&buck, 1}, {&pen, 1}).by_buck[0];
    const auto today = whole.begin() + std::max(0, herd.as_of - served->first + 1);
    const double past = std::accumulate(whole.begin(), today, 0.0);
    const double of_rest = past < 1.0 ? (1.0 - served->in_kid) / (1.0 - past) : 0.0;
    for (std::size_t t = result.weight.size(); t < whole.size(); ++t) {
      result.weight.push_back(of_rest * whole[t]);  // as likely as she is open
    }
  }
  return result;
}

Date monday_of(Date day) noexcept {
  constexpr int thursday = 3;  // 1970-01-01, day 0
  const int since = (day.day + thursday) % 7;
  return day - (since < 0 ? since + 7 : since);
}

}  // namespace doewright
