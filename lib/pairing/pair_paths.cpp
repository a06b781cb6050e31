// SPDX-License-Identifier: MIT
#include <algorithm>

#include <doewright/pairing/pair_paths.hpp>

namespace doewright {

namespace {

bool avoided_for_kinship(const PairingAccount& pair) {
  return std::any_of(pair.rules.begin(), pair.rules.end(), [](const RuleHit& hit) {
    return hit.rule == "inbreeding" && hit.verdict == Verdict::avoid;
  });
}

}  // namespace

void trace_paths(const Kinship& kinship, PairingTable& table, std::size_t most_paths,
                 std::size_t most_ranks, const Run& run) {
  parallel_blocks(table.does.size(), 1, run, [&](std::size_t begin, std::size_t end) {
    for (std::size_t d = begin; d < end; ++d) {
      for (PairingAccount& pair : table.does[d].sires) {
        throw_if_stopped(run);
        if (pair.common_ancestors.empty()) continue;
        if (pair.rank > most_ranks && !avoided_for_kinship(pair)) continue;
        Why why = kinship.why(pair.pairing.sire, pair.pairing.doe, most_paths);
        pair.paths = std::move(why.paths);
        pair.paths_left_out = why.paths_left_out;
      }
    }
  });
}

}  // namespace doewright
