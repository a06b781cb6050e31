// SPDX-License-Identifier: MIT
// Doe by doe: what was seen, as likely as if he is fertile and as if he is not.
//   can      chance that a doe that can settle is still open after the heats known to have failed
//   settles  chance that she settled by what came after them
//   missed   chance that no return of an open doe was seen
#include <doewright/timing/in_kid.hpp>

#include <algorithm>
#include <set>

#include <doewright/timing/settling.hpp>

#include "buck_and_doe.hpp"
#include "conceptions.hpp"

namespace doewright {

namespace {

constexpr int heat_over = 5;  // a heat this much later is another one
constexpr int first_look_over = 24, second_look_over = 45;
constexpr int no_kids_before = 150;

/// What one doe says of him.
struct DoeSaid {
  double if_fertile = 1.0, if_infertile = 1.0;
  bool judged = false;    ///< Something could be seen.
  bool returned = false;  ///< Open after the last of it.
};

double sum_of(const ConceptionDays& days, std::size_t buck) {
  return days.by_buck.empty() ? 0.0 : days.to_buck(buck);
}

class DoeOfBuck {
 public:
  DoeOfBuck(const Herd& herd, const BuckAndDoe& met, double conception)
      : herd_(herd), met_(met), does_(doe_odds(herd.season)), conception_(conception) {
    does_.never = 0.0;  // does that never settle stand beside
    const double b = herd.season.settle.never;
    for_those_that_can_ = b < 1.0 ? std::min(1.0, conception / (1.0 - b)) : 0.0;
  }

  DoeSaid said() {
    take_known_heats();
    take_what_came_after();
    const double b = herd_.season.settle.never;
    const double can = can_ * (settles_ + (1.0 - settles_) * missed_);
    said_.if_fertile = b * missed_ + (1.0 - b) * can;
    said_.if_infertile = missed_;
    return said_;
  }

 private:
  /// His stays and those of others with her at the same time, of whom each takes his part of the
  /// heats: an unknown part of the others is not counted.
  std::vector<Exposure> stays_between(Date from, Date to) const {
    std::vector<Exposure> stays;
    for (const MetOn& met : met_.exposures) {
      if (met.seen || met.to < from || met.from > to) continue;
      stays.push_back({met.buck, std::max(met.from, from), std::min(met.to, to)});
    }
    return stays;
  }

  bool with_him(const std::vector<Exposure>& stays) const {
    return std::any_of(stays.begin(), stays.end(), [](const Exposure& e) { return e.buck == 0; });
  }

  std::vector<BuckOdds> bucks(double conception) const {
    std::vector<BuckOdds> all(met_.bucks);
    all.front().conception = conception;
    return all;
  }

  /// Open at a heat on this day after his stays: the product of DEFINITIONS' f over the heats 21,
  /// 42 ... days before, weighed over the does that cycle on that day.
  double open_at(Date heat, std::vector<Exposure> stays) const {
    std::vector<BuckOdds> all = bucks(for_those_that_can_);
    stays.push_back({all.size(), heat, heat});
    all.push_back({.conception = 1.0, .infertile = 0.0});
    const double share = cycling_on(does_, heat);
    if (share <= 0.0) return 1.0;
    return std::min(
        1.0, sum_of(conception_days(does_, all, stays), all.size() - 1) * days_of_cycle / share);
  }

  void failed(double open) {
    can_ *= open;
    said_.judged = said_.returned = true;
  }

  void take_known_heats() {
    std::optional<KnownHeat> before;
    for (const KnownHeat& heat : met_.heats) {
      const Date from = before ? before->day + heat_over : met_.first;
      if (before && before->bucks > 0) failed(1.0 - for_those_that_can_ / double(before->bucks));
      const std::vector<Exposure> stays = stays_between(from, heat.day - 1);
      const double open = with_him(stays) ? open_at(heat.day, stays) : 1.0;
      if (open < 1.0) failed(open);
      before = heat;
    }
  }

  /// He settles her by this day, from the last known heat on; a doe that can settle.
  double settles_by(Date until) const {
    const auto stays = stays_between(after_heats(), until);
    if (met_.heats.empty() || met_.heats.back().bucks == 0) {
      const auto all = bucks(for_those_that_can_);
      return with_him(stays) ? sum_of(conception_days(does_, all, stays), 0) : 0.0;
    }
    const KnownHeat& last = met_.heats.back();
    std::vector<SireExposure> exposures;
    for (std::size_t buck = 0; buck < last.bucks; ++buck) {
      exposures.push_back({buck, last.day, last.day, true});
    }
    for (const Exposure& e : stays) exposures.push_back({e.buck, e.from, e.to, false});
    std::vector<BuckOdds> all = bucks(conception_);
    while (all.size() < last.bucks) all.push_back({});
    double sum = 0.0;
    each_conception(all, herd_.season.settle.never, exposures, until + 1,
                    [&](std::size_t buck, Date, double f) { sum += buck == 0 ? f : 0.0; });
    return std::min(1.0, sum);
  }

  Date after_heats() const {
    return met_.heats.empty() ? met_.first : met_.heats.back().day + heat_over;
  }

  /// Not seen back by her last day with him and two cycles on, as stands_in_kid() looks.
  double none_seen_after(Date last, bool after_stay) const {
    double missed = 1.0;
    for (const int look : {1, 2}) {
      if (met_.end - last < (look == 1 ? first_look_over : second_look_over)) break;
      double share = 0.0;
      for (int day = 1; after_stay && day <= days_of_cycle; ++day) {
        share += cycling_on(does_, last + ((look - 1) * days_of_cycle + day)) / days_of_cycle;
      }
      if (!after_stay) share = cycling_on(does_, last + look * days_of_cycle);
      missed *= 1.0 - herd_.season.settle.heat_noticed * share;
    }
    return missed;
  }

  void take_what_came_after() {
    const bool served = !met_.heats.empty() && met_.heats.back().bucks > 0;
    const auto stays = stays_between(after_heats(), met_.end);
    if (!served && !with_him(stays)) return;
    std::optional<Date> stayed;
    for (const Exposure& e : stays) {
      if (e.buck == 0) stayed = stayed ? std::max(*stayed, e.to) : e.to;
    }
    const Date last = stayed ? *stayed : met_.heats.back().day;
    if (met_.empty_on) {
      const double settles = settles_by(*met_.empty_on - shows_in_kid_after);
      if (settles > 0.0) {
        failed(1.0 - settles);
        return;
      }
    }
    if (met_.kidded || met_.end - last < first_look_over || met_.end - last > no_kids_before)
      return;
    said_.judged = true;
    said_.returned = false;
    settles_ = settles_by(last);
    missed_ = none_seen_after(last, stayed.has_value());
  }

  const Herd& herd_;
  const BuckAndDoe& met_;
  DoeOdds does_;
  double conception_, for_those_that_can_ = 0.0;
  double can_ = 1.0, settles_ = 0.0, missed_ = 1.0;
  DoeSaid said_;
};

}  // namespace

InfertileOdds infertile_odds(const Herd& herd, const Offspring& offspring, Animal sire,
                             double conception, double infertile) {
  std::set<Animal> served;
  for (const Service& service : herd.services) {
    if (service.sire == sire) served.insert(service.doe);
  }
  InfertileOdds odds;
  double if_infertile = infertile, if_fertile = 1.0 - infertile;
  for (const Animal doe : served) {
    const auto met = buck_and_doe(herd, offspring, sire, doe);
    if (!met) continue;
    if (met->proved_in_kid) {
      ++odds.served;
      odds.proved_in_kid.push_back(doe);
      if_infertile = 0.0;
      continue;
    }
    const DoeSaid said = DoeOfBuck(herd, *met, conception).said();
    if (!said.judged) continue;
    ++odds.served;
    odds.returned += said.returned ? 1u : 0u;
    if_fertile *= said.if_fertile;
    if_infertile *= said.if_infertile;
  }
  const double both = if_infertile + if_fertile;
  odds.probability = both > 0.0 ? if_infertile / both : 0.0;
  odds.call_fallback = odds.probability > 0.5;
  return odds;
}

}  // namespace doewright
