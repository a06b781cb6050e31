// SPDX-License-Identifier: MIT
// Faults of a herd, step by step: the fit, all pairs of the does put forward and the sires on offer,
// 2,000 joint worlds of them. Herds to measure with: write_herd.py.
//
//   bench_faults FOLDER [times]
#include <algorithm>
#include <cstdlib>

#include <fmt/format.h>

#include <doewright/faults/fault_fit.hpp>
#include <doewright/herdbook/read.hpp>

#include "bench/shortest_of.hpp"

using namespace doewright;
using namespace doewright::testing;

int main(int argc, char** argv) {
  if (argc < 2) return 2;
  const int times = argc > 2 ? std::atoi(argv[2]) : 3;
  ReadOptions options;
  options.today = *date_of(2026, 9, 15);
  const HerdBook book = read_herd_book(argv[1], options);
  if (!book.herd) return 1;
  const Herd& herd = *book.herd;
  std::vector<Animal> does, sires;
  for (const DoeForward& doe : herd.does) does.push_back(doe.doe);
  for (const SireOffer& sire : herd.sires) sires.push_back(sire.sire);
  const std::vector<double> litter(does.size(), 1.85);
  std::vector<Animal> both = sires;
  both.insert(both.end(), does.begin(), does.end());
  fmt::print("{} animals, {} does, {} sires, {} looks; one thread, CPU seconds\n",
             herd.pedigree.size(), does.size(), sires.size(), herd.examinations.size());
  Run run;
  run.threads = 1;
  const Kinship kinship(herd.pedigree, unknown_parents(herd));
  const EvidenceIndex evidence(herd);
  std::vector<FaultFit> fits;
  double total = shortest_of(times, [&] { fits = fit_faults(herd, kinship, evidence, {}, run); });
  fmt::print("fit of all faults: {:.4f}\n{:16} {:>11} {:>9} {:>9}\n", total, "fault", "method",
             "pairs", "worlds");
  for (std::size_t f = 0; f < fits.size(); ++f) {
    if (!fits[f].possible()) continue;
    Grid<KidRisk> risks(0, 0);
    // A fresh fit each time: a gene's last answer is kept.
    double pairs = 1e300;
    for (int i = 0; i < times; ++i) {
      const auto fresh = fit_faults(herd, kinship, evidence, {}, run);
      pairs = std::min(pairs, shortest_of(1, [&] { risks = fresh[f].kids(sires, does, litter, run); }));
    }
    total += pairs;
    const double worlds = shortest_of(times, [&] { (void)fits[f].worlds(both, 2000, run); });
    fmt::print("{:16} {:>11} {:>9.4f} {:>9.4f}\n", herd.faults[fits[f].fault()].key,
               word(risks(0, 0).method), pairs, worlds);
  }
  fmt::print("fit and all pairs together: {:.4f}\n", total);
  return 0;
}
