// SPDX-License-Identifier: MIT
// Sound by itself: the first one may. Never compiled.
#include <nlohmann/json.hpp>
