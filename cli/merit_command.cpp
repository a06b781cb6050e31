// SPDX-License-Identifier: MIT
#include <algorithm>

#include <doewright/kinship/kinship.hpp>
#include <doewright/merit/merit.hpp>

#include "session.hpp"

using namespace doewright;

namespace {

/// Those named by --doe and --sire, in the order of the book; else everybody.
std::vector<Animal> asked_for(const Session& session, const Herd& herd) {
  const CommonOptions& options = session.line().common;
  std::vector<Animal> animals;
  for (const std::string& id : options.does) animals.push_back(session.find(herd, id));
  for (const std::string& id : options.sires) animals.push_back(session.find(herd, id));
  std::sort(animals.begin(), animals.end());
  animals.erase(std::unique(animals.begin(), animals.end()), animals.end());
  if (!animals.empty()) return animals;
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) animals.push_back(Animal{i});
  return animals;
}

}  // namespace

/// `doewright merit HERD`.
Status run_merit(Session& session) {
  const auto herd = session.read_herd();
  const std::vector<Animal> animals = asked_for(session, *herd);
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
