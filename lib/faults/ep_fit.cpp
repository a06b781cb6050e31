// SPDX-License-Identifier: MIT
#include "ep_fit.hpp"

#include <algorithm>
#include <cmath>

namespace doewright {

namespace {

constexpr int most_rounds = 400;
constexpr double settled = 1e-10;
constexpr double shortest_step = 0.05;

struct Move {
  EpFactor wanted;
  double size = 0.0;  ///< In units of the scalar's posterior.
};

/// Where a factor wants to go. With cavity (m, v) and derivatives g, h of log Z:
/// precision = -h / (1 + v h), shift = (g - h m) / (1 + v h).
Move move_of(const EpSite& site, const EpFactor& now, const EpPosterior& posterior) {
  const double mean = posterior.mean_of(site.row);
  const double var = posterior.variance_of(site.row);
  const EpCavity cavity = cavity_of(mean, var, now);
  if (!(cavity.var > 0.0)) return {now, 0.0};
  const EpDerivatives log_z = derivatives(site, cavity.mean, cavity.var);
  const double shrink = 1.0 + cavity.var * log_z.curve;
  if (!log_z.usable || !(shrink > 0.0)) return {now, 0.0};
  const EpFactor wanted{-log_z.curve / shrink, (log_z.slope - log_z.curve * cavity.mean) / shrink};
  const double size = std::max(std::abs(wanted.precision - now.precision) * var,
                               std::abs(wanted.shift - now.shift) * std::sqrt(var));
  return {wanted, size};
}

std::vector<EpFactor> stepped(const std::vector<EpFactor>& from, const std::vector<Move>& moves,
                              double step) {
  std::vector<EpFactor> to(from.size());
  for (std::size_t k = 0; k < from.size(); ++k) {
    to[k].precision = from[k].precision + step * (moves[k].wanted.precision - from[k].precision);
    to[k].shift = from[k].shift + step * (moves[k].wanted.shift - from[k].shift);
  }
  return to;
}

}  // namespace

EpCavity cavity_of(double mean, double var, const EpFactor& factor) {
  const double left = 1.0 - var * factor.precision;
  if (!(left > 0.0)) return {};
  return {(mean - var * factor.shift) / left, var / left};
}

EpResult propagate(const std::vector<EpSite>& sites, EpPosterior& posterior, const Run& run) {
  EpResult result;
  result.factors.assign(sites.size(), {});
  posterior.set(sites, result.factors);
  if (sites.empty()) return result;
  double step = 1.0, last_size = INFINITY;
  std::vector<Move> moves(sites.size());
  while (result.rounds < most_rounds) {
    throw_if_stopped(run);
    ++result.rounds;
    double size = 0.0;
    for (std::size_t k = 0; k < sites.size(); ++k) {
      moves[k] = move_of(sites[k], result.factors[k], posterior);
      size = std::max(size, moves[k].size);
    }
    if (size <= settled) return result;
    if (size > 0.95 * last_size) step = std::max(0.7 * step, shortest_step);
    last_size = size;
    std::vector<EpFactor> next = stepped(result.factors, moves, step);
    for (double shorter = step; !posterior.set(sites, next); shorter /= 2.0) {
      if (shorter < 1e-6) {  // nowhere to go: what was there before is positive definite
        posterior.set(sites, result.factors);
        result.converged = false;
        return result;
      }
      next = stepped(result.factors, moves, shorter / 2.0);
    }
    result.factors = std::move(next);
  }
  result.converged = false;
  return result;
}

/// Every factor stands for its likelihood but for a constant: the one that gives both the same integral
/// over the cavity. The integral of the prior times all factors is a normal one.
double log_evidence(const std::vector<EpSite>& sites, const EpResult& fit, const EpPosterior& posterior) {
  double sum = -0.5 * posterior.log_determinant();
  for (std::size_t k = 0; k < sites.size(); ++k) {
    const double mean = posterior.mean_of(sites[k].row);
    const EpFactor& factor = fit.factors[k];
    const EpCavity cavity = cavity_of(mean, posterior.variance_of(sites[k].row), factor);
    sum += 0.5 * factor.shift * mean;
    if (!(cavity.var > 0.0)) continue;
    const EpDerivatives truth = derivatives(sites[k], cavity.mean, cavity.var);
    if (!truth.usable) return -INFINITY;
    const double precision = 1.0 / cavity.var + factor.precision;
    const double shift = cavity.mean / cavity.var + factor.shift;
    sum += truth.log_z + 0.5 * std::log(cavity.var * precision) +
           0.5 * cavity.mean * cavity.mean / cavity.var - 0.5 * shift * shift / precision;
  }
  return sum;
}

}  // namespace doewright
