// SPDX-License-Identifier: MIT
// Wrong on purpose: the layers test must find it. Never compiled.
#include <doewright/core/gone.hpp>
