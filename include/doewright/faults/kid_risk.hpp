// SPDX-License-Identifier: MIT
#pragma once
/// What a planned kid may show or carry of one fault: the finished answer, of whatever model.
#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include <doewright/export.hpp>

namespace doewright {

/// How a probability was worked out. `exact`: nothing is left out but rounding. `sampled`: by a
/// seeded sampler, with its standard error. `approximate`: by expectation propagation, within 0.005
/// of the exact chance in the reference cases; intervals within 0.03. Worse where a fault with the wanted
/// grade in the middle was found without saying at which end ("yes", "removed") in more than five animals:
/// see FaultFit::ends_unsaid.
enum class Method : std::uint8_t { exact, sampled, approximate };
DOEWRIGHT_EXPORT std::string_view word(Method method) noexcept;

/// Joint posterior of the parents' liabilities that a threshold risk is the integral of (DEFINITIONS
/// 4): the additive parts, or, where the incidence is uncertain, mu + a.
struct ParentLiabilities {
  double sire_mean = 0.0, doe_mean = 0.0;
  double sire_var = 0.0, doe_var = 0.0, cov = 0.0;
  /// One border fewer than grades, in their order.
  std::vector<double> threshold_doe, threshold_buck;
  double rest_var = 0.0;  ///< Of the kid's liability given both parents'.
};

/// Risk of one fault in a kid of one pair. Probabilities 0..1; not percentages.
///
/// `affected` is the posterior mean of the pair's risk; `affected_low` and `_high` are the 5 % and 95 %
/// points of that risk over the joint posterior of the parents (DEFINITIONS 5). They say how well the
/// parents are known, not what one kid will be.
struct KidRisk {
  double affected = 0.0, affected_low = 0.0, affected_high = 0.0;  ///< Unsexed: mean of doe and buck kids.
  double affected_doe = 0.0, affected_buck = 0.0;  ///< 0 for a sex in which it is not scored.
  double any_in_litter = 0.0;  ///< At least one of `litter` kids born shows it.
  std::vector<double> grades_doe, grades_buck;  ///< Chance of each grade; sum 1, or empty: not scored.
  /// Locus: at least one copy and it does not show. Empty for a threshold fault.
  std::optional<double> carrier, carrier_doe, carrier_buck;
  /// Locus: P(sire has i copies, doe has j) at 3 i + j.
  std::optional<std::array<double, 9>> joint;
  std::optional<ParentLiabilities> liabilities;  ///< Threshold.
  Method method = Method::exact;
  double standard_error = 0.0;  ///< The largest of the chances of this entry; 0 if exact.
  /// Sampled: so many independent draws tell as much (of the chance with that error).
  std::optional<double> effective_draws;
};

/// One locus: what a kid of parents with known copies is. Indexed by 3 i + j: sire i copies, doe j.
struct KidOfCopies {
  std::array<double, 9> affected{}, affected_doe{}, affected_buck{};
  std::array<double, 9> carrier_doe{}, carrier_buck{};
  std::vector<std::array<double, 9>> grades_doe, grades_buck;  ///< Empty: not scored.
};

}  // namespace doewright
