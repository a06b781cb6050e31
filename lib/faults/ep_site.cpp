// SPDX-License-Identifier: MIT
#include "ep_site.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <doewright/core/normal.hpp>

#include "threshold_normal.hpp"

namespace doewright {

namespace {

constexpr double smallest_chance = 1e-280;  // below it, quotients of densities mean nothing

double weighted(double z) {
  return std::isinf(z) ? 0.0 : z * normal_density(z);
}

/// Closed form: with s^2 = var + rest_var, d/dm [Phi(b) - Phi(a)] = (phi(a) - phi(b)) / s and
/// d^2/dm^2 = (a phi(a) - b phi(b)) / s^2, where a, b = (low - m) / s, (high - m) / s.
EpDerivatives derivatives_of(const LookLikelihood& look, double mean, double var) {
  const double whole = var + look.rest_var;
  const double sd = std::sqrt(whole);
  double z0 = look.constant, z1 = 0.0, z2 = 0.0;
  for (const LiabilityStretch& stretch : look.stretches) {
    const double low = (stretch.low - mean) / sd;
    const double high = (stretch.high - mean) / sd;
    z0 += stretch.weight * normal_between(low, high);
    z1 += stretch.weight * (normal_density(low) - normal_density(high)) / sd;
    z2 += stretch.weight * (weighted(low) - weighted(high)) / whole;
  }
  if (!(z0 > smallest_chance)) return {};
  const double slope = z1 / z0;
  return {slope, z2 / z0 - slope * slope, std::log(z0), true};
}

double log_likelihood(const CountLikelihood& count, double x) {
  const double shows = chance_of(count.unwanted, x, count.rest_var);
  const double clear = chance_of(count.wanted, x, count.rest_var) + (1.0 - count.detection) * shows;
  double sum = 0.0;
  if (count.affected > 0.0) sum += count.affected * std::log(std::max(shows, smallest_chance));
  if (count.clear > 0.0) sum += count.clear * std::log(std::max(clear, smallest_chance));
  return sum;
}

/// Moments by the trapezoidal rule over the stretch that holds the mass: for a smooth density that
/// vanishes at both ends its error falls faster than any power of the step. The stretch is found by
/// looking at a wide grid first and narrowing it.
EpDerivatives derivatives_of(const CountLikelihood& count, double mean, double var) {
  constexpr int points = 401;
  constexpr double depth = 40.0;  // exp(-40) of the peak is nothing
  const double sd = std::sqrt(var);
  double from = mean - 40.0 * sd, to = mean + 40.0 * sd;
  std::array<double, points> logs{};
  for (int round = 0; round < 4; ++round) {
    const double step = (to - from) / (points - 1);
    double peak = -INFINITY;
    for (int i = 0; i < points; ++i) {
      const double x = from + step * i;
      const double z = (x - mean) / sd;
      logs[static_cast<std::size_t>(i)] = log_likelihood(count, x) - 0.5 * z * z;
      peak = std::max(peak, logs[static_cast<std::size_t>(i)]);
    }
    const auto deep = [&](double value) { return value > peak - depth; };
    const auto first = std::find_if(logs.begin(), logs.end(), deep);
    const auto last = std::find_if(logs.rbegin(), logs.rend(), deep);
    const auto low = static_cast<double>(std::max<std::ptrdiff_t>(first - logs.begin() - 1, 0));
    const auto high =
        static_cast<double>(points - 1 - std::max<std::ptrdiff_t>(last - logs.rbegin() - 1, 0));
    if (round < 3) {
      to = from + step * high;
      from += step * low;
      continue;
    }
    double weight = 0.0, first_moment = 0.0, second_moment = 0.0;
    for (int i = 0; i < points; ++i) {
      const double density = std::exp(logs[static_cast<std::size_t>(i)] - peak);
      const double x = from + step * i - mean;
      weight += density;
      first_moment += density * x;
      second_moment += density * x * x;
    }
    const double shift = first_moment / weight;
    const double spread = second_moment / weight - shift * shift;
    constexpr double log_root_two_pi = 0.9189385332046727;  // 0.5 ln(2 pi)
    const double log_z = peak + std::log(weight * step / sd) - log_root_two_pi;
    return {shift / var, (spread / var - 1.0) / var, log_z, std::isfinite(shift)};
  }
  return {};
}

}  // namespace

EpDerivatives derivatives(const EpSite& site, double mean, double var) {
  return std::visit([&](const auto& likelihood) { return derivatives_of(likelihood, mean, var); },
                    site.likelihood);
}

}  // namespace doewright
