// SPDX-License-Identifier: MIT
#pragma once
/// Which doe to which sire, and which sires to use at all: the season as bare numbers.
///
/// All money is in whole millionths of the keeper's money (1.25 is 1,250,000), so that sums are
/// exact and a plan that is called best is best to the last millionth. Nothing here knows a goat:
/// does and sires are positions in the two lists below.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/grid.hpp>
#include <doewright/export.hpp>

namespace doewright {

/// A sire that may be used.
struct PlanSire {
  /// Charged once if he gets at least one doe, and not otherwise. May be negative: a buck bought
  /// for the season that sells for more than he cost.
  std::int64_t hire_cost = 0;
  std::optional<unsigned> most_does;  ///< Nothing: no limit. 0: he gets none.
  bool own = false;                   ///< Own sires do not count towards `max_hired`.
  bool needs_pen = false;             ///< At the farm, apart, from `from` to `to`.
  std::optional<Date> from, to;       ///< First and last day, both counted. Nothing: no bound.
};

/// A doe put forward.
struct PlanDoe {
  bool may_be_open = true;            ///< False: must be put to a sire, whatever her open value.
  std::optional<std::size_t> locked;  ///< This sire and no other; she is not left open then.
};

/// The numbers a plan is the optimum of:
///
///     maximise   the sum of values over does put to a sire
///              + the sum of open_values over does left open
///              - the sum of hire_cost over sires with at least one doe
///
/// with at most one sire a doe; no sire above his most_does; on no day more than `pens` sires that
/// get a doe and need a pen; at most `max_hired` sires with a doe that are not own; and hire costs
/// of the sires with a doe, own ones too, of at most `hire_budget` together.
struct PlanProblem {
  std::vector<PlanSire> sires;
  std::vector<PlanDoe> does;
  /// Doe by sire: worth of putting her to him, without his hire cost. Nothing: not allowed.
  Grid<std::optional<std::int64_t>> values;
  /// One a doe: worth of leaving her open. Nothing: she must not stay open.
  std::vector<std::optional<std::int64_t>> open_values;
  std::optional<unsigned> max_hired, pens;  ///< Nothing: no limit.
  std::optional<std::int64_t> hire_budget;  ///< Nothing: no limit.
};

/// The limits a plan is held to; each can be lifted by itself to see what it costs.
enum class PlanLimit { must_be_served, locked, most_does, pens, max_hired, hire_budget };

/// "must_be_served", "locked", ... as in the enumeration.
DOEWRIGHT_EXPORT std::string_view word(PlanLimit limit) noexcept;

/// The same problem with one limit taken away. `must_be_served` lets every doe stay open that has
/// an open value (who has none has no price, and is still held to it); `locked` frees the locked
/// does, pairs that are not allowed stay so. A limit that was not there: the problem unchanged.
DOEWRIGHT_EXPORT PlanProblem lifted(const PlanProblem& problem, PlanLimit limit);

/// True if the problem has this limit at all (most_does: any sire with a bound below the number of
/// does).
DOEWRIGHT_EXPORT bool has_limit(const PlanProblem& problem, PlanLimit limit) noexcept;

}  // namespace doewright
