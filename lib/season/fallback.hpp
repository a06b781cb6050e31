// SPDX-License-Identifier: MIT
#pragma once
/// Who serves a doe when the plan's sire for her has failed.
#include <cstddef>
#include <map>
#include <optional>
#include <utility>

#include <doewright/season/plan.hpp>

namespace doewright {

/// The rule of PlannedPair::fallback, for one plan after another doe.
class FallbackChoice {
 public:
  FallbackChoice(const Herd& herd, const PairingTable& table, const SeasonPlan& plan)
      : herd_(herd), table_(table), plan_(plan) {}

  /// `sire`: the plan's for her; nothing: a doe whose sire is not on offer.
  std::optional<std::size_t> of(std::size_t doe, std::optional<std::size_t> sire);

 private:
  Date known_to_have_failed(std::size_t doe, std::optional<std::size_t> sire) const;
  bool may_serve(std::size_t doe, const PairingAccount& pair) const;
  double settles_from(std::size_t sire, Date day);

  const Herd& herd_;
  const PairingTable& table_;
  const SeasonPlan& plan_;
  std::map<std::pair<std::size_t, Date>, double> settles_;
};

}  // namespace doewright
