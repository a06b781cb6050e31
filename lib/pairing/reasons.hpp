// SPDX-License-Identifier: MIT
#pragma once
#include <cstddef>

#include <doewright/pairing/pairing.hpp>

namespace doewright {

/// Fills `pair.reasons` (by effect, largest first) and `pair.questions`. Rules must have been
/// applied.
void give_reasons(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                  PairingAccount& pair);

/// Fills the questions of sire `s`, at most two, chosen by how much an answer could move over all
/// does.
void ask_of_sire(const Herd& herd, PairingTable& table, std::size_t s);

}  // namespace doewright
