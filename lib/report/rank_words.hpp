// SPDX-License-Identifier: MIT
#pragma once
/// What `rank` says first, in text and page alike.
#include <cstddef>
#include <string>
#include <vector>

#include <doewright/pairing/pairing.hpp>

namespace doewright {

/// The sires that are not `avoid`, in order of rank.
std::vector<const PairingAccount*> choices_of(const DoeAccount& doe);

/// The sires that are level at the head of a doe's list, by offer. \pre open is not empty.
std::vector<std::size_t> level_at_head(const std::vector<const PairingAccount*>& open);

/// "Rowan comes first for 9 of 14 does, Alder and Ash are level for 3; 2 does are on hold."
std::string rank_headline(const Herd& herd, const PairingTable& table);

/// "Too close to call at these prices for Tansy and Poppy: set kid.value_keep." or nothing.
std::string rank_close_calls(const Herd& herd, const PairingTable& table);

}  // namespace doewright
