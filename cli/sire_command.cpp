// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/pair_paths.hpp>
#include <doewright/pairing/pairing.hpp>

#include "session.hpp"

using namespace doewright;

namespace {

constexpr std::size_t paths_drawn = 4;

}  // namespace

/// `doewright sire HERD SIRE`: before I pay for him. He need not be on the list of sires on offer.
Status run_sire(Session& session) {
  if (session.line().animal_a.empty()) {
    throw Ending{status_wrong_command, "sire: say which buck; see doewright sire --help"};
  }
  const auto book = session.read_herd({.questions = false, .season_lists = true});
  const Animal buck = session.find(*book, session.line().animal_a, "buck");
  if (sex_or_use(*book, buck) == Sex::doe) {
    throw Ending{status_wrong_command,
                 fmt::format("{} is a doe", printable(display_name(*book, buck)))};
  }
  Herd herd = *book;  // columns are shared or small beside the reading
  const bool offered = std::any_of(herd.sires.begin(), herd.sires.end(),
                                   [&](const SireOffer& offer) { return offer.sire == buck; });
  if (!offered)
    herd.sires.push_back({.sire = buck,
                          .terms = {},
                          .from = {},
                          .to = {},
                          .most_does = {},
                          .fee = {},
                          .fee_per_doe = {},
                          .cost_per_day = {},
                          .haul = {},
                          .tests_cost = {},
                          .value_if_lost = {},
                          .straws = {},
                          .semen = {},
                          .served = {},
                          .settled = {},
                          .conception = {},
                          .owner = {},
                          .note = {},
                          .row = {}});
  ScoreOptions narrow{.only_does = {}, .only_sires = {buck}};
  for (const std::string& id : session.line().common.does) {
    const Animal doe = session.find(herd, id, "doe");
    const bool listed = std::any_of(herd.does.begin(), herd.does.end(),
                                    [&](const DoeForward& row) { return row.doe == doe; });
    if (!listed) {
      throw Ending{
          status_wrong_command,
          fmt::format("{} is not put forward this season: add her to does.csv", printable(id))};
    }
    narrow.only_does.push_back(doe);
  }
  narrow.seed = session.seed();
  const Genetics genetics = session.genetics(herd);
  PairingTable table = score(herd, genetics, narrow, session.run());
  if (session.line().common.format == Format::html)
    trace_paths(genetics.kinship, table, paths_drawn, 1, session.run());
  Preamble preamble = session.preamble(herd, InputsOf::rank);
  preamble.assumed = assumed_in(herd, table);
  session.answer(
      [&](Sink& out) { report_sire(out, session.line().common.format, preamble, herd, table); });
  return status_done;
}
