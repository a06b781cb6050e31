// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
