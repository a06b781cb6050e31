// SPDX-License-Identifier: MIT
#include <doewright/timing/in_kid.hpp>

#include <cmath>

namespace doewright {

double after_no_return(double in_kid, double return_seen) {
  const double quiet = (1.0 - in_kid) * (1.0 - return_seen);
  return in_kid > 0.0 ? in_kid / (in_kid + quiet) : 0.0;
}

CheckOdds check_odds(PregnancyHow how) noexcept {
  if (how == PregnancyHow::scan) return {.sensitivity = 0.99, .specificity = 0.98};
  return {};
}

double after_check(double in_kid, CheckOdds odds, PregnancyResult result) {
  if (result == PregnancyResult::unclear) return in_kid;
  const bool positive = result == PregnancyResult::in_kid;
  const double if_pregnant = positive ? odds.sensitivity : 1.0 - odds.sensitivity;
  const double if_empty = positive ? 1.0 - odds.specificity : odds.specificity;
  const double both = in_kid * if_pregnant + (1.0 - in_kid) * if_empty;
  return both > 0.0 ? in_kid * if_pregnant / both : in_kid;
}

double infertile_if_all_returned(double infertile, double conception, unsigned k) {
  const double fertile = (1.0 - infertile) * std::pow(1.0 - conception, k);
  return infertile > 0.0 ? infertile / (infertile + fertile) : 0.0;
}

}  // namespace doewright
