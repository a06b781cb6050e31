// SPDX-License-Identifier: MIT
// A doe of class j has heats only on days whose month has a share of at least s_j; among the
// classes she is of class j with chance s_j - s_(j-1), and does above the largest share never cycle
// here.
//   definition   here          meaning
//   c_s(t)       serves[s][t]  conception if buck s is with her on day t and she is in heat
//   c(t)         taken[t]      their sum over the bucks
//   product      open[t]       still open on day t, given that day t is one of her heats
#include <doewright/timing/settling.hpp>

#include <algorithm>
#include <numeric>

#include "exposed_days.hpp"

namespace doewright {

namespace {

using DayValues = std::vector<double>;

/// Adds, for each day, the chance that she is in heat and open, over the classes that cycle then.
void add_class(double level, double part, const DayValues& share, const DayValues& taken,
               DayValues& heat_and_open) {
  DayValues open(share.size(), 1.0);
  for (std::size_t t = 0; t < share.size(); ++t) {
    if (t >= days_of_cycle) {
      const std::size_t before = t - days_of_cycle;
      const bool had_heat = share[before] >= level;
      open[t] = open[before] * (had_heat ? std::max(0.0, 1.0 - taken[before]) : 1.0);
    }
    if (share[t] >= level) heat_and_open[t] += part * open[t];
  }
}

}  // namespace

double ConceptionDays::to_buck(std::size_t buck) const {
  const DayValues& row = by_buck.at(buck);
  return std::accumulate(row.begin(), row.end(), 0.0);
}

double ConceptionDays::total() const {
  double sum = 0.0;
  for (std::size_t s = 0; s < by_buck.size(); ++s) sum += to_buck(s);
  return sum;
}

ConceptionDays conception_days(const DoeOdds& does, std::span<const BuckOdds> bucks,
                               std::span<const Exposure> exposures) {
  const ExposedDays exposed = exposed_days(does, bucks, exposures);
  const CyclingDays cycling(does, exposed.first, exposed.days);
  ConceptionDays answer{exposed.first,
                        std::vector<DayValues>(bucks.size(), DayValues(exposed.days, 0.0))};
  for_each_fertility(
      bucks, bucks_met(exposed), [&](const std::vector<bool>& fertile, double chance) {
        DayValues taken(exposed.days, 0.0), heat_and_open(exposed.days, 0.0);
        for (std::size_t s = 0; s < bucks.size(); ++s) {
          for (std::size_t t = 0; fertile[s] && t < exposed.days; ++t) {
            taken[t] += exposed.serves[s][t];
          }
        }
        double below = 0.0;
        for (const double level : cycling.levels) {
          add_class(level, (level - below) / days_of_cycle, cycling.share, taken, heat_and_open);
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

double all_open_probability(double infertile, std::span<const double> settle) {
  if (settle.empty() || infertile >= 1.0) return 1.0;
  double open = 1.0;
  for (const double p : settle) open *= std::max(0.0, 1.0 - p / (1.0 - infertile));
  return infertile + (1.0 - infertile) * open;
}

}  // namespace doewright
