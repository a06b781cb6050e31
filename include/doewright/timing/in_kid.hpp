// SPDX-License-Identifier: MIT
#pragma once
/// What is seen after service, and what it says: is she in kid, is he a dud. Chances, no diagnosis.
#include <cstdint>
#include <optional>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

/// In kid, given that no return to heat was seen: p / (p + (1-p)(1-e)), where e is the chance that
/// a return would have been seen. \pre both in 0..1. p = 1, e = 1 gives 1; p = 0 gives 0.
DOEWRIGHT_EXPORT double after_no_return(double in_kid, double return_seen);

/// How good a check is: chance that a pregnant doe reads in kid, and an empty one empty.
struct CheckOdds {
  double sensitivity = 0.94;
  double specificity = 0.80;
};

/// Blood, milk, hand and not recorded .94 / .80 (a farm kit for blood at day 28, n = 150 Damascus
/// goats; for the others assumed); scan .99 / .98 (assumed).
DOEWRIGHT_EXPORT CheckOdds check_odds(PregnancyHow how) noexcept;

/// In kid after a check with this result; `unclear` changes nothing. \pre 0 <= in_kid <= 1.
DOEWRIGHT_EXPORT double after_check(double in_kid, CheckOdds odds, PregnancyResult result);

/// How a served doe stands today.
struct StandsInKid {
  double probability = 0.0;  ///< In kid: her services or stays, then returns, then checks. 0..1.
  /// She was not seen back in heat, but that says little: on this day, when she should have been,
  /// under four in five does cycle (`cycling`). She may have stopped cycling: test her. Empty: not
  /// so, seen back since, or tested since.
  std::optional<Date> quiet_on;
  double cycling = 1.0;
};

/// Empty: no service in the last 200 days, or she has kidded since.
///
/// No return seen: 24 and 45 days after a service seen, or after the last day of a stay with a buck
/// if none was seen, after_no_return() with heat_noticed times the share of does cycling then; after
/// a stay the mean share over the days of that cycle. That the doe still open is likelier one that
/// does not cycle at all is not in it.
DOEWRIGHT_EXPORT std::optional<StandsInKid> stands_in_kid(const Herd& herd,
                                                          const Offspring& offspring, Animal doe);

/// Does served by a buck this season, and the chance that he is infertile.
struct InfertileOdds {
  std::uint32_t served = 0;    ///< Does served long enough ago that a return could have been seen.
  std::uint32_t returned = 0;  ///< Of them: back in heat, served again, or found empty.
  double probability = 0.0;    ///< He is infertile, 0..1.
  bool call_fallback = false;  ///< probability above .5: call the fallback buck now.
};

/// f / (f + (1-f) (1-c)^k): k does served and all of them back. \pre 0 <= f, c <= 1.
DOEWRIGHT_EXPORT double infertile_if_all_returned(double infertile, double conception, unsigned k);

/// From services.csv: his services of the last 150 days before as-of (no kids of them can be
/// there), one judged a doe: her last by him that is at least 24 days old.
///
/// Returned: a heat or another service 5 days after it or later (one cycle on or two; that earlier
/// ones went by unseen is as likely whoever he is, so that they cancel), or a check that found her
/// empty; settled: a check in kid at least 20 days after it, which nobody infertile brings about;
/// else not seen back, as likely as q if he is infertile and c + (1-c) q if not: q = (1 - e_1) from
/// day 24, (1 - e_1)(1 - e_2) from day 45, as stands_in_kid() looks for returns, e_j = heat_noticed
/// times the share cycling 21 j days later. Stays longer than a day are not judged: no heat is known.
/// \param conception  His chance per heat; \param infertile  the chance before anything was seen.
DOEWRIGHT_EXPORT InfertileOdds infertile_odds(const Herd& herd, Animal sire, double conception,
                                              double infertile);

}  // namespace doewright
