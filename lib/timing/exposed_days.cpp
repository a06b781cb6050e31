// SPDX-License-Identifier: MIT
#include "exposed_days.hpp"

#include <algorithm>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

constexpr std::int32_t most_days = 20000;
constexpr std::size_t most_unsure = 16;

bool is_chance(double value) {
  return value >= 0.0 && value <= 1.0;
}

void demand_chances(const DoeOdds& does, std::span<const BuckOdds> bucks) {
  bool good = is_chance(does.never);
  for (const double share : does.cycling) good = good && is_chance(share);
  for (const BuckOdds& buck : bucks) {
    good = good && is_chance(buck.conception) && is_chance(buck.infertile);
  }
  if (!good) throw UsageError("settling: a chance is outside of 0..1");
}

void find_span(std::span<const Exposure> exposures, std::size_t bucks, ExposedDays& exposed) {
  if (exposures.empty()) return;
  Date last = exposures.front().to;
  exposed.first = exposures.front().from;
  for (const Exposure& e : exposures) {
    if (e.buck >= bucks) throw UsageError("settling: an exposure to a buck not listed");
    if (e.to < e.from) throw UsageError("settling: an exposure ends before it begins");
    exposed.first = std::min(exposed.first, e.from);
    last = std::max(last, e.to);
  }
  const std::int64_t days = std::int64_t{last.day} - exposed.first.day + 1;
  if (days > most_days) throw UsageError("settling: over 20,000 days at once");
  exposed.days = static_cast<std::size_t>(days);
}

}  // namespace

double for_does_that_can(double conception, double never) {
  return never < 1.0 ? std::min(1.0, conception / (1.0 - never)) : 0.0;
}

ExposedDays exposed_days(const DoeOdds& does, std::span<const BuckOdds> bucks,
                         std::span<const Exposure> exposures) {
  demand_chances(does, bucks);
  ExposedDays exposed;
  find_span(exposures, bucks.size(), exposed);
  exposed.serves.assign(bucks.size(), std::vector<double>(exposed.days, 0.0));
  for (const Exposure& e : exposures) {
    const auto begin = exposed.serves[e.buck].begin() + (e.from - exposed.first);
    std::fill(begin, begin + (e.to - e.from + 1), 1.0);
  }
  for (std::size_t t = 0; t < exposed.days; ++t) {
    double with_her = 0.0;
    for (const auto& row : exposed.serves) with_her += row[t];
    if (with_her == 0.0) continue;
    for (std::size_t s = 0; s < bucks.size(); ++s) {
      exposed.serves[s][t] *= for_does_that_can(bucks[s].conception, does.never) / with_her;
    }
  }
  return exposed;
}

std::vector<bool> bucks_met(const ExposedDays& exposed) {
  std::vector<bool> met;
  for (const auto& row : exposed.serves) {
    met.push_back(std::any_of(row.begin(), row.end(), [](double c) { return c > 0.0; }));
  }
  return met;
}

void for_each_fertility(
    std::span<const BuckOdds> bucks, const std::vector<bool>& met,
    const std::function<void(const std::vector<bool>& fertile, double chance)>& use) {
  std::vector<std::size_t> unsure;
  std::vector<bool> fertile(bucks.size());
  for (std::size_t s = 0; s < bucks.size(); ++s) {
    fertile[s] = bucks[s].infertile < 1.0;
    if (met[s] && bucks[s].infertile > 0.0 && fertile[s]) unsure.push_back(s);
  }
  if (unsure.size() > most_unsure) {
    throw LimitError(
        "settling: a doe met more than 16 bucks of uncertain fertility; ask for fewer of them at "
        "once");
  }
  for (std::size_t state = 0; state < (std::size_t{1} << unsure.size()); ++state) {
    double chance = 1.0;
    for (std::size_t k = 0; k < unsure.size(); ++k) {
      const double f = bucks[unsure[k]].infertile;
      fertile[unsure[k]] = (state >> k & 1) == 0;
      chance *= fertile[unsure[k]] ? 1.0 - f : f;
    }
    use(fertile, chance);
  }
}

CyclingDays::CyclingDays(const DoeOdds& does, Date first, std::size_t days) : share(days) {
  for (std::size_t t = 0; t < days; ++t) {
    share[t] = cycling_on(does, first + static_cast<std::int32_t>(t));
  }
  levels = share;
  std::sort(levels.begin(), levels.end());
  levels.erase(std::unique(levels.begin(), levels.end()), levels.end());
}

}  // namespace doewright
