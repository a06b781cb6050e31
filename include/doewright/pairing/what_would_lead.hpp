// SPDX-License-Identifier: MIT
#pragma once
/// Which single unknown, if the answer were good, would put another sire first for a doe.
#include <cstdint>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/pairing/pairing.hpp>

namespace doewright {

struct WhatWouldLeadOptions {
  std::size_t most_pairs =
      2;  ///< After the first, by value; also `avoid` for a lethal fault alone.
  std::size_t most_faults = 2;   ///< Of a pair: those that cost most.
  std::uint32_t most_kids = 40;  ///< More is no help to anybody this season.
};

/// Adds to the questions of such a pair, as their first, reason::ask_would_lead: how many kids of
/// his elsewhere, looked at for that one fault and all clear, or which gene test that reads clear,
/// would put him first for her. The smallest number: with one kid fewer he is not first. The
/// records are put in the book for the purpose and everything that rests on them is worked out
/// again, so the answer is that of the book with them (seen, sex and dam blank). Not asked where
/// chances are sampled, and of faults that share a gene. It says what it would take, not what to
/// expect: how likely clear kids are stands in the chances.
///
/// \param asked  the options with which score() made `table`.
/// Cost: for each pair and fault at most eight fits of that fault and as many tables without draws.
DOEWRIGHT_EXPORT void ask_what_would_lead(const Herd& herd, const Genetics& genetics,
                                          const ScoreOptions& asked, PairingTable& table,
                                          const WhatWouldLeadOptions& options = {},
                                          const Run& run = {});

}  // namespace doewright
