// SPDX-License-Identifier: MIT
#pragma once
/// The files of the herd book, and where in them a fact was written down.
#include <compare>
#include <cstdint>
#include <string_view>

#include <doewright/export.hpp>

namespace doewright {

/// The files of a herd book. `none`: the fact does not come from a file.
enum class Table : std::uint16_t {
  none,
  animals,
  possible_sires,
  examinations,
  kid_counts,
  gene_tests,
  records,
  health_tests,
  heats,
  services,
  pregnancy_checks,
  kiddings,
  does,
  sires,
  faults,
  traits,
  season,
};

/// "animals.csv", "season.toml"; empty for `none`.
DOEWRIGHT_EXPORT std::string_view file_name(Table table) noexcept;

/// Where a fact was written down. Every fact keeps its row up to the last page, so that
/// "2 of 9 examined" can always be opened as `examinations.csv:12`.
struct Row {
  Table table = Table::none;
  std::uint32_t line = 0;  ///< 1-based physical line on which the row begins; 0: not from a file.
  friend constexpr auto operator<=>(Row, Row) = default;
};

}  // namespace doewright
