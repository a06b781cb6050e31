// SPDX-License-Identifier: MIT
// Taking the factor of one site out of a normal distribution: its scalar x moves from N(M, V) to
// the cavity N(M', V'), and whatever has covariance c with x moves by c/V (M' - M) and, in
// variance, by (c/V)^2 (V' - V). The other factors stay, so the answer is of first order.
#include <cmath>

#include "threshold_fit.hpp"
#include "threshold_risk.hpp"
#include "threshold_state.hpp"

namespace doewright {

namespace {

/// A normal scalar before and after.
struct LiabilityShift {
  double mean = 0.0, var = 0.0;
};

/// What removing site k does to a scalar whose covariances with the nodes are `column`.
LiabilityShift shift_of(const ThresholdState& state, std::size_t k, const Eigen::VectorXd& column) {
  const EpSite& site = state.sites[k];
  double covariance = 0.0;
  for (const auto& [node, weight] : site.row) covariance += weight * column[node];
  const double mean = state.posterior.mean_of(site.row);
  const double var = state.posterior.variance_of(site.row);
  const EpCavity cavity = cavity_of(mean, var, state.fit.factors[k]);
  if (!(cavity.var > 0.0)) return {};
  const double part = covariance / var;
  return {part * (cavity.mean - mean), part * part * (cavity.var - var)};
}


std::vector<double> effect_on_mean(const ThresholdState& state, Animal asked) {
  const AskedLiabilities one(state, {&asked, 1}, false, {});
  std::vector<double> effects;
  for (std::size_t k = 0; k < state.sites.size(); ++k) {
    effects.push_back(shift_of(state, k, one.columns[0]).mean);
  }
  return effects;
}

std::vector<double> effect_on_shows(const ThresholdState& state, Animal asked) {
  const AskedLiabilities one(state, {&asked, 1}, true, {});
  const double mean = one.mean(0), var = one.covariance(0, 0);
  const double before = state.shows(asked, mean, var);
  const auto own_look = state.look_of.find(asked.position);
  const bool looked = own_look != state.look_of.end();
  std::vector<double> effects;
  for (std::size_t k = 0; k < state.sites.size(); ++k) {
    const LiabilityShift shift = shift_of(state, k, one.columns[0]);
    const double new_mean = mean + shift.mean, new_var = var + shift.var;
    const bool own = looked && own_look->second == k;
    const double after = own ? state.scale.unwanted(state.sex_of(asked), new_mean,
                                                      new_var + 1.0 - state.scale.heritability)
                             : state.shows(asked, new_mean, new_var);
    effects.push_back(after - before);
  }
  return effects;
}

std::vector<double> effect_on_pair(const ThresholdState& state, Pairing pairing) {
  const std::vector<Animal> both = {pairing.sire, pairing.doe};
  const AskedLiabilities pair(state, both, true, {});
  const std::span<const double> f = state.kinship.inbreeding();
  const double rest = kid_rest_variance(state.scale.heritability, f[pairing.sire.position],
                                        f[pairing.doe.position]);
  const double mean = (pair.mean(0) + pair.mean(1)) / 2.0;
  const double var =
      (pair.covariance(0, 0) + pair.covariance(1, 1) + 2.0 * pair.covariance(0, 1)) / 4.0;
  const auto risk = [&](double m, double v) {
    return state.scale.unwanted(LiabilitySex::either, m, v + rest);
  };
  const Eigen::VectorXd column = (pair.columns[0] + pair.columns[1]) / 2.0;
  std::vector<double> effects;
  for (std::size_t k = 0; k < state.sites.size(); ++k) {
    const LiabilityShift shift = shift_of(state, k, column);
    effects.push_back(risk(mean + shift.mean, var + shift.var) - risk(mean, var));
  }
  return effects;
}

}  // namespace

template <class Effects>
std::vector<double> ThresholdFit::over_parts(Effects effects) const {
  std::vector<double> result(first().sites.size(), 0.0);
  for (const Part& part : parts_) {
    const std::vector<double> one = effects(*part.state);
    for (std::size_t k = 0; k < one.size(); ++k) result[k] += part.weight * one[k];
  }
  return result;
}

std::vector<double> ThresholdFit::removal_effect(Animal asked) const {
  return over_parts([&](const ThresholdState& state) { return effect_on_mean(state, asked); });
}

std::vector<double> ThresholdFit::removal_effect_on_shows(Animal asked) const {
  return over_parts([&](const ThresholdState& state) { return effect_on_shows(state, asked); });
}

std::vector<double> ThresholdFit::removal_effect(Pairing pairing) const {
  return over_parts([&](const ThresholdState& state) { return effect_on_pair(state, pairing); });
}

}  // namespace doewright
