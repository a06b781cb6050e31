// SPDX-License-Identifier: MIT
#pragma once
/// One piece of evidence on a liability: a likelihood of one scalar x = [mu +] w'a, and what it
/// does to a normal distribution of x.
#include <cstdint>
#include <utility>
#include <variant>
#include <vector>

#include "threshold_scale.hpp"

namespace doewright {

/// Weights of the nodes a scalar is made of, ascending nodes.
using EpRow = std::vector<std::pair<std::uint32_t, double>>;

/// One animal looked at: likelihood of x = constant + sum of weight P(low < x + r < high),
/// r ~ N(0, rest_var).
struct LookLikelihood {
  double constant = 0.0;
  std::vector<LiabilityStretch> stretches;
  double rest_var = 0.0;
};

/// A count of kids, each on its own given x: binomial in d p(x), d = `detection` and p the chance
/// of the `unwanted` stretches for N(x, rest_var). (d to the power `affected` drops out.)
struct CountLikelihood {
  double affected = 0.0, clear = 0.0;
  double detection = 1.0;
  std::vector<LiabilityStretch> unwanted, wanted;
  double rest_var = 0.0;
};

struct EpSite {
  EpRow row;
  std::variant<LookLikelihood, CountLikelihood> likelihood;
};

/// The log, and its first and second derivative with respect to the mean m, of
/// Z(m) = E[likelihood(x)], x ~ N(m, var). The moments of x under N(m, var) x likelihood are
/// m + var slope and var + var^2 curve.
struct EpDerivatives {
  double slope = 0.0, curve = 0.0;
  double log_z = 0.0;
  bool usable = false;  ///< False: Z is too small to tell.
};
EpDerivatives derivatives(const EpSite& site, double mean, double var);

/// Natural parameters of the normal factor that stands for a site: exp(-precision x^2/2 + shift x).
struct EpFactor {
  double precision = 0.0, shift = 0.0;
};

}  // namespace doewright
