// SPDX-License-Identifier: MIT
#pragma once
/// Phrases of a plan that its text and its page share; safe to print.
#include <string>
#include <string_view>
#include <vector>

#include <doewright/report/season_reports.hpp>

namespace doewright {

/// A plan with all it is about, so that its parts need not be handed on one by one.
struct PlanView {
  const Herd& herd;
  const PairingTable& table;
  const SeasonPlan& plan;

  std::string sire(std::size_t s) const;  ///< Short name of a sire on offer.
  std::string doe(std::size_t d) const;
  std::string money(double amount) const;  ///< "119 EUR"
};

std::string count_words(std::size_t does);  ///< "1 doe"

/// "Use Alder for 8 does and Larch for 4: that costs 358 EUR, and the season is then worth 1905
/// EUR."
std::string first_words(const PlanView& p);
/// Does for whom every sire is to be avoided, and what the plan does about it; begins with a blank,
/// or nothing.
std::string overruled_words(const PlanView& p);
/// No plan keeps to the limits, or no proof; begins with a blank, or nothing.
std::string limits_words(const PlanView& p);
/// Default prices that decide; or nothing.
std::string close_words(const PlanView& p);

/// "ask for health papers: CAE (not recorded)", or nothing.
std::string papers_words(const SireAccount& sire);
/// What he costs in this plan; not recorded is not 0.
std::string cost_words(const PlanView& p, const PlannedSire& planned);
/// The chance that all of his does stay open, and the loss; nothing where all were served before.
std::string all_open_phrase(const PlanView& p, const PlannedSire& planned);
/// Does that came back from him: he may settle nobody; or nothing.
std::string dud_words(const SireAccount& sire);

/// His days, and by when a hired buck must be here; nothing if he has no day.
std::string arrival_words(const PlanView& p, const SireAccount& sire);
bool is_young(const SireAccount& sire);  ///< Under two years, or age not recorded.
/// A chance as a count of 100: "under 1", "12".
std::string hundred(double share);
/// Is there a doe of his that was not served already?
bool has_new_does(const PlanView& p, std::size_t sire);

/// What the column "if he fails" means.
std::string_view fallback_legend();
/// "set by you", "served", "overruled", "= Alder" (no real difference), or nothing.
std::string note_of(const PlanView& p, const PlannedPair& pair);
/// What the least bad costs, and what would be better; begins with "; ", or nothing.
std::string least_bad_words(const PlanView& p, const PairingAccount& pair);

/// A sire of an earlier plan by name, or "open".
std::string place_words(const PlanView& p, const std::optional<std::string>& sire);

/// "36 EUR less" than the plan, or "worth the same".
std::string less_words(const PlanView& p, const PlanChoice& other);

}  // namespace doewright
