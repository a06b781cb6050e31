// SPDX-License-Identifier: MIT
#pragma once
/// Helpers of the TOML tests: read a text and say what was complained of.
#include <string>
#include <string_view>
#include <vector>

#include <fmt/core.h>

#include <doewright/core/problem.hpp>

#include "herdbook/toml_files.hpp"

namespace doewright {

/// "key-form 3:8" an error, "key-unknown 3:1 (warning)" a warning; in the order of the file.
inline std::vector<std::string> short_forms(const std::vector<Problem>& problems) {
  std::vector<std::string> lines;
  for (const Problem& problem : problems) {
    lines.push_back(fmt::format("{} {}:{}{}", problem.code, problem.line, problem.column,
                                problem.severity == Severity::warning ? " (warning)" : ""));
  }
  return lines;
}

template <auto read>
struct Reading {
  explicit Reading(std::string_view text) : result(read(text, "file.toml", problems)) {}
  /// The only complaint in short form, "none", or all of them.
  std::string only() const {
    if (problems.empty()) return "none";
    std::string all;
    for (const std::string& line : short_forms(problems)) all += (all.empty() ? "" : "; ") + line;
    return all;
  }
  std::vector<Problem> problems;
  decltype(read("", "", problems)) result;
};

using SeasonReading = Reading<&read_season>;
using FaultReading = Reading<&read_faults>;
using TraitReading = Reading<&read_traits>;

/// A text, and the complaints it must give.
struct Slip {
  std::string_view text;
  std::string_view complaint;
};

}  // namespace doewright
