// SPDX-License-Identifier: MIT
#include <algorithm>

#include <doewright/report/keep_reports.hpp>

#include "session.hpp"

using namespace doewright;

namespace {

/// Prices and limits that this command uses, of those that a ranking does.
bool is_used(const Input& input) {
  return input.name == "limits.keep" || input.name == "kid.value_keep" ||
         input.name == "kid.value_meat";
}

/// Entries without a source whose chance or price moved a value.
std::vector<std::string> assumed_in(const Herd& herd, const Genetics& genetics,
                                    const KeepAdvice& advice) {
  std::vector<std::string> names;
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    const bool mattered =
        std::any_of(advice.kids.begin(), advice.kids.end(), [&](const DoeKid& kid) {
          return std::any_of(kid.faults.begin(), kid.faults.end(), [&](const KeepFault& fault) {
            return fault.fault == f && fault.cost >= 0.5;
          });
        });
    if (herd.faults[f].assumed && mattered) names.push_back("faults." + herd.faults[f].key);
  }
  for (const MeritFit& fit : genetics.merit) {
    for (const TraitIndex trait : fit.traits()) {
      const Trait& entry = herd.traits[trait];
      if (entry.assumed && entry.value_keep != 0.0 && fit.records(trait) > 0) {
        names.push_back("traits." + entry.key);
      }
    }
  }
  return names;
}

}  // namespace

/// `doewright keep HERD`.
Status run_keep(Session& session) {
  const auto book = session.read_herd();
  Herd herd = *book;  // records that contradict each other may be taken out
  const Genetics genetics = session.genetics(herd);
  const KeepAdvice advice = keep_advice(herd, genetics, session.run());
  Preamble preamble = session.preamble(herd, InputsOf::rank);
  std::erase_if(preamble.inputs, [](const Input& input) { return !is_used(input); });
  preamble.assumed = assumed_in(herd, genetics, advice);
  session.answer(
      [&](Sink& out) { report_keep(out, session.line().common.format, preamble, herd, advice); });
  return status_done;
}
