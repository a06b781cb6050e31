// SPDX-License-Identifier: MIT
#pragma once
/// Sentences of a plan, the same in text, JSON and CSV; safe to print, without a full stop.
#include <cstdint>
#include <string>
#include <vector>

#include <doewright/report/season_reports.hpp>

namespace doewright {

/// The account of a pair that the plan has put together.
const PairingAccount& account_of(const PairingTable& table, const PlannedPair& pair);

/// Why she is left open.
std::string open_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                       const OpenDoe& open);

/// Served already by a sire for whom the limits leave no place: not to be listed as left open.
bool served_beyond_limits(const SeasonPlan& plan, const OpenDoe& open);

/// The pair is to be avoided: of a doe whom he served before he left, for more than that he is gone.
bool is_avoided(const PairingTable& table, const SeasonPlan& plan, const PlannedPair& pair);

/// A chance as a count of 100 that never reads as certain: "over 99".
std::string almost_hundred(double share);

/// What is to be known of a pair: locked, served, overruled, else the first reason of its account.
std::string pair_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                       const PlannedPair& pair);

/// What kind of sire would do better by a doe for whom every sire is `avoid`.
std::string better_words(const PairingAccount& pair);

/// A limit as the keeper wrote it: "2 pens".
std::string limit_words(const Herd& herd, PlanLimit limit);

/// The sires of a plan by short name: "Alder and Larch"; "no sire".
std::string sire_names(const Herd& herd, const PairingTable& table,
                       const std::vector<std::size_t>& sires);

/// "a, b and c".
std::string listed_words(const std::vector<std::string>& parts, std::string_view last = "and");

/// " Too close to call at these prices: at half of kid.value_keep use Larch instead. Set ..."
std::string price_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan);

/// "of 4 does he served long enough ago to tell, 1 came back: 3 in 100 that he settles nobody";
/// nothing where none can be judged yet.
std::string judged_words(const SireAccount& sire);

/// " The whole season rests on Oak, who is unproven: ... With Oak and Elm it is worth 35 EUR less."
std::string one_unproven_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan);

/// "Leave every doe open: ..." with the reason, the least bad and what would be better.
std::string all_open_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan);

/// Were all his days before as-of?
bool days_over(const Herd& herd, const SireAccount& sire);

/// Whole millionths as money.
double money_of(std::int64_t millionths);

/// A doe whose place is another than in an earlier plan. Empty sire: open.
struct PlanChange {
  std::string doe;
  std::optional<std::string> before, now;
  bool was_there = true, is_there = true;  ///< Put forward then, now.
};
std::vector<PlanChange> changes_since(const Herd& herd, const PairingTable& table,
                                      const SeasonPlan& plan, const EarlierPlan& since);

void plan_as_json(Sink& out, const Preamble& preamble, const Herd& herd, const PairingTable& table,
                  const SeasonPlan& plan, const PlanDates& dates, const EarlierPlan* since,
                  std::span<const WorthOfKnowing> worth);
void plan_as_text(Sink& out, const Preamble& preamble, const Herd& herd, const PairingTable& table,
                  const SeasonPlan& plan, const PlanDates& dates, const EarlierPlan* since,
                  std::span<const WorthOfKnowing> worth);

}  // namespace doewright
