// SPDX-License-Identifier: MIT
#pragma once
/// `does`, `stay` and `plan` as text, JSON and CSV; `plan` as a page too.
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/export.hpp>
#include <doewright/pairing/doe_review.hpp>
#include <doewright/report/report.hpp>
#include <doewright/season/plan.hpp>
#include <doewright/season/plan_dates.hpp>
#include <doewright/season/stay_worth.hpp>
#include <doewright/season/worth_of_knowing.hpp>

namespace doewright {

/// `does`: go, caution, wait, not this year; one reason each.
DOEWRIGHT_EXPORT void report_does(Sink& out, Format format, const Preamble& preamble,
                                  const Herd& herd, const DoesReview& review);

/// `stay`: lengths of one sire, what each is worth, the recommended one marked; none for visit and
/// semen.
DOEWRIGHT_EXPORT void report_stay(Sink& out, Format format, const Preamble& preamble,
                                  const Herd& herd, const SireOffer& offer,
                                  const StayAdvice& advice);

/// What is kept of an earlier plan, by ids: the book may have changed since.
struct EarlierPlan {
  struct Doe {
    std::string doe;
    std::optional<std::string> sire;  ///< Empty: left open.
  };
  std::string as_of;
  std::vector<Doe> does;
  std::vector<std::string> hired;
  double cost = 0.0;
  std::optional<double> objective;  ///< Worth of that plan, money; empty if the file has none.
};

/// Reads back what report_plan() wrote as JSON.
/// \throws UsageError  it is not JSON, or not a doewright.plan/1.
DOEWRIGHT_EXPORT EarlierPlan read_earlier_plan(std::string_view text);

/// `plan`. With `since` the text says what was written down since (services, returns, checks,
/// kiddings) and shows only the does whose place changed, and JSON adds `changes`; a page says them
/// first; CSV stays whole. `dates` are of the same plan: JSON and the page have
/// them. `worth`: what could be found out first; CSV leaves it out.
DOEWRIGHT_EXPORT void report_plan(Sink& out, Format format, const Preamble& preamble,
                                  const Herd& herd, const PairingTable& table,
                                  const SeasonPlan& plan, const PlanDates& dates,
                                  const EarlierPlan* since = nullptr,
                                  std::span<const WorthOfKnowing> worth = {});

}  // namespace doewright
