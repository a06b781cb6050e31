// SPDX-License-Identifier: MIT
// Sound: nothing may be found here. Never compiled.
// Words in comments and strings, and names that only look alike: time(0), rand(), std::cout.
#include <string>

#include <doewright/core/text.hpp>

struct Stay {
  int time() const { return 1'000; }
};
int settle_time(const Stay& stay) { return stay.time(); }
std::string word() { return "getenv(HOME) printf(x) steady_clock"; }
