// SPDX-License-Identifier: MIT
#include <doewright/pairing/pair_paths.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/pairing/what_would_lead.hpp>

#include "narrowed.hpp"
#include "session.hpp"

using namespace doewright;

namespace {

constexpr std::size_t paths_drawn = 4, ranks_traced = 8;

}  // namespace

/// `doewright rank HERD`.
Status run_rank(Session& session) {
  const auto book = session.read_herd({.questions = false, .season_lists = true});
  Herd read = *book;  // columns are shared or small beside the reading
  const Herd* const herd = &read;
  const CommonOptions& options = session.line().common;
  const ScoreOptions narrow = narrowed(session, *herd);
  const Genetics genetics = session.genetics(read);
  PairingTable table = score(*herd, genetics, narrow, session.run());
  if (!options.does.empty()) ask_what_would_lead(*herd, genetics, narrow, table, {}, session.run());
  if (options.format == Format::html)
    trace_paths(genetics.kinship, table, paths_drawn, ranks_traced, session.run());
  Preamble preamble = session.preamble(*herd, InputsOf::rank);
  preamble.assumed = assumed_in(*herd, table);
  session.answer([&](Sink& out) {
    report_rank(out, options.format, preamble, *herd, table, !options.does.empty());
  });
  return status_done;
}
