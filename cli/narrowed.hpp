// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include <doewright/pairing/pairing.hpp>

#include "session.hpp"

/// The does and sires that --doe and --sire narrow to, and the seed.
/// \throws Ending with status 2 if one is not in the book or not on this season's list.
doewright::ScoreOptions narrowed(const Session& session, const doewright::Herd& herd);

/// The animals that --doe and --sire name, in the order of the book; else everybody.
/// \throws Ending with status 2 if one is not in the book.
std::vector<doewright::Animal> animals_named(const Session& session, const doewright::Herd& herd);
