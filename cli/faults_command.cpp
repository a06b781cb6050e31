// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/faults/proving.hpp>

#include "narrowed.hpp"
#include "session.hpp"

using namespace doewright;

namespace {

const FaultFit& fit_of(const Herd& herd, const std::vector<FaultFit>& fits,
                       const std::string& key) {
  std::vector<std::string_view> keys;
  for (const FaultFit& fit : fits) {
    if (herd.faults[fit.fault()].key == key) return fit;
    keys.push_back(herd.faults[fit.fault()].key);
  }
  const auto near = nearest(key, keys);
  throw Ending{status_wrong_command,
               fmt::format("no fault '{}' in use{}", printable(key),
                           near ? fmt::format("; did you mean '{}'?", printable(*near)) : "")};
}

}  // namespace

/// `doewright faults HERD`, `doewright faults HERD --prove SIRE FAULT`.
Status run_faults(Session& session) {
  Herd herd = *session.read_herd();
  const std::vector<std::string>& asked_proof = session.line().prove;
  std::optional<Animal> proved;
  if (!asked_proof.empty()) proved = session.find(herd, asked_proof[0], "buck");
  std::vector<Animal> animals = animals_named(session, herd);
  const Genetics genetics = session.genetics(herd);
  std::optional<ProofOfSire> proof;
  std::vector<FaultsOfHerd> faults;
  if (proved) {
    const FaultFit& fit = fit_of(herd, genetics.faults, asked_proof[1]);
    proof = ProofOfSire{*proved, fit.fault(), prove(herd, fit, *proved, session.run())};
    animals = {*proved};
  }
  const bool full =
      !session.line().common.does.empty() || !session.line().common.sires.empty();
  const Format format = session.line().common.format;
  const bool opened = format == Format::json || (format == Format::text && !proof);
  for (const FaultFit& fit : genetics.faults) {
    if (proof && fit.fault() != proof->fault) continue;
    FaultsOfHerd each;
    each.fault = fit.fault();
    each.animals = fit.animals(animals, session.run());
    each.evidence.resize(animals.size());
    if (opened) each.evidence = fit.evidence(animals, each.too_many, session.run());
    faults.push_back(std::move(each));
  }
  const bool lethal = std::any_of(faults.begin(), faults.end(), [&](const FaultsOfHerd& each) {
    return herd.faults[each.fault].lethal_by_days.has_value();
  });
  Preamble preamble = session.preamble(herd, lethal ? InputsOf::faults : InputsOf::none);
  for (const FaultsOfHerd& each : faults) {
    if (herd.faults[each.fault].assumed) {
      preamble.assumed.push_back("faults." + herd.faults[each.fault].key);
    }
  }
  session.answer([&](Sink& out) {
    report_faults(out, session.line().common.format, preamble, herd, animals, faults, proof, full);
  });
  return status_done;
}
