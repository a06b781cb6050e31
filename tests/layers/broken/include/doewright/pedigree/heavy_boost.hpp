// SPDX-License-Identifier: MIT
// Wrong on purpose: the layers test must find it. Never compiled.
#pragma once
#include <boost/graph/adjacency_list.hpp>
