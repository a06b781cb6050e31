// SPDX-License-Identifier: MIT
#include <doewright/kinship/kinship.hpp>
#include <doewright/pairing/pedigree_report.hpp>

#include "session.hpp"

using namespace doewright;

/// `doewright pedigree HERD ANIMAL`: what a buyer is told.
Status run_pedigree(Session& session) {
  const CommandLine& line = session.line();
  if (line.animal_a.empty()) {
    throw Ending{status_wrong_command, "pedigree: say which animal; see doewright pedigree --help"};
  }
  const auto herd = session.read_herd();
  const Animal animal = session.find(*herd, line.animal_a);
  const Kinship kinship(herd->pedigree, unknown_parents(*herd), session.run());
  const PedigreeReport report = pedigree_report(*herd, kinship, animal, line.generations);
  const Preamble preamble = session.preamble(*herd, InputsOf::kin);
  session.answer(
      [&](Sink& out) { report_pedigree(out, line.common.format, preamble, *herd, report); });
  return status_done;
}
