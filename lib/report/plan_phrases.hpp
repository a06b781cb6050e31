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
/// EUR." Once the season has begun: begun_first() and begun_rest().
std::string first_words(const PlanView& p);
/// Does for whom every sire is to be avoided, and what the plan does about it; begins with a blank,
/// or nothing.
std::string overruled_words(const PlanView& p);
/// No plan keeps to the limits, or no proof; begins with a blank, or nothing.
std::string limits_words(const PlanView& p);
/// Default prices that decide; or nothing.
std::string close_words(const PlanView& p);

/// Results on record that are not plainly negative, of the sires to use and of those to call when one
/// fails; begins with a blank, or nothing.
std::string health_words(const PlanView& p);
/// "Johne's: positive, 2026-07-01: ask your veterinarian; ask for health papers: CAE (not recorded)", or
/// nothing.
std::string papers_words(const SireAccount& sire);
/// What he costs in this plan; not recorded is not 0.
std::string cost_words(const PlanView& p, const PlannedSire& planned);
/// The chance that all of his does stay open, and the loss; nothing where all were served before.
std::string all_open_phrase(const PlanView& p, const PlannedSire& planned);
/// Does that came back from him: he may settle nobody; or nothing.
std::string dud_words(const SireAccount& sire);

/// His days, and by when a hired buck must be here; nothing if he has no day.
std::string arrival_words(const PlanView& p, const SireAccount& sire);
/// A buck of another herd with terms own or blank (bought or lent) that comes to the farm: his costs hold no
/// days apart, but he needs them as a hired one does; or nothing.
std::string apart_first_words(const Herd& herd, const SireOffer& offer);
bool is_young(const SireAccount& sire);  ///< Under two years, or age not recorded.
/// A chance as a count of 100: "under 1", "12".
std::string hundred(double share);
/// His does in the plan that were not served already; is there one?
std::size_t new_does(const PlanView& p, std::size_t sire);
bool has_new_does(const PlanView& p, std::size_t sire);
/// He served a doe of the plan this season, or is with her, and his days have begun.
bool has_served(const PlanView& p, Animal sire);
/// What a young buck has before him with several does, or nothing.
std::string crowded_words(const PlanView& p, std::size_t sire);

/// In 100: settles by the end of his stay; of a doe served already, once the season has begun, in
/// kid as of today.
std::string settles_words(const PlanView& p, const PlannedPair& pair);
/// Whom to call when she comes back; "-": she was found in kid.
std::string fallback_words(const PlanView& p, const PlannedPair& pair, std::string_view nobody);

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
