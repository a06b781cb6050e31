// SPDX-License-Identifier: MIT
#include <doewright/kinship/inbreeding.hpp>
#include <doewright/kinship/known.hpp>

#include "session.hpp"

using namespace doewright;

/// `doewright inbreeding HERD`.
Status run_inbreeding(Session& session) {
  const auto herd = session.read_herd();
  const std::vector<double> f = inbreeding(herd->pedigree, session.run());
  const std::vector<double> generations = generations_known(herd->pedigree);
  const std::vector<double> complete = completeness(herd->pedigree, 5, session.run());
  session.answer([&](Sink& out) {
    report_inbreeding(out, session.line().common.format, session.preamble(*herd, InputsOf::none),
                      *herd,
                      {.inbreeding = f, .generations = generations, .completeness = complete});
  });
  return status_done;
}
