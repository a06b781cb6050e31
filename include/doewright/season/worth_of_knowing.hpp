// SPDX-License-Identifier: MIT
#pragma once
/// What it is worth to find something out before the season is decided (DEFINITIONS 7).
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/pairing/genetics.hpp>
#include <doewright/season/plan.hpp>

namespace doewright {

enum class FindOut : std::uint8_t {
  gene_test,  ///< One gene test of the sire.
  kids,       ///< A look at some of his earlier kids, out of dams of which nothing is known.
  papers,     ///< More of his papers: an upper bound, of inbreeding alone.
};
DOEWRIGHT_EXPORT std::string_view word(FindOut what) noexcept;

/// One answer that may come.
struct PossibleAnswer {
  unsigned found = 0;          ///< Copies that the laboratory reads; affected kids.
  double chance = 0.0;         ///< By all that is known now; the answers add up to 1.
  std::int64_t objective = 0;  ///< Of the best plan after it, millionths.
  /// Of the plan that is best now, if it were kept to all the same: also where a pair of it would
  /// then be `avoid`. Over all answers it averages to what the plan is worth now; for faults of
  /// many genes only nearly, as far as their fits are approximate.
  std::int64_t kept = 0;
};

struct WorthOfKnowing {
  std::size_t sire = 0;  ///< Position in the table.
  FindOut what = FindOut::gene_test;
  std::optional<FaultIndex> fault;  ///< Empty: papers.
  unsigned kids = 0;                ///< Kids looked at.
  /// Money, not negative, before what it costs to find out. Faults of one gene: mean of the best
  /// plans over the answers, less the best plan now. Of many genes: mean of (objective - kept),
  /// which is the same but for the error of the fits, and free of it. Papers: at most so much.
  double worth = 0.0;
  std::vector<PossibleAnswer> answers;  ///< Empty: papers.
};

struct FindOutOptions {
  std::size_t most_questions = 4;  ///< Of each kind: those with most money behind them.
  unsigned kids = 5;               ///< At most so many earlier kids are looked at.
  std::uint64_t seed = 1;
  SolveOptions effort;
};

/// Worth of one gene test of a sire (faults of one gene; not where he was tested), of looking at up
/// to `kids` earlier kids of a proven sire, and an upper bound for more papers of a sire with
/// blanks; the largest first, none under half a unit of money. The plan, whom to hire included, is
/// made anew after every answer, with every fault chance of every animal that the answer bears on
/// fitted anew.
///
/// Chances of the answers: DEFINITIONS 3 (test error) and, for kids, the counts of DEFINITIONS 3
/// and 4. Exact where the fault's fit is. For threshold faults by quadrature over the approximate
/// liability of the sire, the incidence taken as known. A limit (lethal) can cost more than what it
/// forbids would: where the mean is below nothing, 0.
///
/// Empty where the plan is not feasible. Cost: for each question two to `kids` + 1 refits of one
/// fault, revaluations and solve()s.
DOEWRIGHT_EXPORT std::vector<WorthOfKnowing> worth_of_knowing(
    const Herd& herd, const Genetics& genetics, const PairingTable& table, const SeasonPlan& plan,
    const FindOutOptions& options = {}, const Run& run = {});

}  // namespace doewright
