// SPDX-License-Identifier: MIT
#include "served_doe.hpp"

#include <algorithm>
#include <map>

#include <doewright/timing/heats.hpp>
#include <doewright/timing/in_kid.hpp>
#include <doewright/timing/offer.hpp>
#include <doewright/timing/whose.hpp>

#include "conceptions.hpp"

namespace doewright {

namespace {

constexpr int looked_back = 200;
constexpr int return_from = 5, first_return_over = 24, second_return_over = 45, check_after = 20;
constexpr int same_heat_days = 2;
constexpr double still_stands_in_kid = 0.05;
constexpr double few_cycling = 0.8;  // under it no return says little

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

double after_checks(const Herd& herd, Animal doe, Date served, double in_kid) {
  for (const PregnancyCheck& check : herd.pregnancy_checks) {
    if (check.doe != doe || !check.date.known() || check.date.latest() > herd.as_of) continue;
    if (check.date.earliest() - served < check_after) continue;
    in_kid = after_check(in_kid, check_odds(check.how), check.result);
  }
  return in_kid;
}

bool tested_since(const Herd& herd, Animal doe, Date served) {
  return std::any_of(herd.pregnancy_checks.begin(), herd.pregnancy_checks.end(),
                     [&](const PregnancyCheck& check) {
                       return check.doe == doe && check.date.known() &&
                              check.result != PregnancyResult::unclear &&
                              check.date.latest() <= herd.as_of &&
                              check.date.earliest() - served >= check_after;
                     });
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
  std::vector<Animal> sires;
  std::vector<bool> semen;
  std::vector<BuckOdds> bucks;
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
    std::size_t buck = 0;
    while (buck < last.sires.size() &&
           (last.sires[buck] != service.sire || last.semen[buck] != service.semen)) {
      ++buck;
    }
    if (buck == last.sires.size()) {
      last.bucks.push_back(
          buck_odds_on(herd, offspring, service.sire, service.from, service.semen));
      last.sires.push_back(service.sire);
      last.semen.push_back(service.semen);
    }
    last.exposures.push_back({buck, from, service.to, service.seen});
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
    each_conception(last.bucks, b, last.exposures, until,
                    [&](std::size_t, Date day, double f) { by_day[day] += (1.0 - b) * f; });
    return by_day;
  }
  std::vector<Exposure> stays;
  for (const SireExposure& e : last.exposures) stays.push_back({e.buck, e.from, e.to});
  const ConceptionDays days = conception_days_varying(doe_odds(herd.season), last.bucks, stays);
  for (const auto& row : days.by_buck) {
    for (std::size_t t = 0; t < row.size(); ++t) {
      if (row[t] > 0.0) by_day[days.first + static_cast<std::int32_t>(t)] += row[t];
    }
  }
  return by_day;
}

}  // namespace

std::optional<ServedDoe> served_doe(const Herd& herd, const Offspring& offspring, Animal doe) {
  const auto services = services_of(herd, doe, begin_of_season(herd, offspring, doe));
  if (services.empty()) return std::nullopt;
  const LastChances last = last_chances(herd, offspring, services);
  const std::map<Date, double> by_day = conceptions_of(herd, last);
  if (by_day.empty()) return std::nullopt;
  ServedDoe served{.sire = last.sires.front(),
                   .first = by_day.begin()->first,
                   .last = by_day.rbegin()->first,
                   .after_stay = last.stays,
                   .weight = {},
                   .quiet_on = {}};
  for (const Animal sire : last.sires) {
    if (sire != last.sires.front()) served.sire.reset();
  }
  served.weight.assign(static_cast<std::size_t>(served.last - served.first) + 1, 0.0);
  for (const auto& day : by_day) {
    served.weight[static_cast<std::size_t>(day.first - served.first)] = day.second;
    if (day.first <= herd.as_of) served.in_kid += day.second;
  }
  Returns(herd, doe, served).look_twice(served);
  served.in_kid = after_checks(herd, doe, std::min(served.last, herd.as_of), served.in_kid);
  return served;
}

std::optional<StandsInKid> stands_in_kid(const Herd& herd, const Offspring& offspring, Animal doe) {
  const std::optional<ServedDoe> served = served_doe(herd, offspring, doe);
  if (!served) return std::nullopt;
  StandsInKid stands{.probability = served->in_kid, .quiet_on = served->quiet_on};
  if (stands.quiet_on) stands.cycling = cycling_on(doe_odds(herd.season), *stands.quiet_on);
  return stands;
}

}  // namespace doewright
