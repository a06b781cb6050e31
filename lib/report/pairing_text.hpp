// SPDX-License-Identifier: MIT
#pragma once
#include <doewright/report/report.hpp>

#include "page.hpp"

namespace doewright {

/// One doe with all her sires. `full`: every reason, the readings of the blanks, the evidence
/// tables.
void say_doe(Page& page, const Herd& herd, const PairingTable& table, const DoeAccount& doe,
             bool full);

/// What was looked at and found on the side of one animal, a line a fault; faults of which nothing
/// is recorded stand together in one line.
void say_evidence(Page& page, const Herd& herd, const PairingTable& table,
                  const std::vector<FaultEvidence>& evidence);

/// The sires on offer: terms, age, what is known of them, papers and, if asked for, questions for
/// the owner.
void say_sires(Page& page, const Herd& herd, const PairingTable& table, bool questions);

}  // namespace doewright
