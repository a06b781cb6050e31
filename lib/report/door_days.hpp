// SPDX-License-Identifier: MIT
#pragma once
/// Days as people write them on a barn door.
#include <string>

#include <doewright/core/date.hpp>

namespace doewright {

/// "5 Oct".
std::string short_day(Date day);
/// "Mon 5 Oct 2026".
std::string door_day(Date day);
/// "5 Oct to 30 Nov 2026"; both years where they differ.
std::string day_range(Date from, Date to);
/// "Oct".
std::string short_month(unsigned month);

}  // namespace doewright
