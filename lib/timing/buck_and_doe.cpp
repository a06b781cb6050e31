// SPDX-License-Identifier: MIT
#include "buck_and_doe.hpp"

#include <algorithm>
#include <set>

namespace doewright {

namespace {

constexpr int looked_back = 200, heat_over = 5, same_heat = 2, same_litter = 30;
constexpr int shortest_pregnancy = 130, longest_pregnancy = 170;
constexpr int usual_shortest = 140, usual_longest = 160;  // common practice: ask outside of them

/// One litter of hers; `sire` as it is recorded at the kidding or of a kid.
struct LitterDay {
  Date earliest, latest;
  std::optional<Animal> sire;
};

class SeasonOfDoe {
 public:
  SeasonOfDoe(const Herd& herd, const Offspring& offspring, Animal sire, Animal doe)
      : herd_(herd), sire_(sire), doe_(doe) {
    find_litters(offspring);
    find_exposures();
  }

  std::optional<BuckAndDoe> season() {
    if (!his_between(herd_.as_of - looked_back, herd_.as_of)) return std::nullopt;
    BuckAndDoe met;
    met.proved_in_kid = proved_by_kidding() || proved_by_check();
    Date begin{};
    met.end = herd_.as_of;
    if (!litters_.empty()) begin = litters_.back().latest + 1;
    if (!his_between(begin, herd_.as_of)) {  // they were before her last kidding
      met.kidded = true;
      met.end = litters_.back().earliest;
      begin = litters_.size() > 1 ? litters_[litters_.size() - 2].latest + 1 : Date{};
    }
    begin = std::max(begin, herd_.as_of - 2 * looked_back);
    take_exposures(begin, met);
    take_heats(met);
    for (const PregnancyCheck& check : herd_.pregnancy_checks) {
      if (!tells(check, PregnancyResult::empty) || check.date.latest() > met.end) continue;
      met.empty_on = std::max(met.empty_on.value_or(check.date.earliest()), check.date.earliest());
    }
    return met;
  }

 private:
  void find_litters(const Offspring& offspring) {
    const auto take = [&](PartialDate date, std::optional<Animal> sire) {
      if (!date.known() || date.earliest() > herd_.as_of) return;
      litters_.push_back({date.earliest(), std::min(date.latest(), herd_.as_of), sire});
    };
    for (const Kidding& kidding : herd_.kiddings) {
      if (kidding.doe == doe_) take(kidding.date, kidding.sire);
    }
    for (const Animal kid : offspring.of(doe_)) {
      take(herd_.animals.born[kid.position], herd_.pedigree.sire(kid));
    }
    std::stable_sort(litters_.begin(), litters_.end(), [](const LitterDay& a, const LitterDay& b) {
      return a.earliest < b.earliest;
    });
    std::vector<LitterDay> once;
    for (const LitterDay& litter : litters_) {
      if (once.empty() || litter.earliest - once.back().earliest > same_litter) {
        once.push_back(litter);
        continue;
      }
      LitterDay& same = once.back();  // the narrower dates, and a sire where one is known
      if (litter.latest - litter.earliest < same.latest - same.earliest) {
        same.earliest = litter.earliest;
        same.latest = litter.latest;
      }
      if (!same.sire) same.sire = litter.sire;
    }
    litters_ = std::move(once);
  }

  void find_exposures() {
    for (const Service& service : herd_.services) {
      if (service.doe != doe_ || !service.from.known()) continue;
      const bool pen = service.how == ServiceHow::pen;
      MetOn met{.buck = 0, .sire = service.sire, .from = service.from.earliest(), .to = {}};
      met.to = service.to.known() ? service.to.latest() : pen ? herd_.as_of : service.from.latest();
      met.seen = service.how == ServiceHow::semen || (!pen && met.to <= met.from);
      if (met.seen) met.to = met.from;
      met.to = std::min(met.to, herd_.as_of);
      if (met.from > herd_.as_of || met.to < met.from) continue;
      all_.push_back(met);
    }
  }

  static bool overlap(const MetOn& met, Date from, Date to) {
    return met.from <= to && met.to >= from;
  }
  bool his_between(Date from, Date to) const {
    return std::any_of(all_.begin(), all_.end(), [&](const MetOn& met) {
      return met.sire == sire_ && overlap(met, from, to);
    });
  }
  bool another_between(Date from, Date to) const {
    return std::any_of(all_.begin(), all_.end(), [&](const MetOn& met) {
      return met.sire != sire_ && overlap(met, from, to);
    });
  }

  bool tells(const PregnancyCheck& check, PregnancyResult result) const {
    return check.doe == doe_ && check.result == result && check.date.known() &&
           check.date.latest() <= herd_.as_of;
  }

  bool proved_by_kidding() const {
    return std::any_of(litters_.begin(), litters_.end(), [&](const LitterDay& litter) {
      if (litter.earliest < herd_.as_of - looked_back + shortest_pregnancy) return false;
      if (litter.sire) {
        return litter.sire == sire_ &&
               his_between(litter.earliest - longest_pregnancy, litter.latest - shortest_pregnancy);
      }
      const Date from = litter.earliest - usual_longest;
      const Date to = litter.latest - usual_shortest;
      return his_between(from, to) && !another_between(from, to);
    });
  }

  /// In kid by a check, and he alone was there for her last heat served, or in the stays after it.
  /// If she has kidded since, the kidding tells.
  bool proved_by_check() const {
    return std::any_of(herd_.pregnancy_checks.begin(), herd_.pregnancy_checks.end(),
                       [&](const PregnancyCheck& check) {
                         if (!tells(check, PregnancyResult::in_kid)) return false;
                         const Date shown = check.date.earliest() - shows_in_kid_after;
                         Date begin = herd_.as_of - looked_back;
                         for (const LitterDay& litter : litters_) {
                           if (litter.latest > check.date.earliest()) return false;
                           begin = std::max(begin, litter.latest + 1);
                         }
                         std::optional<Date> served;
                         for (const MetOn& met : all_) {
                           if (met.seen && met.from >= begin && met.from <= shown) {
                             served = std::max(served.value_or(met.from), met.from);
                           }
                         }
                         bool his = false, others = false;
                         for (const MetOn& met : all_) {
                           const Date after = met.seen ? served.value_or(begin) - same_heat
                                              : served ? *served + 1
                                                       : begin;
                           if (!overlap(met, std::max(begin, after), shown)) continue;
                           (met.sire == sire_ ? his : others) = true;
                         }
                         return his && !others;
                       });
  }

  void take_exposures(Date begin, BuckAndDoe& met) const {
    std::vector<Animal> bucks = {sire_};
    met.first = met.end;
    for (MetOn each : all_) {
      if (!overlap(each, begin, met.end)) continue;
      each.from = std::max(each.from, begin);
      each.to = std::min(each.to, met.end);
      const auto place = std::find(bucks.begin(), bucks.end(), each.sire);
      each.buck = static_cast<std::size_t>(place - bucks.begin());
      if (place == bucks.end()) bucks.push_back(each.sire);
      if (each.buck == 0) met.first = std::min(met.first, each.from);
      met.exposures.push_back(each);
    }
    met.bucks = bucks.size();
  }

  void take_heats(BuckAndDoe& met) const {
    std::set<Date> days;
    for (const Heat& heat : herd_.heats) {
      if (heat.doe == doe_ && heat.date.to_the_day()) days.insert(heat.date.earliest());
    }
    for (const MetOn& each : met.exposures) {
      if (each.seen) days.insert(each.from);
    }
    for (const Date day : days) {
      if (day < met.first || day > met.end) continue;
      if (!met.heats.empty() && day - met.heats.back().day < heat_over) continue;
      met.heats.push_back({day, served_by(met, day)});
    }
  }

  /// Bucks that served the heat that begins on this day; 0 if he did not.
  std::size_t served_by(const BuckAndDoe& met, Date day) const {
    std::set<std::size_t> bucks;
    for (const MetOn& each : met.exposures) {
      const Date to = each.seen ? day + (heat_over - 1) : day;
      if (overlap(each, day, to)) bucks.insert(each.buck);
    }
    return bucks.contains(0) ? bucks.size() : 0;
  }

  const Herd& herd_;
  Animal sire_, doe_;
  std::vector<LitterDay> litters_;
  std::vector<MetOn> all_;
};

}  // namespace

std::optional<BuckAndDoe> buck_and_doe(const Herd& herd, const Offspring& offspring, Animal sire,
                                       Animal doe) {
  return SeasonOfDoe(herd, offspring, sire, doe).season();
}

}  // namespace doewright
