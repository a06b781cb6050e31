// SPDX-License-Identifier: MIT
#include <doewright/timing/whose.hpp>

#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>
#include <doewright/timing/gestation.hpp>
#include <doewright/timing/heats.hpp>

#include "conceptions.hpp"
#include "exposed_days.hpp"

namespace doewright {

namespace {

constexpr int same_heat_days = 2;
constexpr double still_stands = 0.05;         // a doe in kid that stands for a buck
constexpr double unseen_a_day = 0.01 / 60.0;  // a service nobody saw

struct ServedBy {
  std::size_t buck = 0;
  Date day;
  double per_heat = 0.0;  ///< Of the does that can settle.
};

/// Services seen within two days of the first.
struct SeenHeat {
  Date first;
  std::vector<ServedBy> bucks;  ///< Each once, on his own first day in it.
};

std::vector<SeenHeat> seen_heats(std::span<const BuckOdds> bucks, double never,
                                 std::span<const SireExposure> exposures, Date kidded) {
  std::vector<ServedBy> services;
  for (const SireExposure& e : exposures) {
    if (!e.seen || e.from >= kidded) continue;
    const double c = e.conception.value_or(bucks[e.buck].conception);
    services.push_back({e.buck, e.from, for_does_that_can(c, never)});
  }
  std::stable_sort(services.begin(), services.end(),
                   [](const ServedBy& a, const ServedBy& b) { return a.day < b.day; });
  std::vector<SeenHeat> heats;
  for (const ServedBy& service : services) {
    if (heats.empty() || service.day - heats.back().first > same_heat_days) {
      heats.push_back({service.day, {}});
    }
    auto& there_are = heats.back().bucks;
    const bool there = std::any_of(there_are.begin(), there_are.end(),
                                   [&](const ServedBy& b) { return b.buck == service.buck; });
    if (!there) there_are.push_back(service);
  }
  return heats;
}

std::vector<Exposure> stays_of(std::span<const SireExposure> exposures, Date kidded) {
  std::vector<Exposure> stays;
  for (const SireExposure& e : exposures) {
    if (!e.seen && e.from <= kidded) stays.push_back({e.buck, e.from, std::min(e.to, kidded)});
  }
  return stays;
}

/// The sums over days for one state of the bucks' fertility.
class LitterDays {
 public:
  LitterDays(const ExposedDays& stays, std::vector<SeenHeat> heats, const UseConception& use)
      : stays_(stays), heats_(std::move(heats)), count_(use) {}

  /// Says each day's f x chance.
  void say(const std::vector<bool>& fertile, double chance) {
    fertile_ = &fertile;
    taken_.assign(stays_.days, 0.0);
    for (std::size_t s = 0; s < fertile.size(); ++s) {
      for (std::size_t t = 0; fertile[s] && t < stays_.days; ++t) taken_[t] += stays_.serves[s][t];
    }
    stays_before(chance * std::pow(still_stands, double(heats_.size())));
    if (heats_.empty()) return;
    const double open = at_heats(chance * open_at(heats_.front().first));
    stays_after(open);
  }

 private:
  /// Open at a heat on this day, after the heats 21, 42 ... days before.
  double open_at(Date day) const {
    double open = 1.0;
    for (std::int64_t t = day - stays_.first - days_of_cycle; t >= 0; t -= days_of_cycle) {
      if (t < static_cast<std::int64_t>(stays_.days)) {
        open *= std::max(0.0, 1.0 - taken_[static_cast<std::size_t>(t)]);
      }
    }
    return open;
  }

  void count_stays(std::size_t t, double heat) {
    for (std::size_t s = 0; s < stays_.serves.size(); ++s) {
      if (!(*fertile_)[s] || stays_.serves[s][t] == 0.0) continue;
      count_(s, stays_.first + static_cast<std::int32_t>(t), heat * stays_.serves[s][t]);
    }
  }

  void stays_before(double weight) {
    for (std::size_t t = 0; t < stays_.days; ++t) {
      const Date day = stays_.first + static_cast<std::int32_t>(t);
      if (!heats_.empty() && day >= heats_.front().first) break;
      count_stays(t, weight * open_at(day) / days_of_cycle);
    }
  }

  /// \return the chance that she is open after the last heat.
  double at_heats(double open) {
    for (std::size_t i = 0; i < heats_.size(); ++i) {
      const SeenHeat& heat = heats_[i];
      const double later = std::pow(still_stands, double(heats_.size() - 1 - i));
      double taken = 0.0;
      for (const ServedBy& served : heat.bucks) {
        if (!(*fertile_)[served.buck]) continue;
        const double c = served.per_heat / double(heat.bucks.size());
        count_(served.buck, served.day, open * c * later);
        taken += c;
      }
      open *= std::max(0.0, 1.0 - taken);
    }
    return open;
  }

  void stays_after(double open) {
    const HeatCycle cycle;
    const GestationClass days_between{cycle.mean, cycle.sd};
    const std::int64_t last = heats_.back().first - stays_.first;
    const std::int64_t days = static_cast<std::int64_t>(stays_.days) - last;
    std::vector<double> open_heat = {open};  // in heat on the day and open after it
    for (std::int64_t d = 1; d < days; ++d) {
      double heat = 0.0;
      for (std::int64_t e = 1; e <= d; ++e) {
        heat += open_heat[static_cast<std::size_t>(d - e)] *
                gestation_chance(days_between, static_cast<int>(e));
      }
      const bool exposed = last + d >= 0;
      const std::size_t t = static_cast<std::size_t>(std::max<std::int64_t>(0, last + d));
      if (exposed) count_stays(t, heat);
      open_heat.push_back(heat * (exposed ? std::max(0.0, 1.0 - taken_[t]) : 1.0));
    }
  }

  const ExposedDays& stays_;
  std::vector<SeenHeat> heats_;
  const UseConception& count_;
  std::vector<double> taken_;
  const std::vector<bool>* fertile_ = nullptr;
};

}  // namespace

void each_conception(std::span<const BuckOdds> bucks, double never,
                     std::span<const SireExposure> exposures, Date until,
                     const UseConception& use) {
  std::vector<bool> met(bucks.size());
  for (const SireExposure& e : exposures) {
    if (e.buck >= bucks.size()) throw UsageError("whose_kid: an exposure to a buck not listed");
    met[e.buck] = true;
  }
  DoeOdds does = all_cycling();
  does.never = never;
  const ExposedDays stays = exposed_days(does, bucks, stays_of(exposures, until));
  LitterDays litter(stays, seen_heats(bucks, never, exposures, until), use);
  for_each_fertility(bucks, met, [&](const std::vector<bool>& fertile, double chance) {
    litter.say(fertile, chance);
  });
}

SireChances whose_kid(std::span<const BuckOdds> bucks, double never,
                      std::span<const SireExposure> exposures, Date kidded,
                      const GestationClass& gestation) {
  SireChances answer{std::vector<double>(bucks.size(), 0.0), 1.0};
  double all = 0.0;
  each_conception(bucks, never, exposures, kidded, [&](std::size_t buck, Date day, double f) {
    answer.by_buck[buck] += f * gestation_chance(gestation, kidded - day);
    all += f;
  });
  const double unseen = unseen_a_day * all;
  double sum = unseen;
  for (const double w : answer.by_buck) sum += w;
  if (!(sum > 0.0)) {
    answer.by_buck.assign(bucks.size(), 0.0);
    return answer;
  }
  for (double& w : answer.by_buck) w /= sum;
  answer.unrecorded = unseen / sum;
  return answer;
}

}  // namespace doewright
