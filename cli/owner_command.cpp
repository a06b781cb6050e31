// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/keep_reports.hpp>

#include "session.hpp"

using namespace doewright;

/// `doewright owner HERD SIRE`: what the owner of a hired buck is told.
Status run_owner(Session& session) {
  const CommandLine& line = session.line();
  if (line.animal_a.empty()) {
    throw Ending{status_wrong_command, "owner: say which buck; see doewright owner --help"};
  }
  const auto herd = session.read_herd();
  const Animal buck = session.find(*herd, line.animal_a, "buck");
  if (sex_or_use(*herd, buck) == Sex::doe) {
    throw Ending{status_wrong_command,
                 fmt::format("{} is a doe", printable(display_name(*herd, buck)))};
  }
  const OwnerReport report = owner_report(*herd, buck);
  const Preamble preamble = session.preamble(*herd, InputsOf::none);
  session.answer(
      [&](Sink& out) { report_owner(out, line.common.format, preamble, *herd, report); });
  return status_done;
}
