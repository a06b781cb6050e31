// SPDX-License-Identifier: MIT
#pragma once
/// Expectation propagation: normal factors that stand for the likelihoods of all sites.
#include <vector>

#include <doewright/core/run.hpp>

#include "ep_posterior.hpp"
#include "ep_site.hpp"

namespace doewright {

struct EpResult {
  std::vector<EpFactor> factors;
  int rounds = 0;
  bool converged = true;
};

/// Every factor is set so that posterior-without-it times its likelihood has the mean and variance
/// of the posterior; all at once, round by round, until no factor moves by more than 1e-10 in units
/// of its scalar's posterior. Steps are shortened where the moves do not get smaller.
///
/// Where that does not settle in 400 rounds the last factors stand, and `converged` is false.
/// `posterior` is left with the factors of the result set. Source: Minka (2001), Expectation
/// propagation for approximate Bayesian inference; the scalar sites as in Rasmussen and Williams
/// (2006), Gaussian Processes for Machine Learning, section 3.6.
EpResult propagate(const std::vector<EpSite>& sites, EpPosterior& posterior, const Run& run);

/// Log of the probability of all evidence as the factors approximate it, but for a number that depends on
/// the prior alone (Rasmussen and Williams 2006, eq. 3.65).
double log_evidence(const std::vector<EpSite>& sites, const EpResult& fit, const EpPosterior& posterior);

/// The distribution of a site's scalar when its factor is taken out again; var <= 0: there is none.
struct EpCavity {
  double mean = 0.0, var = -1.0;
};
EpCavity cavity_of(double mean, double var, const EpFactor& factor);

}  // namespace doewright
