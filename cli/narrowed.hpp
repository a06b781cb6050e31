// SPDX-License-Identifier: MIT
#pragma once
#include <doewright/pairing/pairing.hpp>

#include "session.hpp"

/// The does and sires that --doe and --sire narrow to, and the seed.
/// \throws Ending with status 2 if one is not in the book or not on this season's list.
doewright::ScoreOptions narrowed(const Session& session, const doewright::Herd& herd);
