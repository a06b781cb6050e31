// SPDX-License-Identifier: MIT
#pragma once
/// One thing in the keeper's files that she can repair: where, what is wrong, what to do.
#include <cstdint>
#include <string>

#include <doewright/export.hpp>

namespace doewright {

/// `error`: every command stops. `warning`: read on, said. `question`: a likeness only a person can
/// judge, printed by `check`.
enum class Severity : std::uint8_t { error, warning, question };

/// All the problems of a reading come together, so that a keeper repairs her files once.
struct Problem {
  Severity severity = Severity::error;
  std::string code;          ///< Stable word of the complaint table, such as "loop" or "date-form".
  std::string file;          ///< As the reader would open it; empty: no one file.
  std::uint32_t line = 0;    ///< 1-based physical line where the field begins; 0: the whole file.
  std::uint32_t column = 0;  ///< 1-based character; 0: the whole row.
  std::string animal;        ///< Id, or empty if it is not about one animal.
  std::string message;       ///< What was found, in words.
  std::string remedy;        ///< What to do.
};

/// "animals.csv:14:9: error: what; what to do [code]", one line, safe to print on a terminal.
DOEWRIGHT_EXPORT std::string to_text(const Problem& problem);

}  // namespace doewright
