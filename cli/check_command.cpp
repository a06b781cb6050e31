// SPDX-License-Identifier: MIT
#include <algorithm>

#include <doewright/pairing/genetics.hpp>

#include "session.hpp"

using namespace doewright;

namespace {

/// Beyond, genotypes of the whole book take longer than a check should; `faults` and `rank` say it.
constexpr std::size_t most_for_contradictions = 20'000;

/// Looks, tests and horns that cannot all be true by the laws of inheritance.
void add_contradictions(HerdBook& book, const Session& session) {
  std::vector<Problem> found = contradictions(*book.herd, session.run());
  if (found.empty()) return;
  book.errors_total += found.size();
  book.problems.insert(book.problems.begin(), std::make_move_iterator(found.begin()),
                       std::make_move_iterator(found.end()));
  if (!session.line().common.set_aside) book.herd = nullptr;
}

}  // namespace

/// `doewright check HERD`: its report is the answer, so it is printed whatever it finds.
Status run_check(Session& session) {
  HerdBook book = session.read_book({.questions = true, .season_lists = false});
  if (book.herd != nullptr && book.herd->pedigree.size() <= most_for_contradictions) {
    add_contradictions(book, session);
  }
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
