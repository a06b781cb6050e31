// SPDX-License-Identifier: MIT
#pragma once
#include <doewright/pairing/pairing.hpp>

namespace doewright {

/// Fills `pair.rules` and `pair.verdict`. The names of the rules are those of DEFINITIONS 11.
void apply_rules(const Herd& herd, const std::vector<FaultIndex>& faults, const SireAccount& sire,
                 const DoeAccount& doe, PairingAccount& pair);

}  // namespace doewright
