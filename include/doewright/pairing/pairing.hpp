// SPDX-License-Identifier: MIT
#pragma once
/// One doe to one sire: what is known, how close, which rules speak, in which order.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/core/reason.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/pairing/fitness.hpp>
#include <doewright/pairing/genetics.hpp>
#include <doewright/pairing/papers.hpp>
#include <doewright/timing/in_kid.hpp>

namespace doewright {

/// A rule that spoke: its name (INTERFACE, DEFINITIONS 11) and what it says. Only caution and
/// avoid.
struct RuleHit {
  std::string_view rule;
  Verdict verdict = Verdict::caution;
};

/// One fault in a kid of one pair.
struct PairFault {
  KidRisk risk;
  /// With owners' words taken in; empty where nothing is told of this fault.
  std::optional<double> affected_told;
  double affected = 0.0;     ///< Without them: the figure of that name.
  bool told_counts = false;  ///< affected_told is the larger: `risk` is the one with them.
  double cost = 0.0;         ///< Its share of -PairingMoney::faults; per doe.
};

/// Money of putting the doe to the sire, per doe this season (DEFINITIONS 7). The parts add up to
/// `value`; hire_cost of the sire is in none of them.
struct PairingMoney {
  double value = 0.0;
  double kids = 0.0, merit = 0.0, inbreeding = 0.0, faults = 0.0, open = 0.0, cost = 0.0;
  double value_per_kid = 0.0;  ///< Of a kid weaned.
};

/// Breeding values of the two for one trait, and what a unit of it is worth by the kid's fate.
struct PairMerit {
  TraitIndex trait = 0;
  double sire = 0.0, dam = 0.0;
  double sire_reliability = 0.0, dam_reliability = 0.0;
};

/// The account of one doe with one sire. Empty is "not worked out", never zero.
struct PairingAccount {
  Pairing pairing;
  std::size_t offer = 0;          ///< Index into PairingTable::sires.
  std::size_t rank = 0;           ///< 1 is first for this doe.
  Verdict verdict = Verdict::go;  ///< The strictest rule.
  KidInbreeding kid_inbreeding;
  double known = 0.0;  ///< C of the pair.
  std::vector<AncestorShare> common_ancestors;
  std::vector<Path> paths;        ///< Largest first; only after trace_paths() (pair_paths.hpp).
  double paths_left_out = 0.0;    ///< Kinship of paths that are not among them.
  double settle_probability = 0.0;  ///< She settles to him: his stay alone.
  double kids_per_kidding = 0.0;    ///< Weaned.
  double doe_cost = 0.0;
  std::optional<PairingMoney> money;
  std::vector<PairFault> faults;  ///< One for each of PairingTable::faults.
  std::vector<PairMerit> merit;   ///< One for each trait in use.
  /// Of all sires that are not `avoid` for her: the share of joint draws in which he is best, its
  /// standard error, and the expected loss against the best in hindsight. Empty: `avoid`.
  std::optional<double> chance_best, chance_best_se, regret;
  std::size_t draws = 0;
  std::uint64_t seed = 0;
  /// Sires level with him at the head of her list: no real difference (DEFINITIONS 7).
  std::vector<Animal> tied_with;
  std::vector<RuleHit> rules;
  std::vector<Reason> reasons;  ///< By effect, largest first.
  std::vector<Reason> questions;
};

/// A doe put forward, with every sire on offer: nobody is left out. Avoid last, then by value in
/// whole millionths, then by id in byte order.
struct DoeAccount {
  DoeForward doe;
  DoeFitness fitness;
  Known known;
  Fate fate;               ///< Of her kids; with keepers_wanted worked out.
  bool first_kidder = false;
  double litter = 0.0;     ///< Kids born, expected.
  std::vector<FaultEvidence> faults;  ///< One for each of PairingTable::faults.
  std::vector<PairingAccount> sires;  ///< In the order of rank.
  /// Prices that are defaults and at half or double of which another sire would come first; where
  /// no single one does it but all together do, those that bring him nearer.
  std::vector<std::string> close_at;
};

/// What is to be said of a sire on offer, whoever the doe.
struct SireAccount {
  SireOffer offer;  ///< As written; but blank terms of a living buck of the own herd are `own`.
  Known known;
  std::optional<double> age_months;  ///< Youngest possible, on the first day of his stay.
  std::optional<std::uint32_t>
      most_does;              ///< As given, else by his class (DEFINITIONS 8); empty: no limit.
  bool proven = false;        ///< A kid in the book, or settled >= 1 elsewhere.
  double hire_cost = 0.0;     ///< Once, if he gets any doe.
  double doe_cost = 0.0;      ///< Of each doe.
  double settle_probability = 0.0;
  Date from, to;              ///< His days with the does, blanks settled.
  int days_on_farm = 0;
  /// He died, or the herd's own buck left: only semen of his could be used. Then he is to be avoided
  /// for every doe (rule not-sires), and a plan puts no doe to him that he has not served already.
  bool gone = false;
  bool some_days_past = false;  ///< With days_left_only: some of his days are over, or all of them.
  /// Hire and doe costs for as many of the does put forward as he may serve, over the kiddings
  /// expected of them. Empty: no doe, or none settles.
  std::optional<double> cost_per_litter;
  /// From this season's services: is he a dud. served 0: nothing to judge by.
  InfertileOdds infertile;
  std::vector<Paper> papers;  ///< Empty where papers_needed is false.
  std::vector<HealthPositive> positives;  ///< Of every disease, of the herd's own buck too.
  std::vector<FaultEvidence> faults;  ///< One for each of PairingTable::faults.
  /// One for each of them: nothing is known of him that is not known of any buck of his breed
  /// (FaultFit::as_any_buck). Empty without does.
  std::vector<bool> as_any_buck;
  std::vector<Reason> questions;  ///< The questions that would change the answer most; at most two.
};

/// OtherPrice::price where all of them are varied together.
inline constexpr std::string_view all_default_prices = "all default prices";

/// Values at another price: one that is a default, halved or doubled, the others as they are; or all
/// that are defaults together, where there are two or more.
struct OtherPrice {
  std::string price;      ///< "kid.value_keep", "faults.KEY.cost", "traits.KEY.value"; or all.
  double factor = 1.0;    ///< 0.5 or 2.
  Grid<double> values;    ///< Doe by sire (PairingTable's lists): PairingMoney::value then.
};

struct PairingTable {
  std::vector<SireAccount> sires;
  std::vector<DoeAccount> does;
  std::vector<FaultIndex> faults;  ///< Faults in use.
  std::vector<Reason> one_animal;  ///< One ancestor under two names? Each once (each_once(), one_animal.hpp).
  std::vector<OtherPrice> other_prices;  ///< Only with ScoreOptions::other_prices.
  bool unknown_kinship_decides =
      false;  ///< An order or verdict rests on the assumed unknown_kinship.
  /// With keepers_wanted: the share kept of doe kids of does with kids_for = keep. Of all does put forward
  /// and all sires on offer, whatever the table is narrowed to; `doe_kept_given`: it was not worked out
  /// from this table alone.
  std::optional<double> doe_kept;
  bool doe_kept_given = false;
};

struct ScoreOptions {
  std::vector<Animal> only_does;   ///< Narrows to these; empty: all.
  std::vector<Animal> only_sires;
  /// Mid-season: a sire's days before as-of do not count for does that are not served by him this
  /// season (served_this_season()); where none is left, nothing settles. Costs of the sire stay whole.
  bool days_left_only = false;
  bool other_prices = false;  ///< Fill PairingTable::other_prices.
  /// With keepers_wanted: the share of doe kids kept, where it is known already (PairingTable::doe_kept).
  /// Empty: worked out from all does put forward and all sires on offer; a narrowed table costs the
  /// scoring of the whole one then.
  std::optional<double> doe_kept = std::nullopt;
  std::size_t draws = 2000;        ///< Joint worlds for chance_best; 0: not asked.
  std::uint64_t seed = 1;
};

/// Scores every doe of herd.does with every sire of herd.sires.
/// \pre every fit of `genetics` is possible() (see contradictions()).
/// \throws UsageError if an animal of the options is not put forward or not on offer; Cancelled.
/// Cost: the kinship block, the fits' pairs, draws x pairs x faults, and per pair the common
/// ancestors and the evidence.
DOEWRIGHT_EXPORT PairingTable score(const Herd& herd, const Genetics& genetics,
                                    const ScoreOptions& options = {}, const Run& run = {});

/// Names of assumed values (no source) that an order, a verdict or a price rests on: unknown_kinship,
/// faults whose entry says "assumed" and that cost something in some pair, default prices that decide.
DOEWRIGHT_EXPORT std::vector<std::string> assumed_in(const Herd& herd, const PairingTable& table);

}  // namespace doewright
