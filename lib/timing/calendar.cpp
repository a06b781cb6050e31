// SPDX-License-Identifier: MIT
#include <doewright/timing/kidding_days.hpp>
#include <doewright/timing/calendar.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

#include <doewright/timing/gestation.hpp>
#include <doewright/timing/heats.hpp>
#include <doewright/timing/in_kid.hpp>
#include <doewright/timing/offer.hpp>
#include <doewright/timing/stay_terms.hpp>

#include "served_doe.hpp"

namespace doewright {

namespace {

constexpr int heat_seen_within = 63, heats_ahead = 3;
constexpr double edge_of_90 = 1.6448536269514722;  // 5 % and 95 % point of a normal

class Calendar {
 public:
  Calendar(const Herd& herd, const Offspring& offspring)
      : herd_(herd), offspring_(offspring), shares_(breed_shares(herd)) {}

  std::vector<CalendarEvent> events() {
    for (const SireOffer& offer : herd_.sires) of_sire(offer);
    std::vector<Animal> does;
    for (const DoeForward& row : herd_.does) does.push_back(row.doe);
    for (const Service& service : herd_.services) does.push_back(service.doe);
    std::sort(does.begin(), does.end());
    does.erase(std::unique(does.begin(), does.end()), does.end());
    for (const Animal doe : does) of_doe(doe);
    std::stable_sort(events_.begin(), events_.end(),
                     [&](const CalendarEvent& a, const CalendarEvent& b) {
                       if (a.date != b.date) return a.date < b.date;
                       if (id(a) != id(b)) return id(a) < id(b);
                       return a.what < b.what;
                     });
    return std::move(events_);
  }

 private:
  std::string_view id(const CalendarEvent& event) const {
    return event.doe ? herd_.ids[*event.doe] : std::string_view();
  }

  void add(CalendarEvent event) {
    if (event.high >= herd_.as_of) events_.push_back(event);
  }

  void of_sire(const SireOffer& offer) {
    if (offer.terms == Terms::visit || offer.terms == Terms::semen) return;
    if (!offer.from.known() && !herd_.season.kid_from) return;  // no day was said
    const Date from = first_day_of_stay(herd_, offer), to = last_day_of_stay(herd_, offer);
    if (to < from) return;
    const auto on = [&](CalendarWhat what, Date day) {
      add({.doe = {},
           .sire = offer.sire,
           .date = day,
           .low = day,
           .high = day,
           .what = what,
           .since = from,
           .in_kid = {},
           .quiet_on = {}});
    };
    const auto isolation = static_cast<std::int32_t>(herd_.season.papers.isolation_days);
    if (offer.terms == Terms::hired && isolation > 0) {  // shown for as long as it should last
      add({.doe = {},
           .sire = offer.sire,
           .date = from - isolation,
           .low = from - isolation,
           .high = from - 1,
           .what = CalendarWhat::isolation,
           .since = from,
           .in_kid = {},
           .quiet_on = {}});
    }
    on(CalendarWhat::buck_in, from);
    on(CalendarWhat::buck_out, to);
  }

  void of_doe(Animal doe) {
    if (herd_.animals.gone[doe.position]) return;
    const auto gestation =
        gestation_of(herd_.season, shares_[doe.position], herd_.animals.breed_names);
    const std::optional<ServedDoe> served = served_doe(herd_, offspring_, doe);
    const bool empty = served && standing_of(*served).found_empty();
    if (empty) found_empty(doe, *served);
    if (served && !empty && served->in_kid < failed_below) return of_open_doe(doe, gestation);
    if (served && !empty) {
      served->after_stay ? after_stay(doe, *served, gestation)
                         : after_service(doe, *served, gestation);
      return;
    }
    const bool forward =
        std::any_of(herd_.does.begin(), herd_.does.end(), [&](const DoeForward& row) {
          return row.doe == doe && row.decision != Decision::wait && row.decision != Decision::no;
        });
    if (forward) of_open_doe(doe, gestation);
  }

  void of_open_doe(Animal doe, const GestationClass& gestation) {
    const Season& season = herd_.season;
    const auto mean = static_cast<std::int32_t>(std::lround(gestation.mean));
    if (season.kid_from && season.kid_to && *season.kid_from <= *season.kid_to) {
      const Date from = *season.kid_from - mean, to = *season.kid_to - mean;
      add({.doe = doe,
           .sire = {},
           .date = from,
           .low = from,
           .high = to,
           .what = CalendarWhat::service_window,
           .since = from,
           .in_kid = {},
           .quiet_on = {}});
    }
    std::optional<Date> seen;
    for (const Heat& heat : herd_.heats) {
      if (heat.doe != doe || !heat.date.to_the_day()) continue;
      const Date day = heat.date.earliest();
      if (day <= herd_.as_of && herd_.as_of - day <= heat_seen_within) {
        seen = seen ? std::max(*seen, day) : day;
      }
    }
    if (!seen) return;
    const HeatCycle cycle;
    int said = 0;
    for (int k = 1; said < heats_ahead; ++k) {
      const double half = edge_of_90 * cycle.sd * std::sqrt(double(k));
      const double middle = k * cycle.mean;
      const CalendarEvent event{.doe = doe,
                                .sire = {},
                                .date = *seen + static_cast<std::int32_t>(std::lround(middle)),
                                .low = *seen + static_cast<std::int32_t>(std::floor(middle - half)),
                                .high = *seen + static_cast<std::int32_t>(std::ceil(middle + half)),
                                .what = CalendarWhat::heat,
                                .since = *seen,
                                .in_kid = {},
           .quiet_on = {}};
      if (event.high < herd_.as_of) continue;
      add(event);
      ++said;
    }
  }

  CalendarEvent row(Animal doe, const ServedDoe& served, CalendarWhat what, Date day) const {
    return {.doe = doe,
            .sire = served.sire,
            .date = day,
            .low = day,
            .high = day,
            .what = what,
            .since = served.first,
            .after_stay = served.after_stay,
            .in_kid = served.in_kid,
            .quiet_on = served.quiet_on};
  }

  void due(Animal doe, const ServedDoe& served, const DueWindow& window, Date last, int mean) {
    add(row(doe, served, CalendarWhat::watch_from, window.low));
    CalendarEvent event = row(doe, served, CalendarWhat::due, window.middle);
    event.low = window.low;
    event.high = window.high;
    add(event);
    add(row(doe, served, CalendarWhat::query, last + (mean + 7)));
  }

  /// Nothing is due of a doe found empty: on today's date, what the check said.
  void found_empty(Animal doe, const ServedDoe& served) {
    CalendarEvent event = row(doe, served, CalendarWhat::found_empty, herd_.as_of);
    event.since = served.check->date.latest();
    add(event);
  }

  /// What is to be found out by watching or testing her: no more, once a check has told. A scan
  /// counts kids, so a test by other means does not stand for it.
  bool still_asked(const ServedDoe& served, CalendarWhat what) const {
    if (!standing_of(served).found_in_kid()) return true;
    return what == CalendarWhat::scan && served.check->how != PregnancyHow::scan;
  }

  void after_service(Animal doe, const ServedDoe& served, const GestationClass& gestation) {
    const auto on = [&](CalendarWhat what, int days) {
      return row(doe, served, what, served.first + days);
    };
    const auto around = [&](CalendarWhat what, int days, int low, int high) {
      if (!still_asked(served, what)) return;
      CalendarEvent event = on(what, days);
      event.low = served.first + low;
      event.high = served.first + high;
      add(event);
    };
    around(CalendarWhat::return_heat, 21, 18, 24);
    around(CalendarWhat::return_heat, 42, 39, 45);
    if (still_asked(served, CalendarWhat::blood_test)) add(on(CalendarWhat::blood_test, 30));
    around(CalendarWhat::scan, 60, 45, 85);
    add(on(CalendarWhat::dry_off, 90));
    add(on(CalendarWhat::feed_up, 100));
    add(on(CalendarWhat::booster, 120));
    due(doe, served, due_after_service(served.first, gestation), served.last,
        static_cast<int>(std::lround(gestation.mean)));
  }

  void after_stay(Animal doe, const ServedDoe& served, const GestationClass& gestation) {
    DueFrom part{served.first, served.weight, gestation};
    Date last = served.last;
    if (standing_of(served).found_in_kid()) {  // conceived early enough to show
      last = std::min(last, served.check->date.latest() - check_tells_after);
    }
    if (const auto until = pen_goes_on(doe, served)) {
      if (auto days = conceptions_of_served(herd_, offspring_, doe, gestation, until)) {
        part = std::move(*days);
        if (!standing_of(served).found_in_kid()) last = std::max(last, *until);
      }
    }
    const DueWindow window = due_after_days({&part, 1});
    for (const auto& [what, days] :
         {std::pair(CalendarWhat::blood_test, 30), std::pair(CalendarWhat::scan, 45)}) {
      if (still_asked(served, what)) add(row(doe, served, what, last + days));
    }
    add(row(doe, served, CalendarWhat::dry_off, window.low - 60));
    add(row(doe, served, CalendarWhat::feed_up, window.low - 50));
    add(row(doe, served, CalendarWhat::booster, window.middle - 30));
    due(doe, served, window, last, static_cast<int>(std::lround(gestation.mean)));
  }

  /// A pen that is still running goes on to his last day on offer, if one was said.
  std::optional<Date> pen_goes_on(Animal doe, const ServedDoe& served) const {
    const bool running = std::any_of(herd_.services.begin(), herd_.services.end(), [&](const Service& s) {
      return s.doe == doe && served.sire == s.sire && s.how == ServiceHow::pen && !s.to.known() &&
             s.from.known() && s.from.earliest() <= herd_.as_of;
    });
    if (!running) return std::nullopt;
    for (const SireOffer& offer : herd_.sires) {
      if (offer.sire != *served.sire) continue;
      const Date to = last_day_of_stay(herd_, offer);
      if (to > herd_.as_of) return to;
    }
    return std::nullopt;
  }

  const Herd& herd_;
  const Offspring& offspring_;
  std::vector<std::vector<BreedShare>> shares_;
  std::vector<CalendarEvent> events_;
};

}  // namespace

std::string_view word(CalendarWhat what) noexcept {
  static constexpr std::string_view words[] = {
      "isolation",   "buck-in",    "buck-out", "service-window", "heat",
      "return-heat", "blood-test", "scan",     "dry-off",        "feed-up",
      "booster",     "watch-from", "due",      "query",          "found-empty"};
  return words[static_cast<std::size_t>(what)];
}

std::vector<CalendarEvent> calendar(const Herd& herd, const Offspring& offspring) {
  return Calendar(herd, offspring).events();
}

}  // namespace doewright
