// SPDX-License-Identifier: MIT
#pragma once
#include <cstddef>
#include <optional>
#include <string>

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

/// "kids to keep".
std::string kids_for_words(KidsFor kids_for);

/// "wait: thin: condition 1.5, 2.0 is wanted".
std::string fitness_words(const Herd& herd, const DoeFitness& fitness);

/// "kids 208, merit +3, inbreeding -4, faults -40, cost -17"; parts under half a unit are left out.
std::string parts_words(const PairingMoney& money);

/// A chance as a count of 100: "<1", "12".
std::string in_hundred(double p);

bool nothing_recorded(const FaultEvidence& e);
/// What nothing known of a sire on offer means for his kids ("nothing known of him: 4 in 100, as any buck;
/// could be 0 to 13"), as the first doe's reasons say; empty: none says it.
std::string any_buck_words(const Herd& herd, const PairingTable& table, FaultIndex fault,
                           std::optional<std::size_t> offer);
std::string evidence_words(const FaultEvidence& e, const FaultModel& model);

/// "polled as born".
std::string horns_words(const Herd& herd, Animal animal);

/// Terms, age, proven or not, horns, does at most, costs.
std::string terms_words(const Herd& herd, const SireAccount& sire);

}  // namespace doewright
