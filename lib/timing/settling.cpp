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

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

constexpr std::int32_t most_days = 20000;
constexpr std::size_t most_unsure = 16;

using DayValues = std::vector<double>;

bool is_chance(double value) {
  return value >= 0.0 && value <= 1.0;
}

void demand_chances(const DoeOdds& does, std::span<const BuckOdds> bucks) {
  bool good = is_chance(does.never);
  for (const double share : does.cycling) good = good && is_chance(share);
  for (const BuckOdds& buck : bucks) {
    good = good && is_chance(buck.conception) && is_chance(buck.infertile);
  }
  if (!good) throw UsageError("conception_days: a chance is outside of 0..1");
}

/// Days from the first exposed to the last.
struct DaySpan {
  Date first;
  std::size_t days = 0;
};

DaySpan span_of(std::span<const Exposure> exposures, std::size_t bucks) {
  DaySpan span;
  if (exposures.empty()) return span;
  Date last = exposures.front().to;
  span.first = exposures.front().from;
  for (const Exposure& e : exposures) {
    if (e.buck >= bucks) throw UsageError("conception_days: an exposure to a buck not listed");
    if (e.to < e.from) throw UsageError("conception_days: an exposure ends before it begins");
    span.first = std::min(span.first, e.from);
    last = std::max(last, e.to);
  }
  const std::int64_t days = std::int64_t{last.day} - span.first.day + 1;
  if (days > most_days) throw UsageError("conception_days: over 20,000 days at once");
  span.days = static_cast<std::size_t>(days);
  return span;
}

/// serves[buck][day] when every buck is fertile; a day's bucks share her.
std::vector<DayValues> served_days(const DoeOdds& does, std::span<const BuckOdds> bucks,
                                   std::span<const Exposure> exposures, const DaySpan& span) {
  std::vector<DayValues> serves(bucks.size(), DayValues(span.days, 0.0));
  for (const Exposure& e : exposures) {
    const auto begin = serves[e.buck].begin() + (e.from - span.first);
    std::fill(begin, begin + (e.to - e.from + 1), 1.0);
  }
  for (std::size_t t = 0; t < span.days; ++t) {
    double with_her = 0.0;
    for (const DayValues& row : serves) with_her += row[t];
    if (with_her == 0.0) continue;
    for (std::size_t s = 0; s < bucks.size(); ++s) {
      const double settling = std::min(1.0, bucks[s].conception / (1.0 - does.never));
      serves[s][t] *= settling / with_her;
    }
  }
  return serves;
}

/// Adds weight x the chance of every day to the answer, for one state of the bucks' fertility.
class StateOfBucks {
 public:
  StateOfBucks(const DoeOdds& does, const DaySpan& span) : share_(span.days) {
    for (std::size_t t = 0; t < span.days; ++t) {
      share_[t] = cycling_on(does, span.first + static_cast<std::int32_t>(t));
    }
    levels_ = share_;
    std::sort(levels_.begin(), levels_.end());
    levels_.erase(std::unique(levels_.begin(), levels_.end()), levels_.end());
  }

  void add(const std::vector<DayValues>& serves, const std::vector<bool>& fertile, double weight,
           std::vector<DayValues>& answer) {
    DayValues taken(share_.size(), 0.0);
    for (std::size_t s = 0; s < serves.size(); ++s) {
      if (!fertile[s]) continue;
      for (std::size_t t = 0; t < taken.size(); ++t) taken[t] += serves[s][t];
    }
    DayValues heat_and_open(share_.size(), 0.0);  // over the classes that cycle on day t
    double below = 0.0;
    for (const double level : levels_) {
      add_class(level, (level - below) / days_of_cycle, taken, heat_and_open);
      below = level;
    }
    for (std::size_t s = 0; s < serves.size(); ++s) {
      if (!fertile[s]) continue;
      for (std::size_t t = 0; t < taken.size(); ++t) {
        answer[s][t] += weight * serves[s][t] * heat_and_open[t];
      }
    }
  }

 private:
  void add_class(double level, double part, const DayValues& taken, DayValues& heat_and_open) {
    open_.assign(share_.size(), 1.0);
    for (std::size_t t = 0; t < share_.size(); ++t) {
      if (t >= days_of_cycle) {
        const std::size_t before = t - days_of_cycle;
        const bool had_heat = share_[before] >= level;
        open_[t] = open_[before] * (had_heat ? std::max(0.0, 1.0 - taken[before]) : 1.0);
      }
      if (share_[t] >= level) heat_and_open[t] += part * open_[t];
    }
  }

  DayValues share_, levels_, open_;
};

std::vector<std::size_t> unsure_bucks(std::span<const BuckOdds> bucks,
                                      const std::vector<DayValues>& serves) {
  std::vector<std::size_t> unsure;
  for (std::size_t s = 0; s < bucks.size(); ++s) {
    const bool met =
        std::any_of(serves[s].begin(), serves[s].end(), [](double c) { return c > 0; });
    if (met && bucks[s].infertile > 0.0 && bucks[s].infertile < 1.0) unsure.push_back(s);
  }
  if (unsure.size() > most_unsure) {
    throw LimitError(
        "settling: a doe met more than 16 bucks of uncertain fertility; ask for fewer "
        "of them at once");
  }
  return unsure;
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
  demand_chances(does, bucks);
  const DaySpan span = span_of(exposures, bucks.size());
  ConceptionDays answer{span.first,
                        std::vector<DayValues>(bucks.size(), DayValues(span.days, 0.0))};
  if (span.days == 0 || does.never >= 1.0) return answer;

  const std::vector<DayValues> serves = served_days(does, bucks, exposures, span);
  const std::vector<std::size_t> unsure = unsure_bucks(bucks, serves);
  std::vector<bool> fertile(bucks.size());
  for (std::size_t s = 0; s < bucks.size(); ++s) fertile[s] = bucks[s].infertile < 1.0;
  StateOfBucks states(does, span);
  for (std::size_t state = 0; state < (std::size_t{1} << unsure.size()); ++state) {
    double weight = 1.0 - does.never;
    for (std::size_t k = 0; k < unsure.size(); ++k) {
      const bool infertile = (state >> k & 1) != 0;
      const double f = bucks[unsure[k]].infertile;
      fertile[unsure[k]] = !infertile;
      weight *= infertile ? f : 1.0 - f;
    }
    states.add(serves, fertile, weight, answer.by_buck);
  }
  return answer;
}

double all_open_probability(double infertile, std::span<const double> settle) {
  if (settle.empty() || infertile >= 1.0) return 1.0;
  double open = 1.0;
  for (const double p : settle) open *= std::max(0.0, 1.0 - p / (1.0 - infertile));
  return infertile + (1.0 - infertile) * open;
}

}  // namespace doewright
