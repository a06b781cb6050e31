// SPDX-License-Identifier: MIT
#pragma once
/// Heats whose cycles vary: N(21, 1.5) days, in equilibrium when the first buck comes.
#include <span>

#include <doewright/export.hpp>
#include <doewright/timing/settling.hpp>

namespace doewright {

/// Length of a cycle in days, normal. Source: mean 21 Merck Veterinary Manual; Boer 20.7, sd .7
/// (Greyling 2000); sd 1.5 covers the usual 18-24 days.
struct HeatCycle {
  double mean = 21.0;
  double sd = 1.5;
};

/// Chance that no heat begins within `days` days of a cycling doe: [s phi(z) - (n-m)(1-Phi(z))] /
/// m, z = (n-m)/s. \pre days >= 0. Accuracy 1e-12.
DOEWRIGHT_EXPORT double no_heat_probability(double days, HeatCycle cycle = {});

/// Chance that a cycling doe settles within a stay of `days` days with one fertile buck: sum over k
/// of c (1-c)^k [G_k(n) - G_(k+1)(n)] / m, where G_k(n) is the integral to n of the chance that k
/// cycles are over by then. Exact up to cycles of negative length (under 1e-40).
/// Cost: one term a cycle. \pre days >= 0, 0 <= conception <= 1.
DOEWRIGHT_EXPORT double settled_in_stay(double days, double conception, HeatCycle cycle = {});

/// As conception_days(), with cycles that vary: what `stay` and due windows rest on. A buck is
/// there from the beginning of his first day to the end of his last.
///
/// The renewal equation h(t) = u(t) + integral of h(x) (1 - c(x)) g(t-x) dx is solved in continuous
/// time, u(t) = P(cycle > t) / mean, for every class of does by the share that cycles.
/// \throws UsageError, LimitError as conception_days().
/// Accuracy within 1e-7 of settled_in_stay() where that holds (tests/timing/test_heats.cpp).
/// Cost     as conception_days() times about 300.
DOEWRIGHT_EXPORT ConceptionDays conception_days_varying(const DoeOdds& does,
                                                        std::span<const BuckOdds> bucks,
                                                        std::span<const Exposure> exposures);

}  // namespace doewright
