// SPDX-License-Identifier: MIT
#pragma once
/// How many clear kids would prove a sire: of which mates, for which certainty; and what one gene test
/// would tell.
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/faults/fault_fit.hpp>

namespace doewright {

/// Kinds of mates; one kid each.
enum class ProvingMate : std::uint8_t {
  affected,      ///< Two copies.
  carrier,       ///< One copy.
  own_daughter,  ///< His, out of does that have none.
  random_doe,    ///< Any doe of his breed's frequency.
  clear_doe,     ///< The same, and she does not show it.
};
DOEWRIGHT_EXPORT std::string_view word(ProvingMate mate) noexcept;

/// Chance that one kid of a sire with `copies` out of such a mate does not show the fault, as a kid
/// looked at: the mean of the sexes in which it is scored.
DOEWRIGHT_EXPORT double clear_kid_probability(const FaultModel& fault, std::uint8_t copies,
                                              ProvingMate mate, double frequency);

struct ProvingGoal {
  ProvingMate mate = ProvingMate::carrier;
  double level = 0.95;
  /// Clear kids, one a mate, after which he is without a copy with chance `level`, beginning from what
  /// is known of him now. Empty: no number does, or over 100,000.
  std::optional<std::uint32_t> kids;
  /// The textbook's: smallest n with u^n <= 1 - level, u the chance of a clear kid of a carrier; what is
  /// known of him left out.
  std::optional<std::uint32_t> kids_classical;
};

struct Proof {
  std::optional<double> prior;      ///< Chance now that he carries at least one copy. Empty: many genes.
  std::vector<ProvingGoal> mates;   ///< Every kind of mate at 95 and 99 %; empty: many genes.
  std::optional<double> before, after_clear;  ///< Of a gene test that reads clear.
};

/// Of a threshold fault: an empty proof; no number of clear kids proves that many genes are all good.
/// \throws UsageError: no such animal; records contradict each other.
/// Source: test matings, Johansson and Rendel (1968), Genetics and Animal Breeding (from memory);
/// checked against the table of Christensen, Population Genetics, section 5.6.
DOEWRIGHT_EXPORT Proof prove(const Herd& herd, const FaultFit& fit, Animal sire,
                             const Run& run = {});

}  // namespace doewright
