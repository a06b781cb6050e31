// SPDX-License-Identifier: MIT
#include "served_doe.hpp"

#include <algorithm>
#include <map>
#include <span>

#include <doewright/timing/heats.hpp>
#include <doewright/timing/in_kid.hpp>
#include <doewright/timing/offer.hpp>
#include <doewright/timing/whose.hpp>

#include "conceptions.hpp"
#include "met_bucks.hpp"

namespace doewright {

namespace {

constexpr int looked_back = 200;
constexpr int return_from = 5, first_return_over = 24, second_return_over = 45;
constexpr int same_heat_days = 2;
constexpr double still_stands_in_kid = 0.05;
constexpr double few_cycling = 0.8;  // under it no return says little
constexpr double even = 0.5;

struct DatedService {
  Animal sire;
  Date from, to;
  bool seen = false, semen = false;
};

std::vector<DatedService> services_of(const Herd& herd, Animal doe, Date begin) {
  std::vector<DatedService> result;
  for (const Service& service : herd.services) {
    if (service.doe != doe || !service.from.known()) continue;
    DatedService dated{.sire = service.sire, .from = service.from.earliest(), .to = {}};
    dated.semen = service.how == ServiceHow::semen;
    const bool pen = service.how == ServiceHow::pen;
    const Date gone = pen ? day_he_left(herd, dated.sire).value_or(herd.as_of) : herd.as_of;
    dated.to = service.to.known() ? service.to.latest()
               : pen              ? std::max(gone, dated.from)
                                  : service.from.latest();
    dated.seen = dated.semen || (!pen && dated.to <= dated.from);
    if (dated.from > herd.as_of || dated.to < begin || dated.to < dated.from) continue;
    result.push_back(dated);
  }
  return result;
}

Date begin_of_season(const Herd& herd, const Offspring& offspring, Animal doe) {
  Date begin = herd.as_of - looked_back;
  const auto take = [&](PartialDate date) {
    if (!date.known() || date.earliest() > herd.as_of) return;
    begin = std::max(begin, std::min(date.latest(), herd.as_of) + 1);
  };
  for (const Kidding& kidding : herd.kiddings) {
    if (kidding.doe == doe) take(kidding.date);
  }
  for (const Animal kid : offspring.of(doe)) take(herd.animals.born[kid.position]);
  return begin;
}

/// Clear, up to as-of, and late enough to tell of a conception on `first`.
bool tells(const Herd& herd, Animal doe, Date first, const PregnancyCheck& check) {
  return check.doe == doe && check.date.known() && check.result != PregnancyResult::unclear &&
         check.date.latest() <= herd.as_of && check.date.earliest() - first >= check_tells_after;
}

/// A check says how she was on its day: what was conceived check_tells_after days before it shows as a
/// pregnancy, what came later reads as she would if open.
///   weight[t]  chance that she conceived on day first + t, up to as-of; with `open` it sums to 1
void take_check(const PregnancyCheck& check, Date first, std::span<double> weight, double& open) {
  const CheckOdds odds = check_odds(check.how);
  const bool positive = check.result == PregnancyResult::in_kid;
  const double if_shows = positive ? odds.sensitivity : 1.0 - odds.sensitivity;
  const double if_open = positive ? 1.0 - odds.specificity : odds.specificity;
  const std::int32_t shown = check.date.earliest() - first - check_tells_after;
  double sum = open *= if_open;
  for (std::size_t t = 0; t < weight.size(); ++t) {
    weight[t] *= static_cast<std::int32_t>(t) <= shown ? if_shows : if_open;
    sum += weight[t];
  }
  if (sum <= 0.0) return;
  open /= sum;
  for (double& chance : weight) chance /= sum;
}

bool tested_since(const Herd& herd, Animal doe, Date served) {
  return std::any_of(herd.pregnancy_checks.begin(), herd.pregnancy_checks.end(),
                     [&](const PregnancyCheck& check) { return tells(herd, doe, served, check); });
}

/// Two looks for a return, a cycle each, after a service or after the last day of a stay.
class Returns {
 public:
  Returns(const Herd& herd, Animal doe, const ServedDoe& served)
      : herd_(herd),
        doe_(doe),
        odds_(doe_odds(herd.season)),
        stay_(served.after_stay),
        counted_from_(stay_ ? served.last : served.first) {}

  void look_twice(ServedDoe& served) const {
    look(served, 1, stay_ ? 1 : return_from, first_return_over);
    look(served, 2, first_return_over + 1, second_return_over);
    if (tested_since(herd_, doe_, counted_from_)) served.quiet_on.reset();
  }

 private:
  bool seen_between(int low, int high) const {
    return std::any_of(herd_.heats.begin(), herd_.heats.end(), [&](const Heat& heat) {
      if (heat.doe != doe_ || !heat.date.to_the_day()) return false;
      const int after = heat.date.earliest() - counted_from_;
      return after >= low && after <= high && heat.date.earliest() <= herd_.as_of;
    });
  }

  /// Share cycling when she should come back: on that day after a service, over the days of the
  /// cycle after a stay, whose last heat is not known.
  double cycling(int cycle) const {
    if (!stay_) return cycling_on(odds_, counted_from_ + cycle * days_of_cycle);
    double sum = 0.0;
    for (int day = 1; day <= days_of_cycle; ++day) {
      sum += cycling_on(odds_, counted_from_ + ((cycle - 1) * days_of_cycle + day));
    }
    return sum / days_of_cycle;
  }

  void look(ServedDoe& served, int cycle, int low, int over) const {
    const double share = cycling(cycle);
    const double e = herd_.season.settle.heat_noticed * share;
    double& in_kid = served.in_kid;
    if (seen_between(low, over)) {
      const double in = in_kid * still_stands_in_kid, open = (1.0 - in_kid) * e;
      if (in + open > 0.0) in_kid = in / (in + open);
      served.quiet_on.reset();
    } else if (herd_.as_of - counted_from_ >= over) {
      in_kid = after_no_return(in_kid, e);
      if (share < few_cycling && !served.quiet_on) {
        served.quiet_on = counted_from_ + cycle * days_of_cycle;
      }
    }
  }

  const Herd& herd_;
  Animal doe_;
  DoeOdds odds_;
  bool stay_;
  Date counted_from_;
};

/// Her last heat that was served, and the stays after it; or stays alone.
struct LastChances {
  MetBucks bucks;
  std::vector<SireExposure> exposures;
  std::optional<Date> seen;
  bool stays = false;
};

LastChances last_chances(const Herd& herd, const Offspring& offspring,
                         const std::vector<DatedService>& services) {
  LastChances last;
  for (const DatedService& service : services) {
    if (service.seen && (!last.seen || service.from > *last.seen)) last.seen = service.from;
  }
  for (const DatedService& service : services) {
    if (service.seen ? service.from < *last.seen - same_heat_days
                     : last.seen && service.to <= *last.seen) {
      continue;
    }
    const Date from =
        service.seen || !last.seen ? service.from : std::max(service.from, *last.seen + 1);
    const auto [buck, c] =
        last.bucks.meet(herd, offspring, service.sire, service.from, service.semen);
    last.exposures.push_back({buck, from, service.to, service.seen, c});
    last.stays = last.stays || !service.seen;
  }
  return last;
}

/// Conception by day, a doe that never settles counted in.
std::map<Date, double> conceptions_of(const Herd& herd, const LastChances& last) {
  std::map<Date, double> by_day;
  const double b = herd.season.settle.never;
  if (last.seen) {
    Date until = *last.seen + 1;
    for (const SireExposure& e : last.exposures) until = std::max(until, e.to);
    each_conception(last.bucks.odds, b, last.exposures, until,
                    [&](std::size_t, Date day, double f) { by_day[day] += (1.0 - b) * f; });
    return by_day;
  }
  std::vector<Exposure> stays;
  for (const SireExposure& e : last.exposures) stays.push_back({e.buck, e.from, e.to});
  const ConceptionDays days = conception_days_varying(doe_odds(herd.season), last.bucks.odds, stays);
  for (const auto& row : days.by_buck) {
    for (std::size_t t = 0; t < row.size(); ++t) {
      if (row[t] > 0.0) by_day[days.first + static_cast<std::int32_t>(t)] += row[t];
    }
  }
  return by_day;
}

/// Takes in the returns that were looked for and the checks, day by day. Conceptions after as-of
/// are as likely as she is open.
/// \param by_stays  Her chance to be in kid before anything was seen.
void settle_weights(const Herd& herd, Animal doe, double by_stays, ServedDoe& served) {
  const auto past_days = std::clamp<std::int32_t>(herd.as_of - served.first + 1, 0,
                                                  static_cast<std::int32_t>(served.weight.size()));
  const std::span<double> all(served.weight);
  const auto past = all.first(static_cast<std::size_t>(past_days));
  const double of_past = by_stays > 0.0 ? served.in_kid / by_stays : 0.0;
  for (double& chance : past) chance *= of_past;
  double open = 1.0 - served.in_kid;
  for (const PregnancyCheck& check : herd.pregnancy_checks) {
    if (!tells(herd, doe, served.first, check)) continue;
    take_check(check, served.first, past, open);
    if (!served.check || check.date.earliest() >= served.check->date.earliest()) {
      served.check = check;
    }
  }
  served.in_kid = 1.0 - open;
  const double of_rest = by_stays < 1.0 ? open / (1.0 - by_stays) : 0.0;
  for (double& chance : all.subspan(past.size())) chance *= of_rest;
}

bool pen_runs(const Herd& herd, const std::vector<DatedService>& services) {
  return std::any_of(services.begin(), services.end(), [&](const DatedService& service) {
    return !service.seen && service.to >= herd.as_of;
  });
}

}  // namespace

std::optional<ServedDoe> served_doe(const Herd& herd, const Offspring& offspring, Animal doe) {
  const auto services = services_of(herd, doe, begin_of_season(herd, offspring, doe));
  if (services.empty()) return std::nullopt;
  const LastChances last = last_chances(herd, offspring, services);
  const std::map<Date, double> by_day = conceptions_of(herd, last);
  if (by_day.empty()) return std::nullopt;
  ServedDoe served{.sire = last.bucks.sires.front(),
                   .first = by_day.begin()->first,
                   .last = by_day.rbegin()->first,
                   .after_stay = last.stays,
                   .weight = {},
                   .quiet_on = {},
                   .check = {}};
  for (const Animal sire : last.bucks.sires) {
    if (sire != last.bucks.sires.front()) served.sire.reset();
  }
  served.weight.assign(static_cast<std::size_t>(served.last - served.first) + 1, 0.0);
  for (const auto& day : by_day) {
    served.weight[static_cast<std::size_t>(day.first - served.first)] = day.second;
    if (day.first <= herd.as_of) served.in_kid += day.second;
  }
  const double by_stays = served.in_kid;
  Returns(herd, doe, served).look_twice(served);
  settle_weights(herd, doe, by_stays, served);
  served.pen_runs = pen_runs(herd, services);
  return served;
}

StandsInKid standing_of(const ServedDoe& served) {
  return {.probability = served.in_kid,
          .quiet_on = served.quiet_on,
          .check = served.check,
          .with_buck = served.pen_runs};
}

bool StandsInKid::found_empty() const noexcept {
  return check && check->result == PregnancyResult::empty && probability < even;
}

bool StandsInKid::found_in_kid() const noexcept {
  return check && check->result == PregnancyResult::in_kid && probability >= even;
}

std::optional<StandsInKid> stands_in_kid(const Herd& herd, const Offspring& offspring, Animal doe) {
  const std::optional<ServedDoe> served = served_doe(herd, offspring, doe);
  if (!served) return std::nullopt;
  StandsInKid stands = standing_of(*served);
  if (stands.quiet_on) stands.cycling = cycling_on(doe_odds(herd.season), *stands.quiet_on);
  return stands;
}

}  // namespace doewright
