// SPDX-License-Identifier: MIT
// Sound: the one header that may show Boost. Never compiled.
#pragma once
#include <boost/graph/graph_traits.hpp>
