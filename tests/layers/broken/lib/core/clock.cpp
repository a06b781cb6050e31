// SPDX-License-Identifier: MIT
// Wrong on purpose: the layers test must find it. Never compiled.
#include <chrono>
long now() { return std::chrono::steady_clock::now().time_since_epoch().count(); }
