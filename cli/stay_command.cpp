// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/report/season_reports.hpp>

#include "session.hpp"

using namespace doewright;

/// `doewright stay HERD SIRE`.
Status run_stay(Session& session) {
  const std::string& id = session.line().animal_a;
  if (id.empty()) {
    throw Ending{status_wrong_command, "stay: say which buck; see doewright stay --help"};
  }
  const auto book = session.read_herd({.questions = false, .season_lists = true});
  Herd herd = *book;  // columns are shared or small beside the reading
  const Animal buck = session.find(herd, id, "buck");
  const auto offer = std::find_if(herd.sires.begin(), herd.sires.end(),
                                  [&](const SireOffer& row) { return row.sire == buck; });
  if (offer == herd.sires.end()) {
    throw Ending{
        status_wrong_command,
        fmt::format("{} is not on offer this season: add him to sires.csv", printable(id))};
  }
  const auto place = static_cast<std::size_t>(offer - herd.sires.begin());
  const Genetics genetics = session.genetics(herd);
  ScoreOptions values_only;
  values_only.draws = 0;
  const PairingTable table = score(herd, genetics, values_only, session.run());
  const StayAdvice advice = stay_advice(herd, Offspring(herd.pedigree), table, place);
  Preamble preamble = session.preamble(herd, InputsOf::rank);
  for (const Input& input : session.preamble(herd, InputsOf::timing).inputs) {
    const bool there = std::any_of(preamble.inputs.begin(), preamble.inputs.end(),
                                   [&](const Input& known) { return known.name == input.name; });
    if (!there) preamble.inputs.push_back(input);
  }
  session.answer([&](Sink& out) {
    report_stay(out, session.line().common.format, preamble, herd, herd.sires[place], advice);
  });
  return status_done;
}
