// SPDX-License-Identifier: MIT
#pragma once
/// CPU seconds of the process, all threads together: the shortest of several times.
#include <algorithm>
#include <ctime>

namespace doewright::testing {

template <class Call>
double shortest_of(int times, Call&& call) {
  double best = 1e300;
  for (int i = 0; i < times; ++i) {
    const std::clock_t begin = std::clock();
    call();
    best = std::min(best, static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC);
  }
  return best;
}

}  // namespace doewright::testing
