// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/timing_reports.hpp>

#include "session.hpp"

using namespace doewright;

/// `doewright stay HERD SIRE`.
Status run_stay(Session& session) {
  const std::string& id = session.line().animal_a;
  if (id.empty()) {
    throw Ending{status_wrong_command, "stay: say which buck; see doewright stay --help"};
  }
  const auto herd = session.read_herd({.questions = false, .season_lists = true});
  const Animal buck = session.find(*herd, id, "buck");
  const auto offer = std::find_if(herd->sires.begin(), herd->sires.end(),
                                  [&](const SireOffer& row) { return row.sire == buck; });
  if (offer == herd->sires.end()) {
    throw Ending{
        status_wrong_command,
        fmt::format("{} is not on offer this season: add him to sires.csv", printable(id))};
  }
  std::vector<Animal> does;
  for (const DoeForward& row : herd->does) does.push_back(row.doe);
  const auto lengths = stay_lengths(*herd, Offspring(herd->pedigree), *offer, does);
  const Preamble preamble = session.preamble(*herd, InputsOf::timing);
  session.answer([&](Sink& out) {
    report_stay(out, session.line().common.format, preamble, *herd, *offer, lengths, does.size());
  });
  return status_done;
}
