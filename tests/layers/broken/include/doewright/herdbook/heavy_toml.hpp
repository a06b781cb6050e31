// SPDX-License-Identifier: MIT
// Wrong on purpose: the layers test must find it. Never compiled.
#pragma once
#include <toml++/toml.h>
