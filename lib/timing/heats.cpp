// SPDX-License-Identifier: MIT
// Each day has four points of Gauss and Legendre's rule: c is constant within a day and the chance
// of a heat is smooth, so that few points do. A heat depends only on heats 12 to 30 days before.
#include <doewright/timing/heats.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <doewright/core/normal.hpp>

#include "exposed_days.hpp"

namespace doewright {

namespace {

constexpr std::size_t points = 4;
constexpr std::array<double, points> point_of_day = {0.06943184420297371, 0.33000947820757187,
                                                     0.66999052179242813, 0.93056815579702629};
constexpr std::array<double, points> weight_of_point = {0.17392742256872693, 0.32607257743127307,
                                                        0.32607257743127307, 0.17392742256872693};
constexpr double furthest = 6.0;  // standard deviations

/// Integral to n of the chance that a normal time (mean, sd) is over.
double time_after(double n, double mean, double sd) {
  const double z = (n - mean) / sd;
  return sd * normal_density(z) + (n - mean) * normal_below(z);
}

using DayPoints = std::vector<std::array<double, points>>;

/// Density of cycle lengths between point i of a day and point j of a day `gap` days later.
class CycleKernel {
 public:
  explicit CycleKernel(HeatCycle cycle)
      : least_(static_cast<std::size_t>(std::max(1.0, cycle.mean - furthest * cycle.sd - 1.0))),
        most_(static_cast<std::size_t>(cycle.mean + furthest * cycle.sd + 2.0)) {
    for (std::size_t gap = least_; gap <= most_; ++gap) {
      auto& at_gap = table_.emplace_back();
      for (std::size_t i = 0; i < points; ++i) {
        for (std::size_t j = 0; j < points; ++j) {
          const double length = static_cast<double>(gap) + point_of_day[j] - point_of_day[i];
          at_gap[i][j] =
              weight_of_point[i] * normal_density((length - cycle.mean) / cycle.sd) / cycle.sd;
        }
      }
    }
  }

  /// Adds to `heats` of day t what comes from the open heats of earlier days.
  void add_returns(const DayPoints& open, std::size_t t, std::array<double, points>& heats) const {
    for (std::size_t gap = least_; gap <= std::min(most_, t); ++gap) {
      const auto& from = open[t - gap];
      for (std::size_t i = 0; i < points; ++i) {
        for (std::size_t j = 0; j < points; ++j) heats[j] += from[i] * table_[gap - least_][i][j];
      }
    }
  }

 private:
  std::size_t least_, most_;
  std::vector<std::array<std::array<double, points>, points>> table_;
};

/// Adds, for each day, the chance that a doe of this class is in heat and open on it.
void add_class(double level, double part, const CyclingDays& cycling, HeatCycle cycle,
               const CycleKernel& kernel, const std::vector<double>& taken,
               std::vector<double>& heat_and_open) {
  DayPoints open(taken.size());
  for (std::size_t t = 0; t < taken.size(); ++t) {
    std::array<double, points> heats = {};
    for (std::size_t j = 0; j < points; ++j) {
      const double time = static_cast<double>(t) + point_of_day[j];
      heats[j] = normal_above((time - cycle.mean) / cycle.sd) / cycle.mean;
    }
    kernel.add_returns(open, t, heats);
    const bool shows = cycling.share[t] >= level;
    const double left = shows ? std::max(0.0, 1.0 - taken[t]) : 1.0;
    for (std::size_t j = 0; j < points; ++j) {
      open[t][j] = left * heats[j];
      if (shows) heat_and_open[t] += part * weight_of_point[j] * heats[j];
    }
  }
}

}  // namespace

double no_heat_probability(double days, HeatCycle cycle) {
  const double z = (days - cycle.mean) / cycle.sd;
  return (cycle.sd * normal_density(z) - (days - cycle.mean) * normal_above(z)) / cycle.mean;
}

double settled_in_stay(double days, double conception, HeatCycle cycle) {
  double settled = 0.0, open = 1.0, time_before = days;
  for (int k = 1; time_before > 1e-16 * days && open > 0.0; ++k) {
    const double time = time_after(days, k * cycle.mean, std::sqrt(double(k)) * cycle.sd);
    settled += conception * open * (time_before - time) / cycle.mean;
    open *= 1.0 - conception;
    time_before = time;
  }
  return settled;
}

ConceptionDays conception_days_varying(const DoeOdds& does, std::span<const BuckOdds> bucks,
                                       std::span<const Exposure> exposures) {
  const HeatCycle cycle;
  const ExposedDays exposed = exposed_days(does, bucks, exposures);
  const CyclingDays cycling(does, exposed.first, exposed.days);
  const CycleKernel kernel(cycle);
  ConceptionDays answer{exposed.first, std::vector<std::vector<double>>(
                                           bucks.size(), std::vector<double>(exposed.days, 0.0))};
  for_each_fertility(
      bucks, bucks_met(exposed), [&](const std::vector<bool>& fertile, double chance) {
        std::vector<double> taken(exposed.days, 0.0), heat_and_open(exposed.days, 0.0);
        for (std::size_t s = 0; s < bucks.size(); ++s) {
          for (std::size_t t = 0; fertile[s] && t < exposed.days; ++t) {
            taken[t] += exposed.serves[s][t];
          }
        }
        double below = 0.0;
        for (const double level : cycling.levels) {
          add_class(level, level - below, cycling, cycle, kernel, taken, heat_and_open);
          below = level;
        }
        const double weight = (1.0 - does.never) * chance;
        for (std::size_t s = 0; s < bucks.size(); ++s) {
          for (std::size_t t = 0; fertile[s] && t < exposed.days; ++t) {
            answer.by_buck[s][t] += weight * exposed.serves[s][t] * heat_and_open[t];
          }
        }
      });
  return answer;
}

}  // namespace doewright
