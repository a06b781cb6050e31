// SPDX-License-Identifier: MIT
// Wrong on purpose: the layers test must find it. Never compiled.
#include <ctime>
long now() { return std::time(nullptr); }
