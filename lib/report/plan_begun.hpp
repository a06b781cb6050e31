// SPDX-License-Identifier: MIT
#pragma once
/// What a plan says first once the season has begun: what is left to do, then what is done.
#include <string>

#include "plan_phrases.hpp"

namespace doewright {

/// A sire on offer, whose days have begun, has served a doe put forward this season.
bool season_begun(const PlanView& p);

/// "Left to do: put Wren to Tor, until 2026-10-25."
std::string begun_first(const PlanView& p);
/// "Flora is served and not checked yet ... Done: 6 does served, 2 of them found in kid. ..."
std::string begun_rest(const PlanView& p);

/// Hired sires that have not begun and cannot be kept apart in time: begins with a blank, or
/// nothing.
std::string late_words(const PlanView& p);

}  // namespace doewright
