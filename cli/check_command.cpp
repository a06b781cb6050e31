// SPDX-License-Identifier: MIT
#include "session.hpp"

using namespace doewright;

/// `doewright check HERD`: its report is the answer, so it is printed whatever it finds.
Status run_check(Session& session) {
  const HerdBook book = session.read_book({.questions = true, .season_lists = false});
  Preamble preamble{.as_of = book.as_of,
                    .herd = session.line().herd,
                    .warnings = {},
                    .inputs = {},
                    .assumed = {},
                    .set_aside = book.set_aside,
                    .colour = false};
  if (book.herd != nullptr) preamble.colour = session.preamble(*book.herd, InputsOf::none).colour;
  const CheckResult result{.problems = book.problems,
                           .errors_total = book.errors_total,
                           .warnings_total = book.warnings_total,
                           .questions_total = book.questions_total,
                           .usable = book.herd != nullptr,
                           .herd = book.herd.get()};
  session.answer(
      [&](Sink& out) { report_check(out, session.line().common.format, preamble, result); });
  return result.usable ? status_done : status_book_needs_repair;
}
