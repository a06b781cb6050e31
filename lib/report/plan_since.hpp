// SPDX-License-Identifier: MIT
#pragma once
/// What was written down between an earlier plan and today, and what it did to the plan's worth.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "plan_phrases.hpp"

namespace doewright {

enum class SinceWhat : std::uint8_t { served, penned, back, in_kid, empty, unclear, kidded };

/// Stable word: "served", "found-empty".
std::string_view word(SinceWhat what) noexcept;

/// One fact of a doe put forward; `sire` where the book names one.
struct SinceFact {
  Animal doe;
  Date date;
  SinceWhat what = SinceWhat::served;
  std::optional<Animal> sire;
};

/// Dated after the earlier plan's as-of and up to today, by date, then doe id. `back`: a heat seen
/// after a service, or served again five days or more after it.
std::vector<SinceFact> facts_since(const PlanView& p, const EarlierPlan& since);

/// A label ("found empty") and what is said under it; the worth stands last, where it is known.
struct SinceWords {
  std::string label, text;
};
std::vector<SinceWords> since_words(const PlanView& p, const EarlierPlan& since);

}  // namespace doewright
