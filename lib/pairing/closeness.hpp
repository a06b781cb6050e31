// SPDX-License-Identifier: MIT
#pragma once
/// Too close to call: would another sire come first if a price that nobody set were another?
#include <doewright/pairing/pairing.hpp>

#include "worlds_of_pairs.hpp"

namespace doewright {

/// Fills DoeAccount::close_at: each price that is a default (kid values, costs of built-in faults,
/// values of built-in traits) is halved and doubled on its own. A first sire that is merely level with
/// the new one is no change.
void find_close_calls(const WorldsInput& input, PairingTable& table);

/// Every pair's value with each of those prices halved and doubled on its own. Verdicts stay: no price
/// is in them.
std::vector<OtherPrice> values_at_other_prices(const WorldsInput& input, const PairingTable& table);

}  // namespace doewright
