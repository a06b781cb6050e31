// SPDX-License-Identifier: MIT
#pragma once
/// What could be found out before a season is decided, in text and JSON.
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/report/season_reports.hpp>

#include "json_writer.hpp"
#include "page.hpp"

namespace doewright {

/// What to find out ("a gene test of Alder for ...") with "up to 40 EUR" before it, the six worth most.
struct WorthWords {
  std::string amount, what;
};
std::vector<WorthWords> worth_words(const Herd& herd, const PairingTable& table,
                                    std::span<const WorthOfKnowing> worth);
/// How to read them.
std::string_view worth_caption();

void say_worth(Page& page, const Herd& herd, const PairingTable& table,
               std::span<const WorthOfKnowing> worth);

/// The key worth_knowing with its list.
void write_worth(JsonWriter& json, const Herd& herd, const PairingTable& table,
                 std::span<const WorthOfKnowing> worth);

}  // namespace doewright
