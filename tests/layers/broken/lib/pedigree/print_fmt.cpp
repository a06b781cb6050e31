// SPDX-License-Identifier: MIT
// Wrong on purpose: the layers test must find it. Never compiled.
#include <fmt/core.h>
void say() { fmt::print("go\n"); }
