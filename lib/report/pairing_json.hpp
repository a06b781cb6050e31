// SPDX-License-Identifier: MIT
#pragma once
#include <doewright/report/report.hpp>

#include "json_writer.hpp"

namespace doewright {

/// "does": [...] of `rank` and `sire`.
void write_does(JsonWriter& json, const Herd& herd, const PairingTable& table);

/// The nested result as CSV, one row a pair.
void write_pairs_as_csv(Sink& out, const Herd& herd, const PairingTable& table);

/// Reasons or questions as a list of sentences.
void write_sentences(JsonWriter& json, std::string_view key, const Herd& herd,
                     const std::vector<Reason>& reasons);

}  // namespace doewright
