// SPDX-License-Identifier: MIT
#include <doewright/timing/in_kid.hpp>

#include <algorithm>
#include <cmath>
#include <map>

#include <doewright/timing/settling.hpp>

namespace doewright {

namespace {

constexpr int season_days = 150, return_from = 5;
constexpr int judged_after = 24, second_look_after = 45, check_after = 20;

enum class Outcome : std::uint8_t { not_seen_back, returned, settled };

bool one_day(const Service& service) {
  if (service.how == ServiceHow::pen || !service.from.to_the_day()) return false;
  return !service.to.known() || service.to == service.from;
}

bool back(const Herd& herd, Animal doe, Date served) {
  const auto in_window = [&](PartialDate day) {
    if (!day.to_the_day() || day.earliest() > herd.as_of) return false;
    return day.earliest() - served >=
           return_from;  // a cycle later or several: the first was missed
  };
  return std::any_of(herd.heats.begin(), herd.heats.end(),
                     [&](const Heat& h) { return h.doe == doe && in_window(h.date); }) ||
         std::any_of(herd.services.begin(), herd.services.end(), [&](const Service& s) {
           return s.doe == doe && one_day(s) && in_window(s.from);
         });
}

Outcome outcome_of(const Herd& herd, Animal doe, Date served) {
  Outcome outcome = back(herd, doe, served) ? Outcome::returned : Outcome::not_seen_back;
  if (outcome == Outcome::returned) return outcome;
  for (const PregnancyCheck& check : herd.pregnancy_checks) {
    if (check.doe != doe || !check.date.known() || check.date.latest() > herd.as_of) continue;
    if (check.date.earliest() - served < check_after) continue;
    if (check.result == PregnancyResult::in_kid) return Outcome::settled;
    if (check.result == PregnancyResult::empty) outcome = Outcome::returned;
  }
  return outcome;
}

}  // namespace

double after_no_return(double in_kid, double return_seen) {
  const double quiet = (1.0 - in_kid) * (1.0 - return_seen);
  return in_kid > 0.0 ? in_kid / (in_kid + quiet) : 0.0;
}

CheckOdds check_odds(PregnancyHow how) noexcept {
  if (how == PregnancyHow::scan) return {.sensitivity = 0.99, .specificity = 0.98};
  return {};
}

double after_check(double in_kid, CheckOdds odds, PregnancyResult result) {
  if (result == PregnancyResult::unclear) return in_kid;
  const bool positive = result == PregnancyResult::in_kid;
  const double if_pregnant = positive ? odds.sensitivity : 1.0 - odds.sensitivity;
  const double if_empty = positive ? 1.0 - odds.specificity : odds.specificity;
  const double both = in_kid * if_pregnant + (1.0 - in_kid) * if_empty;
  return both > 0.0 ? in_kid * if_pregnant / both : in_kid;
}

double infertile_if_all_returned(double infertile, double conception, unsigned k) {
  const double fertile = (1.0 - infertile) * std::pow(1.0 - conception, k);
  return infertile > 0.0 ? infertile / (infertile + fertile) : 0.0;
}

InfertileOdds infertile_odds(const Herd& herd, Animal sire, double conception, double infertile) {
  std::map<Animal, Date> last_service;
  for (const Service& service : herd.services) {
    if (service.sire != sire || !one_day(service)) continue;
    const Date day = service.from.earliest();
    const int ago = herd.as_of - day;
    if (ago < judged_after || ago > season_days) continue;
    const auto [at, is_new] = last_service.try_emplace(service.doe, day);
    if (!is_new) at->second = std::max(at->second, day);
  }
  const DoeOdds does = doe_odds(herd.season);
  InfertileOdds odds;
  double if_infertile = infertile, if_fertile = 1.0 - infertile;
  for (const auto& service : last_service) {
    ++odds.served;
    const Outcome outcome = outcome_of(herd, service.first, service.second);
    double missed = 1.0;  // every return of an open doe up to today
    for (const int look : {1, 2}) {
      if (herd.as_of - service.second < (look == 1 ? judged_after : second_look_after)) break;
      missed *= 1.0 - herd.season.settle.heat_noticed *
                          cycling_on(does, service.second + look * days_of_cycle);
    }
    switch (outcome) {
      case Outcome::returned:
        ++odds.returned;
        if_fertile *= 1.0 - conception;
        break;
      case Outcome::settled:
        if_infertile = 0.0;
        break;
      case Outcome::not_seen_back:
        if_infertile *= missed;
        if_fertile *= conception + (1.0 - conception) * missed;
        break;
    }
  }
  const double both = if_infertile + if_fertile;
  odds.probability = both > 0.0 ? if_infertile / both : infertile;
  odds.call_fallback = odds.probability > 0.5;
  return odds;
}

}  // namespace doewright
