// SPDX-License-Identifier: MIT
#pragma once
/// How long a buck should stay: what one more day brings in litters, less what it costs.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/timing/stay_lengths.hpp>

namespace doewright {

/// Why no length is recommended.
enum class NoStayWhy : std::uint8_t {
  none,     ///< One is.
  no_stay,  ///< Visit or semen.
  no_day,   ///< His stay ends before it begins, or the kidding window leaves no day for it.
  no_doe,   ///< No doe is to be put to him: on hold, to be avoided, another's, or worth no litter.
  gone,     ///< He has left, or is dead: nobody can be put to him. No lengths then.
  no_gain,  ///< At every length he costs more than the litters bring.
};
DOEWRIGHT_EXPORT std::string_view word(NoStayWhy why) noexcept;

/// A length with what it is worth against leaving the does open. Money.
struct StayChoice {
  StayLength length;
  double worth = 0.0;             ///< settled x gain - cost - doe_costs; may be negative.
  std::optional<double> per_day;  ///< Worth of a day since the length before; empty: the first.
  bool recommended = false;       ///< Of one at most.
};

struct StayAdvice {
  std::size_t does = 0;    ///< Does that are counted: see stay_advice().
  double gain = 0.0;       ///< What they are worth settled over open, all of them together.
  double doe_costs = 0.0;  ///< fee_per_doe of all of them, whatever the length.
  std::optional<Date> no_later_than;  ///< Last day that still kids within the window; empty: none.
  std::vector<StayChoice> stays;      ///< Shortest first, the recommended one among them.
  NoStayWhy why = NoStayWhy::none;
};

/// The length at which one more day no longer pays.
///
/// Counted are the does that a plan may put to him (plan_problem(); not those locked to, or served
/// by, another) and that gain by settling: kids_per_kidding x value_per_kid - open_value, more than
/// nothing; of more than his most_does those that gain most, ties in the order of the table. Then
///
///     worth(days) = settled(days) x sum of gains - cost(days) - fee_per_doe x does
///
/// with settled and cost of stay_lengths(). Recommended is the largest worth in whole millionths
/// over every length from 1 day to longest_stay or the offer, if that is longer; ties to the
/// shortest; none that runs past the kidding window (kid_to less the mean gestation, where kid_to
/// is set and leaves any day). It is against leaving them open: that another buck could take the
/// does, and what late kids are worth, is not in it.
///
/// \param sire  Position in table.sires. Cost: one stay of conception_days_varying() more.
DOEWRIGHT_EXPORT StayAdvice stay_advice(const Herd& herd, const Offspring& offspring,
                                        const PairingTable& table, std::size_t sire);

}  // namespace doewright
