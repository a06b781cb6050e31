// SPDX-License-Identifier: MIT
#pragma once
/// The season's plan of a herd: which sires to use, who goes to whom, who steps in, what it costs,
/// and what could go wrong with it.
///
///     ScoreOptions mid_season;
///     mid_season.days_left_only = true;  // what is past counts for does already served
///     const PairingTable table = score(herd, genetics, mid_season);
///     const SeasonPlan plan = make_plan(herd, table);
///
/// Does and sires are positions in the table's two lists.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/season/buck_gaps.hpp>
#include <doewright/season/plan_problem.hpp>
#include <doewright/season/solve.hpp>
#include <doewright/timing/in_kid.hpp>

namespace doewright {

struct PlanOptions {
  std::size_t alternatives = 3;  ///< Next best plans.
  SolveOptions effort;
};

/// How a doe stands before anything is chosen for her.
enum class DoeStanding : std::uint8_t {
  free,       ///< Any sire of hers that is not `avoid`.
  overruled,  ///< Every sire is `avoid`: hers are allowed all the same, and the plan says so.
  locked,     ///< The keeper's own sire for her, `avoid` or not.
  served,     ///< Already served this season: what is done stays done.
  on_hold,    ///< Waits, not this year, or gone: she stays open.
  not_there,  ///< Locked to, or served by, a sire who is not on offer: nobody else is put to her.
  nobody,     ///< No sire is on offer to her at all.
};
DOEWRIGHT_EXPORT std::string_view word(DoeStanding standing) noexcept;

/// The numbers a plan is the optimum of, with what was said of each doe.
struct SeasonProblem {
  PlanProblem problem;                ///< Whole millionths of money.
  Grid<std::int64_t> doe_costs;       ///< Doe by sire, millionths. Already taken off the values.
  std::vector<DoeStanding> standing;  ///< One a doe.
  std::vector<std::optional<Service>> served;  ///< One a doe: served_this_season().
};

/// The problem (DEFINITIONS 7 and 10). A value is the pair's `value` in whole millionths; nothing
/// where the pair is `avoid` and not locked, unless the doe has no other: then those that the
/// keeper has not ruled out for her (not_sires) are allowed. A doe on hold has no pair unless she
/// is locked or served. With ScoreOptions::days_left_only a sire with no day left has no pair but
/// with does locked to, or served by, him. Every doe may be left open at season.open_value. Served this season counts
/// as locked to that sire; a sire that the keeper has set for her goes before it.
///
/// own: terms own. needs_pen: all terms but visit and semen. from, to: his stay; one that ends
/// before it begins has no bound and most_does 0.
DOEWRIGHT_EXPORT SeasonProblem plan_problem(const Herd& herd, const PairingTable& table);

/// The same problem with the values of another price; what is not allowed stays so.
DOEWRIGHT_EXPORT PlanProblem at_other_price(const PlanProblem& problem, const OtherPrice& other);

/// A sire the plan uses.
struct PlannedSire {
  std::size_t sire = 0;
  std::size_t does = 0;
  double hire_cost = 0.0, doe_costs = 0.0;  ///< doe_costs: of all his does together.
  /// Chance that not one of his does settles (infertile, or bad luck), 0..1; 0: one is found in
  /// kid.
  double all_open_probability = 0.0;
  /// What that would cost against the values of the plan: sum of value - (open_value - doe_cost).
  double all_open_loss = 0.0;
  /// Share of days on which two or more of his does come in heat for the first time, heats spread
  /// evenly over a cycle of 21 days: 1 - q^n - n q^(n-1)/21, q = 20/21. A stay with few heats at
  /// once asks less of a young buck. After a buck effect it is more.
  double crowded_days = 0.0;
};

/// A doe put to a sire.
struct PlannedPair {
  std::size_t doe = 0, sire = 0;
  std::size_t account = 0;  ///< Index into DoeAccount::sires.
  /// Who serves her if he fails. She is known to have failed a cycle of 21 days after his first day
  /// with her (her service, where he has served her; else his first day, today at the earliest), and
  /// not before today. Of the pairs that the plan may use with another sire who is on offer on that
  /// day or later, and by whom she is then worth more than left open: the largest
  ///     P' x (kids_per_kidding x value_per_kid - open_value) - doe_cost - hire
  /// P': she settles in the days left to him from that day on. doe_cost: as in the pair. hire: his
  /// hire_cost if the plan does not use him, else 0. Ties by id. The limits of the plan and his
  /// most_does are not counted (0 rules him out). Empty: nobody is on offer then.
  std::optional<std::size_t> fallback;
  /// Of a doe served by him already: how she stands today.
  std::optional<StandsInKid> in_kid;
};

enum class OpenWhy : std::uint8_t {
  on_hold,
  not_there,
  nobody,
  worth_less,  ///< Her best sire is worth no more to her than staying open.
  no_room,     ///< The limits, or a hire that she alone does not pay for.
  no_plan,     ///< She is locked or must be served, and no plan keeps to all limits.
};
DOEWRIGHT_EXPORT std::string_view word(OpenWhy why) noexcept;

struct OpenDoe {
  std::size_t doe = 0;
  OpenWhy why = OpenWhy::no_room;
  /// Her best sire; of not_there the one to call if she comes back in heat, chosen as
  /// PlannedPair::fallback of the sires that are not `avoid`; of no_plan the locked one.
  std::optional<std::size_t> best;
};

/// A default price that decides whom to use: at half or double of it another set of sires is best.
/// All of them together are asked too.
struct PriceCall {
  std::string price;    ///< As in OtherPrice.
  /// What to set: that one; of all together those that bring the other set nearer.
  std::vector<std::string> prices;
  double factor = 1.0;  ///< 0.5 or 2.
  std::vector<std::size_t> hired;  ///< Sires with a doe at that price.
};

/// What could be had beyond the limits, where within them nobody is worth using.
struct BeyondLimits {
  std::optional<PlanLimit> limit;  ///< This one lifted; empty: pens, max_hired and hire_budget together.
  PlanChoice choice;
};

struct SeasonPlan {
  SeasonProblem question;
  /// in_the_way: of the sires set for does only those that the keeper has set can be given up.
  PlanChoice choice;
  std::vector<PlannedSire> hired;  ///< Sires with a doe, own ones too; in the order of the table.
  double cost = 0.0;               ///< Hire and doe costs; money.
  std::vector<PlannedPair> pairings;  ///< In the order of the does.
  std::vector<OpenDoe> open;
  std::vector<PlanChoice> alternatives;  ///< Each uses another set of sires; best first.
  std::optional<PlanChoice> one_fewer;   ///< With one sire fewer, where the plan uses two or more.
  /// All hangs on one unproven sire: hired.front(), of two does or more, none found in kid.
  bool on_one_unproven = false;
  std::optional<PlanChoice> with_two;  ///< Then: the best plan found that uses two sires or more.
  std::vector<LimitCost> limit_costs;
  /// Only where the plan uses no sire and a better plan beyond the limits uses one: with the limit
  /// lifted that costs most, else with all three.
  std::optional<BeyondLimits> beyond;
  /// In the order of the table's other_prices; empty if it has none (ScoreOptions::other_prices).
  std::vector<PriceCall> price_calls;
  std::vector<BuckGap> gaps;  ///< buck_gaps() of the sires it uses.
};

/// The best plan and what belongs to it. The objective is solve()'s; fallbacks and chances are
/// worked out after it and move nothing. \throws UsageError  money too large to be added up in
/// whole millionths (see solve()). \throws Cancelled, LimitError. Cost: solve() some ten times.
DOEWRIGHT_EXPORT SeasonPlan make_plan(const Herd& herd, const PairingTable& table,
                                      const PlanOptions& options = {}, const Run& run = {});

/// PlannedSire::crowded_days of `does` does.
DOEWRIGHT_EXPORT double crowded_days(std::size_t does);

}  // namespace doewright
