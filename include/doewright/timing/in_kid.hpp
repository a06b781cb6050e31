// SPDX-License-Identifier: MIT
#pragma once
/// What is seen after service, and what it says: is she in kid, is he a dud. Chances, no diagnosis.
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/core/animal.hpp>
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

/// A check tells of a conception so many days before it or earlier; of a later one it says little (assumed).
inline constexpr int check_tells_after = 20;
/// Under this chance to be in kid her services have failed, as after two returns (assumed).
inline constexpr double failed_below = 0.05;

/// How a served doe stands today.
struct StandsInKid {
  double probability = 0.0;  ///< In kid: her services or stays, then returns, then checks. 0..1.
  /// She was not seen back in heat, but that says little: on this day, when she should have been,
  /// under four in five does cycle (`cycling`). She may have stopped cycling: test her. Empty: not
  /// so, seen back since, or tested since.
  std::optional<Date> quiet_on;
  double cycling = 1.0;
  /// The last clear check, 20 days or more after the first day on which she may have conceived: it
  /// tells of these services, of the last days of a long stay perhaps not yet.
  std::optional<PregnancyCheck> check;
  bool with_buck = false;  ///< A pen of hers is still running as of today.

  /// That check found her empty, and under even chances (.5) she is in kid all the same: by an
  /// error of the check, or by a buck she has been with since.
  DOEWRIGHT_EXPORT bool found_empty() const noexcept;
  /// That check found her in kid, and the chance that she is is even or more.
  DOEWRIGHT_EXPORT bool found_in_kid() const noexcept;
};

/// Empty: no service in the last 200 days, or she has kidded since.
///
/// A check (check_odds()) says how she was on its day: a conception 20 days before it or earlier
/// shows, a later one reads as if she were open. So a check counts while a pen is still running,
/// and what she may conceive after an empty one is as likely as she was open then. Where the last
/// day of her services is 20 days back, that is after_check().
///
/// No return seen: 24 and 45 days after a service seen, or after the last day of a stay with a buck
/// if none was seen, after_no_return() with heat_noticed times the share of does cycling then;
/// after a stay the mean share over the days of that cycle. That the doe still open is likelier one
/// that does not cycle at all is not in it.
DOEWRIGHT_EXPORT std::optional<StandsInKid> stands_in_kid(const Herd& herd,
                                                          const Offspring& offspring, Animal doe);

/// Does served by a buck this season, and the chance that he is infertile.
struct InfertileOdds {
  std::uint32_t served = 0;    ///< Does of which something can be told: in kid, back, or not seen back.
  std::uint32_t returned = 0;  ///< Of them: back in heat, served again, or found empty.
  double probability = 0.0;    ///< He is infertile, 0..1.
  bool call_fallback = false;  ///< probability above .5: call the fallback buck now.
  std::vector<Animal> proved_in_kid;  ///< Does proved in kid to him: with one of them he is no dud.
};

/// f / (f + (1-f) (1-c)^k): k does served and all of them back. \pre 0 <= f, c <= 1.
DOEWRIGHT_EXPORT double infertile_if_all_returned(double infertile, double conception, unsigned k);

/// From services.csv: does with a day with him in the last 200, each since her kidding before. Bayes'
/// rule over the does: f, times what was seen of each if he settles nobody, against 1 - f, times the
/// same if he settles c a heat. What all does share is left to f; does that never settle (b) are
/// averaged over doe by doe, c' = min(1, c / (1 - b)) for the others:
///
/// in kid     a check in kid 20 days after it or later where he alone served her last heat (or was
///            there in the stays since); a kidding, by the sire recorded, else 140 to 160 days after
///            his days and no other buck's. Wins over heats seen: some does in kid stand again.
///            An infertile buck cannot have done it: probability 0.
/// a return   a heat seen, or a service by any buck, 5 days after a heat he served or later (one
///            cycle or several: that those between went by unseen is as likely either way): that
///            heat failed, 1 - c'. With one failed heat a doe this is infertile_if_all_returned().
/// a stay     a heat seen (or served by anyone) on day t, in it or after it: his heats on t - 21,
///            t - 42 ... in the stay failed, product of (1 - c') over them, as f of conception_days()
///            (settling.hpp) has it, does that do not cycle on those days counted in. None of these
///            days in the stay, as in its first cycle: nothing is told by it.
/// empty      a check that found her empty: 1 - the chance that he had settled her by 20 days before
///            it, from the last heat seen on: c' of a heat he served and h(t) of whose_kid() in the
///            stay after it; the sum of conception_days() over a stay of which no heat was seen.
/// not back   24 days after her last day with him: q if she is open, q = 1 - e_1, from day 45
///            (1 - e_1)(1 - e_2), e_j as in stands_in_kid(). Later than 150 days after nothing is
///            told by it. Under 24 days, and in a running stay: not judged yet.
///
/// A heat or a day that another buck shared: c' over their number, the other's part not counted.
/// `returned`: at least once, whatever came after. Checks count as right.
/// \param conception  His chance per heat; \param infertile  the chance before anything was seen.
DOEWRIGHT_EXPORT InfertileOdds infertile_odds(const Herd& herd, const Offspring& offspring,
                                              Animal sire, double conception, double infertile);

}  // namespace doewright
