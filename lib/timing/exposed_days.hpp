// SPDX-License-Identifier: MIT
#pragma once
/// Which buck serves a doe on which day: what both cycles, the fixed and the normal, start from.
#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include <doewright/timing/settling.hpp>

namespace doewright {

/// Days from the first exposed to the last, and who is with her on them.
struct ExposedDays {
  Date first;
  std::size_t days = 0;
  /// [buck][day]: his chance, the never-settlers set aside, if he is fertile and she is in heat.
  std::vector<std::vector<double>> serves;
};

/// \throws UsageError as conception_days().
ExposedDays exposed_days(const DoeOdds& does, std::span<const BuckOdds> bucks,
                         std::span<const Exposure> exposures);

/// Conception per heat of the does that can settle: c / (1 - b), at most 1; 0 if none can.
double for_does_that_can(double conception, double never);

/// Calls `use` for every state of the bucks she meets: who is fertile, and with what chance.
/// \throws LimitError over 16 bucks of uncertain fertility.
void for_each_fertility(
    std::span<const BuckOdds> bucks, const std::vector<bool>& met,
    const std::function<void(const std::vector<bool>& fertile, double chance)>& use);

/// Bucks with a day on which they may settle her.
std::vector<bool> bucks_met(const ExposedDays& exposed);

/// Share of does cycling on every day, and the distinct shares ascending.
struct CyclingDays {
  CyclingDays(const DoeOdds& does, Date first, std::size_t days);
  std::vector<double> share, levels;
};

}  // namespace doewright
