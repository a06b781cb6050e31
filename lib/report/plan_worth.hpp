// SPDX-License-Identifier: MIT
#pragma once
/// What could be found out before a season is decided, in text and JSON.
#include <span>

#include <doewright/report/season_reports.hpp>

#include "json_writer.hpp"
#include "page.hpp"

namespace doewright {

void say_worth(Page& page, const Herd& herd, const PairingTable& table,
               std::span<const WorthOfKnowing> worth);

/// The key worth_knowing with its list.
void write_worth(JsonWriter& json, const Herd& herd, const PairingTable& table,
                 std::span<const WorthOfKnowing> worth);

}  // namespace doewright
