// SPDX-License-Identifier: MIT
#pragma once
/// Two bucks that follow each other too soon, as sentences of a plan and in its JSON.
#include <string>
#include <vector>

#include <doewright/season/buck_gaps.hpp>

#include "json_writer.hpp"

namespace doewright {

/// One sentence a gap: whose kids may be of either, and how many days would do. Safe to print, with
/// a full stop.
std::vector<std::string> gap_words(const Herd& herd, const std::vector<BuckGap>& gaps);

/// The list `gaps`.
void write_gaps(JsonWriter& json, const Herd& herd, const std::vector<BuckGap>& gaps);

}  // namespace doewright
