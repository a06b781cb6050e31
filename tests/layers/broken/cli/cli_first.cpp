// SPDX-License-Identifier: MIT
// Sound by itself: the first one may. Never compiled.
#include <CLI/CLI.hpp>
