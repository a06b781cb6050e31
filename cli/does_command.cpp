// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/season_reports.hpp>

#include "session.hpp"

using namespace doewright;

/// `doewright does HERD`.
Status run_does(Session& session) {
  const auto herd = session.read_herd({.questions = false, .season_lists = true});
  DoesReview review = review_does(*herd, Offspring(herd->pedigree));
  std::vector<Animal> only;
  for (const std::string& id : session.line().common.does) {
    only.push_back(session.find(*herd, id, "doe"));
    const bool listed = std::any_of(review.does.begin(), review.does.end(),
                                    [&](const auto& row) { return row.doe.doe == only.back(); });
    if (!listed) {
      throw Ending{
          status_wrong_command,
          fmt::format("{} is not put forward this season: add her to does.csv", printable(id))};
    }
  }
  std::erase_if(review.does, [&](const DoeReview& row) {
    return !only.empty() && std::find(only.begin(), only.end(), row.doe.doe) == only.end();
  });
  const Preamble preamble = session.preamble(*herd, InputsOf::fitness);
  session.answer(
      [&](Sink& out) { report_does(out, session.line().common.format, preamble, *herd, review); });
  return status_done;
}
