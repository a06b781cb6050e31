// SPDX-License-Identifier: MIT
#pragma once
/// What is to be said of a sire on offer, whoever the doe; and what is recorded around an animal.
#include <vector>

#include <doewright/pairing/pairing.hpp>

namespace doewright {

/// What is recorded around an animal of each fault.
std::vector<FaultEvidence> evidence_of(const EvidenceIndex& index, Animal animal,
                                       const std::vector<FaultIndex>& faults);

/// `days_left_only`: days before as-of no longer count for does he has not served.
SireAccount account_of_sire(const Herd& herd, const Kinship& kinship, const Offspring& offspring,
                            const EvidenceIndex& evidence, const SireOffer& offer,
                            const std::vector<FaultIndex>& faults, bool days_left_only);

}  // namespace doewright
