// SPDX-License-Identifier: MIT
#pragma once
/// What must hold whatever was read. abort() is what a fuzzer and a test both notice.
#include <algorithm>
#include <cstdlib>
#include <string>
#include <string_view>

#include <doewright/core/problem.hpp>
#include <doewright/core/text.hpp>

inline void demand(bool truth) {
  if (!truth) std::abort();
}

/// A complaint has a code, says something, points into its file and prints as one safe line.
inline void demand_sound(const doewright::Problem& problem, std::size_t lines) {
  demand(!problem.code.empty() && !problem.message.empty());
  demand(problem.line <= lines);
  demand(problem.line > 0 || problem.column == 0);
  const std::string text = doewright::to_text(problem);
  demand(doewright::is_utf8(text) && !doewright::has_control(text));
}

/// Physical lines of a text, whichever line ends it has; the place after the last one counts too.
inline std::size_t lines_of(std::string_view text) {
  const auto ends = [](char c) { return c == '\n' || c == '\r'; };
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), ends)) + 1;
}
