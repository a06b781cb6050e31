// SPDX-License-Identifier: MIT
#pragma once
/// The kids of one buck, each with the chance that it is his, and what was seen of them.
#include <map>
#include <optional>

#include <doewright/herd/evidence.hpp>
#include <doewright/pairing/owner_report.hpp>

namespace doewright {

using KidsOfSire = std::map<Animal, double>;  ///< Chance in (0, 1].

/// Chance that he is the sire, as the pedigree has it; empty: no sire is recorded at all.
std::optional<double> chance_of_sire(const Pedigree& pedigree, Animal kid, Animal sire);

/// Was it looked at for this fault: a row of examinations.csv that tells something, or the fault
/// was found. Horns in animals.csv alone are no look: they say polled or not of every goat.
bool truly_looked_at(const FaultModel& fault, const LookedAt& look);

/// Fills the counts of OwnerReport that are over kids in the book.
void count_kids(const Herd& herd, const KidsOfSire& kids, OwnerReport& report);

}  // namespace doewright
