// SPDX-License-Identifier: MIT
// Sound: nothing may be found here. Never compiled.
#pragma once
#include <doewright/core/text.hpp>
