// SPDX-License-Identifier: MIT
#include <doewright/report/timing_reports.hpp>

#include "session.hpp"

using namespace doewright;

/// `doewright whose HERD [KID]`.
Status run_whose(Session& session) {
  const auto herd = session.read_herd();
  const Offspring offspring(herd->pedigree);
  std::vector<Animal> kids = kids_of_uncertain_sire(*herd);
  if (!session.line().animal_a.empty()) {
    kids = {session.find(*herd, session.line().animal_a, "kid")};
  }
  const std::vector<WhoseKid> answer = whose_kids(*herd, offspring, kids);
  Preamble preamble = session.preamble(*herd, InputsOf::timing);
  preamble.assumed = {"a doe in kid that stands again", "a service nobody wrote down"};
  session.answer(
      [&](Sink& out) { report_whose(out, session.line().common.format, preamble, *herd, answer); });
  return status_done;
}
