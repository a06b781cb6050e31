// SPDX-License-Identifier: MIT
#include "threshold_scale.hpp"

#include <cmath>
#include <limits>

#include <doewright/core/normal.hpp>

#include "threshold_normal.hpp"

namespace doewright {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

/// t_k = Phi^-1(1 - K_k), from the upper tail.
double border_at(double share_above) {
  return -normal_quantile(share_above);
}

/// Borders of one sex: its own list where it is complete; a shorter one gives its first border and
/// keeps the distances of the list for both sexes.
std::vector<double> borders_of(const std::vector<double>& both, const std::vector<double>& own) {
  std::vector<double> borders;
  for (const double share : own.size() == both.size() ? own : both) {
    borders.push_back(border_at(share));
  }
  if (own.empty() || own.size() == both.size()) return borders;
  const double shift = border_at(own.front()) - borders.front();
  for (double& border : borders) border += shift;
  return borders;
}

/// Share of base animals beyond border k on its unwanted side, the mean of both sexes.
double share_beyond(const ThresholdScale& scale, std::size_t k, bool above) {
  const double side = above ? -1.0 : 1.0;
  return (normal_below(side * scale.doe[k]) + normal_below(side * scale.buck[k])) / 2.0;
}

/// K of the border of the wanted grade that has the larger unwanted share.
double larger_unwanted_share(const ThresholdScale& scale) {
  double share = 0.0;
  if (scale.wanted < scale.doe.size()) share = share_beyond(scale, scale.wanted, true);
  if (scale.wanted > 0) share = std::fmax(share, share_beyond(scale, scale.wanted - 1, false));
  return share;
}

LiabilityStretch stretch_of(const std::vector<double>& borders, std::size_t grade, double weight) {
  return {grade == 0 ? -infinite : borders[grade - 1],
          grade == borders.size() ? infinite : borders[grade], weight};
}

}  // namespace

LiabilitySex liability_sex(Sex sex) noexcept {
  switch (sex) {
    case Sex::doe:
    case Sex::intersex:
      return LiabilitySex::doe;
    case Sex::buck:
    case Sex::wether:
      return LiabilitySex::buck;
    case Sex::unknown:
      break;
  }
  return LiabilitySex::either;
}

ThresholdScale::ThresholdScale(const FaultModel& fault)
    : heritability(fault.heritability),
      wanted(fault.wanted),
      doe(borders_of(fault.incidence_above, fault.incidence_above_doe)),
      buck(borders_of(fault.incidence_above, fault.incidence_above_buck)) {
  if (!fault.incidence_worth) return;
  const double share = larger_unwanted_share(*this);
  const double density = normal_density(border_at(share));
  mu_var = share * (1.0 - share) / ((*fault.incidence_worth + 1.0) * density * density);
  const double wider = std::sqrt(1.0 + mu_var);
  for (double& border : doe) border *= wider;
  for (double& border : buck) border *= wider;
}

std::vector<LiabilityStretch> ThresholdScale::grade(std::size_t grade, LiabilitySex sex) const {
  if (sex == LiabilitySex::doe) return {stretch_of(doe, grade, 1.0)};
  if (sex == LiabilitySex::buck) return {stretch_of(buck, grade, 1.0)};
  return {stretch_of(doe, grade, 0.5), stretch_of(buck, grade, 0.5)};
}

std::vector<LiabilityStretch> ThresholdScale::unwanted(LiabilitySex sex) const {
  std::vector<LiabilityStretch> outside;
  for (const LiabilityStretch& inside : grade(wanted, sex)) {
    if (inside.low > -infinite) outside.push_back({-infinite, inside.low, inside.weight});
    if (inside.high < infinite) outside.push_back({inside.high, infinite, inside.weight});
  }
  return outside;
}

double ThresholdScale::unwanted(LiabilitySex sex, double mean, double var) const {
  const double sd = std::sqrt(var);
  const auto beyond = [&](const std::vector<double>& borders) {
    double chance = 0.0;
    if (wanted > 0) chance += normal_below((borders[wanted - 1] - mean) / sd);
    if (wanted < borders.size()) chance += normal_below((mean - borders[wanted]) / sd);
    return chance;
  };
  if (sex == LiabilitySex::doe || doe == buck) return beyond(doe);
  if (sex == LiabilitySex::buck) return beyond(buck);
  return (beyond(doe) + beyond(buck)) / 2.0;
}

std::vector<double> ThresholdScale::grades(LiabilitySex sex, double mean, double var) const {
  std::vector<double> chances;
  for (std::size_t k = 0; k <= doe.size(); ++k) {
    chances.push_back(chance_of(grade(k, sex), mean, var));
  }
  return chances;
}

double chance_of(const std::vector<LiabilityStretch>& stretches, double mean, double var) {
  const double sd = std::sqrt(var);
  double chance = 0.0;
  for (const LiabilityStretch& stretch : stretches) {
    chance +=
        stretch.weight * normal_between((stretch.low - mean) / sd, (stretch.high - mean) / sd);
  }
  return chance;
}

}  // namespace doewright
