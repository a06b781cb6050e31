// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include <doewright/herd/evidence.hpp>
#include <doewright/pairing/keep.hpp>

namespace doewright {

/// Grown does of the own herd whose record says leave; see keep_advice().
std::vector<DoeToLeave> does_to_leave(const Herd& herd, const EvidenceIndex& evidence,
                                      const std::vector<Animal>& grown_does);

}  // namespace doewright
