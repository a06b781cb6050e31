// SPDX-License-Identifier: MIT
#include <doewright/timing/settling.hpp>

namespace doewright {

DoeOdds doe_odds(const Season& season) {
  DoeOdds does{.never = season.settle.never, .cycling = season.settle.cycling};
  if (season.north) return does;
  for (std::size_t month = 0; month < 12; ++month) {
    does.cycling[month] = season.settle.cycling[(month + 6) % 12];
  }
  return does;
}

DoeOdds all_cycling() noexcept {
  DoeOdds does;
  does.cycling.fill(1.0);
  return does;
}

double cycling_on(const DoeOdds& does, Date day) noexcept {
  return does.cycling[calendar_day(day).month - 1];
}

}  // namespace doewright
