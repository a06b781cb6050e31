// SPDX-License-Identifier: MIT
#pragma once
/// What a single cell may say: dates, marks for "not known", words that are nearly right.
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/date.hpp>

namespace doewright {

/// Why a cell is no date.
struct DateSlip {
  std::string code, message, remedy;
};

/// Reads "2024", "2024-03" or "2024-03-07". Nothing if it is not one: `slip` says why.
std::optional<PartialDate> read_date(std::string_view text, DateSlip& slip);

/// Is it one of the ways people write "not known" in a parent column: ?, -, ., NA, n/a, unknown?
bool is_unknown_mark(std::string_view text);

/// Ids with `;` between them, trimmed; blank ones are left out.
std::vector<std::string_view> parts_of_list(std::string_view cell);

/// Safe to print, short, in single quotes.
std::string quoted(std::string_view text);

/// The candidate that a slip of the pen may have meant. Long texts are no slips, and cost time.
std::optional<std::string_view> near_word(std::string_view word,
                                          std::span<const std::string_view> candidates);

/// "did you mean 'teats'?", or else the other sentence.
std::string did_you_mean(std::optional<std::string_view> near, std::string_view otherwise);

/// "sold, died, returned".
std::string joined(std::span<const std::string_view> words);

}  // namespace doewright
