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

}  // namespace

std::vector<double> ThresholdFit::removal_effect(Animal asked) const {
  const AskedLiabilities one(*state_, {&asked, 1}, false, {});
  std::vector<double> effects;
  for (std::size_t k = 0; k < state_->sites.size(); ++k) {
    effects.push_back(shift_of(*state_, k, one.columns[0]).mean);
  }
  return effects;
}

std::vector<double> ThresholdFit::removal_effect_on_shows(Animal asked) const {
  const AskedLiabilities one(*state_, {&asked, 1}, true, {});
  const double mean = one.mean(0), var = one.covariance(0, 0);
  const double before = state_->shows(asked, mean, var);
  const auto own_look = state_->look_of.find(asked.position);
  const bool looked = own_look != state_->look_of.end();
  std::vector<double> effects;
  for (std::size_t k = 0; k < state_->sites.size(); ++k) {
    const LiabilityShift shift = shift_of(*state_, k, one.columns[0]);
    const double new_mean = mean + shift.mean, new_var = var + shift.var;
    const bool own = looked && own_look->second == k;
    const double after = own ? state_->scale.unwanted(state_->sex_of(asked), new_mean,
                                                      new_var + 1.0 - state_->scale.heritability)
                             : state_->shows(asked, new_mean, new_var);
    effects.push_back(after - before);
  }
  return effects;
}

std::vector<double> ThresholdFit::removal_effect(Pairing pairing) const {
  const std::vector<Animal> both = {pairing.sire, pairing.doe};
  const AskedLiabilities pair(*state_, both, true, {});
  const std::span<const double> f = state_->kinship.inbreeding();
  const double rest = kid_rest_variance(state_->scale.heritability, f[pairing.sire.position],
                                        f[pairing.doe.position]);
  const double mean = (pair.mean(0) + pair.mean(1)) / 2.0;
  const double var =
      (pair.covariance(0, 0) + pair.covariance(1, 1) + 2.0 * pair.covariance(0, 1)) / 4.0;
  const auto risk = [&](double m, double v) {
    return state_->scale.unwanted(LiabilitySex::either, m, v + rest);
  };
  const Eigen::VectorXd column = (pair.columns[0] + pair.columns[1]) / 2.0;
  std::vector<double> effects;
  for (std::size_t k = 0; k < state_->sites.size(); ++k) {
    const LiabilityShift shift = shift_of(*state_, k, column);
    effects.push_back(risk(mean + shift.mean, var + shift.var) - risk(mean, var));
  }
  return effects;
}

}  // namespace doewright
