// SPDX-License-Identifier: MIT
#include <doewright/season/plan_dates.hpp>

#include <algorithm>
#include <map>
#include <numeric>
#include <utility>

#include <doewright/timing/kidding_days.hpp>
#include <doewright/timing/stay_terms.hpp>

namespace doewright {

namespace {

constexpr double least_of_week = 1e-6;

/// The weeks of these days, without the tails in which next to nothing is expected.
std::vector<KiddingWeek> weeks_of(const KiddingDays& days) {
  std::vector<KiddingWeek> weeks;
  if (days.expected.empty()) return weeks;
  const Date last = days.first + (static_cast<std::int32_t>(days.expected.size()) - 1);
  for (Date monday = monday_of(days.first); monday <= last; monday = monday + 7) {
    const KiddingWeek week{monday, days.between(monday, monday + 6)};
    if (!weeks.empty() || week.expected >= least_of_week) weeks.push_back(week);
  }
  while (!weeks.empty() && weeks.back().expected < least_of_week) weeks.pop_back();
  return weeks;
}

class PlanDatesMaker {
 public:
  PlanDatesMaker(const Herd& herd, const PairingTable& table, const SeasonPlan& plan)
      : herd_(herd),
        table_(table),
        plan_(plan),
        offspring_(herd.pedigree),
        shares_(breed_shares(herd)) {
    for (CalendarEvent& event : calendar(herd, offspring_)) {
      const bool watched =
          event.what == CalendarWhat::heat || event.what == CalendarWhat::return_heat;
      if (event.what == CalendarWhat::service_window) window_[*event.doe] = {event.low, event.high};
      if (watched && event.doe) heats_[*event.doe].push_back(std::move(event));
    }
  }

  PlanDates dates() {
    for (std::size_t d = 0; d < table_.does.size(); ++d) add(d);
    const KiddingDays days = kidding_days(parts_);
    result_.weeks = weeks_of(days);
    result_.expected = days.total();
    const Season& season = herd_.season;
    if (season.kid_from && season.kid_to) {
      result_.in_window = days.between(*season.kid_from, *season.kid_to);
    }
    if (result_.service_from && *result_.service_from > *result_.service_to) {
      result_.service_from.reset();
      result_.service_to.reset();
    }
    return std::move(result_);
  }

 private:
  void add(std::size_t d) {
    const Animal doe = table_.does[d].doe.doe;
    const std::optional<std::size_t> sire = plan_.choice.sire_of_doe[d];
    const GestationClass gestation =
        gestation_of(herd_.season, shares_[doe.position], herd_.animals.breed_names);
    std::optional<DueFrom> part;
    if (plan_.question.served[d] && !herd_.animals.gone[doe.position]) {
      part = conceptions_of_served(herd_, offspring_, doe, gestation, pen_until(d, sire));
    }
    const bool served = part.has_value();
    if (!served && sire) part = DueFrom{of_sire(*sire).first, of_sire(*sire).weight, gestation};
    if (!part) return;
    PlannedDoeDates dates{.doe = d, .sire = sire, .served = served, .due = {}, .heats = {}};
    for (const CalendarEvent& event : heats_[doe]) {
      // Found empty after a service: what was to be watched for is over.
      if (served || event.what == CalendarWhat::heat) dates.heats.push_back(event);
    }
    dates.kids = std::accumulate(part->weight.begin(), part->weight.end(), 0.0);
    if (dates.kids > 0.0) dates.due = due_after_days({&*part, 1});
    if (!served) narrow_service(doe);
    result_.does.push_back(std::move(dates));
    parts_.push_back(std::move(*part));
  }

  void narrow_service(Animal doe) {
    const auto window = window_.find(doe);
    if (window == window_.end()) return;
    const auto [from, to] = window->second;
    result_.service_from = std::max(result_.service_from.value_or(from), from);
    result_.service_to = std::min(result_.service_to.value_or(to), to);
  }

  /// A pen with the plan's own sire for her that is still running goes on to his last day.
  std::optional<Date> pen_until(std::size_t d, std::optional<std::size_t> sire) const {
    const std::optional<Service>& service = plan_.question.served[d];
    if (!sire || !service || service->how != ServiceHow::pen || service->to.known()) return {};
    const SireAccount& account = table_.sires[*sire];
    if (service->sire != account.offer.sire || account.to <= herd_.as_of) return {};
    return account.to;
  }

  /// Conceptions of any doe with him: the same for all; the class of gestation is hers.
  const DueFrom& of_sire(std::size_t sire) {
    const auto found = of_sire_.find(sire);
    if (found != of_sire_.end()) return found->second;
    const SireAccount& account = table_.sires[sire];
    return of_sire_
        .emplace(sire, conceptions_of_offer(herd_.season,
                                            days_left(stay_terms(herd_, account.offer, account.proven),
                                                      herd_.as_of),
                                            herd_.as_of, {}))
        .first->second;
  }

  const Herd& herd_;
  const PairingTable& table_;
  const SeasonPlan& plan_;
  Offspring offspring_;
  std::vector<std::vector<BreedShare>> shares_;
  std::map<Animal, std::vector<CalendarEvent>> heats_;
  std::map<Animal, std::pair<Date, Date>> window_;
  std::map<std::size_t, DueFrom> of_sire_;
  std::vector<DueFrom> parts_;
  PlanDates result_;
};

}  // namespace

PlanDates plan_dates(const Herd& herd, const PairingTable& table, const SeasonPlan& plan) {
  return PlanDatesMaker(herd, table, plan).dates();
}

}  // namespace doewright
