// SPDX-License-Identifier: MIT
#pragma once
/// Is she fit to be bred this season? The tool advises; a veterinarian judges a doubtful doe.
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/reason.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

/// `caution`: she may go, watch. `wait`: not yet, `needs` says for what. `no`: not this year.
enum class Fitness : std::uint8_t { go, caution, wait, no };
DOEWRIGHT_EXPORT std::string_view word(Fitness fitness) noexcept;

struct DoeFitness {
  Fitness answer = Fitness::go;
  /// Why; the one that decides first. Codes: doe.* and health.positive of reason_codes.hpp.
  std::vector<Reason> reasons;
  /// The day from which the answer may change (end of rest, old enough), where it is known.
  std::optional<Date> from_day;
  /// The weight that she needs, where weight decides.
  std::optional<double> needs_kg;
  /// On hold: wait or no. Every pair of hers is then `avoid` in a ranking.
  bool on_hold() const noexcept { return answer == Fitness::wait || answer == Fitness::no; }
};

/// Hard help at this many kiddings is her record, no bad luck (common practice, no source).
inline constexpr int hard_kiddings_most = 2;

/// By age, share of grown weight, condition and rest since kidding (DEFINITIONS 10); the keeper's
/// own `decision` wins and is said. Age and rest count on `first_day`, the first day she could be
/// served.
///
/// Young does (never kidded and under 24 months, or age not recorded) need 65 % of their grown
/// weight and 7 months to go with caution, 75 % and 8 months to go. A weight that is not known is
/// "weigh her", never go. A health test whose newest result is not plainly negative (positives(),
/// papers.hpp): caution. Hard help at two or more kiddings: caution, a veterinarian judges. A birth known by year only counts as the youngest possible age. Source:
/// common practice, no source; the figures are season.toml's limits.
DOEWRIGHT_EXPORT DoeFitness fitness(const Herd& herd, const Offspring& offspring,
                                    const DoeForward& doe, Date first_day);

/// First day she could be served: the earliest `from` of the sires on offer that she is not kept
/// from, on or after as-of; else as-of.
DOEWRIGHT_EXPORT Date first_day_of_service(const Herd& herd, const DoeForward& doe);

/// The last day on which she can have kidded for the last time, by kiddings.csv and the births of her
/// kids, not after as-of; nothing if no kidding is dated.
DOEWRIGHT_EXPORT std::optional<Date> last_kidding(const Herd& herd, const Offspring& offspring,
                                                  Animal doe);

/// Has she kidded: a kid in the book, or a row of kiddings.csv.
DOEWRIGHT_EXPORT bool has_kidded(const Herd& herd, const Offspring& offspring, Animal doe);

}  // namespace doewright
