// SPDX-License-Identifier: MIT
// Wrong on purpose: the layers test must find it. Never compiled.
#include <cstdlib>
const char* home() { return std::getenv("HOME"); }
