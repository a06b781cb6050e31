// SPDX-License-Identifier: MIT
#pragma once
/// What one kid weaned is worth, part by part (DEFINITIONS 7). Money a kid; nothing about settling.
#include <array>
#include <span>
#include <vector>

#include <doewright/faults/kid_risk.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

/// Prices of one fault. Index of fates: [0] keep, [1] meat.
struct FaultPrice {
  bool lethal = false;
  bool default_keep = true;  ///< Not kept: charged together with the others of the kind.
  std::array<std::vector<double>, 2> by_grade;  ///< Empty: default (keep), or 0 (meat).
  double carried = 0.0;
};

struct KidPrices {
  std::array<double, 2> base{};  ///< [keep, meat]
  std::vector<FaultPrice> faults;

  /// What a keeper loses that is sold for meat after all.
  double not_kept() const noexcept { return base[0] > base[1] ? base[0] - base[1] : 0.0; }
};

/// Prices as the herd book has them, a fault for each of `faults`.
KidPrices kid_prices(const Herd& herd, const std::vector<FaultIndex>& faults);

/// What one fault may be in a kid of each sex: [0] doe, [1] buck.
struct FaultChance {
  std::array<double, 2> shows{}, carrier{};
  std::array<std::array<double, 8>, 2> grades{};  ///< Chance of each grade; 0 where not scored.
};

/// \throws UsageError if a fault has more than eight grades.
FaultChance fault_chance(const FaultModel& model, const KidRisk& risk);

/// One kid of one pair.
struct KidInputs {
  std::array<std::array<double, 2>, 2> share{};       ///< [sex][fate], each sex sums to 1.
  std::array<std::array<double, 2>, 2> merit{};       ///< Money [sex][fate].
  std::array<std::array<double, 2>, 2> inbreeding{};  ///< Money [sex][fate].
};

struct KidWorth {
  double base = 0.0, merit = 0.0, inbreeding = 0.0;
  double faults = 0.0;  ///< A cost: not negative unless prices are.
  double total() const noexcept { return base + merit + inbreeding - faults; }
};

/// `each_fault`, if not null, is filled with the share of `faults` that each fault has.
KidWorth kid_worth(const KidPrices& prices, const KidInputs& kid,
                   std::span<const FaultChance* const> chances, std::vector<double>* each_fault);

}  // namespace doewright
