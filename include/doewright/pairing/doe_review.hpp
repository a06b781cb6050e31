// SPDX-License-Identifier: MIT
#pragma once
/// The does put forward, one by one: is she fit, and what else the book says for the keeper to
/// weigh. The answer is fitness() alone; what stands beside it moves no figure and is no score.
#include <cstddef>
#include <optional>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pairing/fitness.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

/// Her kiddings in kiddings.csv up to as-of. A blank is not counted, neither as good nor as bad.
struct DoeRecord {
  std::size_t kiddings = 0;
  std::size_t raised_known = 0;  ///< Kiddings with kids_raised.
  double raised = 0.0;           ///< Kids raised in these.
  /// Kids raised a kidding, drawn to the herd's mean as if by five kiddings of it:
  /// (raised + 5 mean) / (raised_known + 5). Empty if kids_raised is nowhere recorded. Source:
  /// common practice, no source.
  std::optional<double> raised_expected;
  std::size_t help_known = 0;  ///< Kiddings with `help`.
  std::size_t helped = 0;      ///< Of them: some or hard.
  std::size_t hard = 0;        ///< Of them: hard.
};

/// A doe put forward.
struct DoeReview {
  DoeForward doe;
  DoeFitness fitness;
  Date first_day;  ///< The first day she could be served; age and rest count on it.
  DoeRecord record;
  /// The day of her last kidding, where she is still within 90 days of it on first_day and kids of
  /// it were alive: she may still be raising them.
  std::optional<Date> raising_since;
  std::optional<Service> served;  ///< served_this_season().
  /// The last day of a service of an earlier season that no kidding followed.
  std::optional<Date> left_open;
  std::vector<FaultIndex> shows;  ///< Faults in use that were found in her.
};

struct DoesReview {
  std::vector<DoeReview> does;        ///< In the order of does.csv.
  std::optional<double> herd_raised;  ///< Kids raised a kidding, all kiddings of the book.
  std::size_t herd_kiddings = 0;      ///< With kids_raised.
};

/// Reviews every doe of herd.does. Cost: a few passes over the tables a doe.
DOEWRIGHT_EXPORT DoesReview review_does(const Herd& herd, const Offspring& offspring);

/// The service she already has this season: the latest one in services.csv since her last kidding
/// that has begun by as-of and whose last day is at most 200 days before it (a pen without a last
/// day is still running, or ran until the buck left the herd). Nothing if a check found her empty 20
/// days or more after its last day, or if she was seen back in heat after its last day and her
/// chance to be in kid is under failed_below (stands_in_kid()): it has failed, and she is to be put
/// to somebody.
DOEWRIGHT_EXPORT std::optional<Service> served_this_season(const Herd& herd,
                                                           const Offspring& offspring, Animal doe);

}  // namespace doewright
