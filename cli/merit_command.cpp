// SPDX-License-Identifier: MIT
#include <doewright/kinship/kinship.hpp>
#include <doewright/merit/merit.hpp>

#include "narrowed.hpp"
#include "session.hpp"

using namespace doewright;

/// `doewright merit HERD`.
Status run_merit(Session& session) {
  const auto herd = session.read_herd();
  const std::vector<Animal> animals = animals_named(session, *herd);
  const Kinship kinship(herd->pedigree, {}, session.run());
  MeritOptions options;
  options.seed = session.line().common.seed;
  const std::vector<MeritFit> fits = fit_merit(*herd, kinship, options, session.run());
  std::vector<MeritIndex> index;
  for (const Animal animal : animals) index.push_back(merit_index(*herd, fits, animal));
  Preamble preamble = session.preamble(*herd, InputsOf::none);
  for (const MeritFit& fit : fits) {
    for (const TraitIndex trait : fit.traits()) {
      const Trait& entry = herd->traits[trait];
      if (entry.assumed && fit.records(trait) > 0)
        preamble.assumed.push_back("traits." + entry.key);
    }
  }
  session.answer([&](Sink& out) {
    report_merit(out, session.line().common.format, preamble, *herd,
                 {.fits = fits, .animals = animals, .index = index});
  });
  return status_done;
}
