// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/pair_paths.hpp>
#include <doewright/pairing/pairing.hpp>

#include "session.hpp"

using namespace doewright;

namespace {

constexpr std::size_t paths_drawn = 4, ranks_traced = 8;

template <class Row>
Animal on_the_list(const Session& session, const Herd& herd, const std::string& id,
                   const std::vector<Row>& rows, Animal Row::*animal_of, const char* not_there) {
  const Animal animal = session.find(herd, id);
  const bool listed = std::any_of(rows.begin(), rows.end(),
                                  [&](const Row& row) { return row.*animal_of == animal; });
  if (!listed) throw Ending{status_wrong_command, fmt::format("{} {}", printable(id), not_there)};
  return animal;
}

}  // namespace

/// `doewright rank HERD`.
Status run_rank(Session& session) {
  const auto book = session.read_herd({.questions = false, .season_lists = true});
  Herd read = *book;  // columns are shared or small beside the reading
  const Herd* const herd = &read;
  const CommonOptions& options = session.line().common;
  ScoreOptions narrow;
  for (const std::string& id : options.does) {
    narrow.only_does.push_back(on_the_list(session, *herd, id, herd->does, &DoeForward::doe,
                                           "is not put forward this season: add her to does.csv"));
  }
  for (const std::string& id : options.sires) {
    narrow.only_sires.push_back(on_the_list(session, *herd, id, herd->sires, &SireOffer::sire,
                                            "is not on offer this season: add him to sires.csv"));
  }
  narrow.seed = session.seed();
  const Genetics genetics = session.genetics(read);
  PairingTable table = score(*herd, genetics, narrow, session.run());
  if (options.format == Format::html)
    trace_paths(genetics.kinship, table, paths_drawn, ranks_traced, session.run());
  Preamble preamble = session.preamble(*herd, InputsOf::rank);
  preamble.assumed = assumed_in(*herd, table);
  session.answer([&](Sink& out) {
    report_rank(out, options.format, preamble, *herd, table, !options.does.empty());
  });
  return status_done;
}
