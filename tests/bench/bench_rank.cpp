// SPDX-License-Identifier: MIT
// `rank` of one season, step by step: reading, kinship, faults, merit, the table without and with
// worlds drawn, the answer written. Books to measure with: write_season.py.
//
//   bench_rank FOLDER [times] [draws]
//
// CPU seconds of the process, all threads together, the shortest of several times.
#include <algorithm>
#include <cstdlib>
#include <optional>

#include <fmt/format.h>

#include <doewright/herdbook/read.hpp>
#include <doewright/pairing/pairing.hpp>
#include <doewright/report/report.hpp>

#include "bench/shortest_of.hpp"

using namespace doewright;
using namespace doewright::testing;

int main(int argc, char** argv) {
  if (argc < 2) return 2;
  const int times = argc > 2 ? std::atoi(argv[2]) : 3;
  ScoreOptions narrow;
  if (argc > 3) narrow.draws = static_cast<std::size_t>(std::atoi(argv[3]));
  ReadOptions options;
  options.today = *date_of(2026, 9, 15);
  options.fill_lists = true;
  std::optional<HerdBook> book;
  const auto tell = [](const char* what, double seconds) {
    fmt::print("{:24} {:8.4f} s\n", what, seconds);
  };
  tell("reading", shortest_of(times, [&] { book = read_herd_book(argv[1], options); }));
  if (!book->herd) return 1;
  const Herd& herd = *book->herd;
  fmt::print("{} animals, {} does, {} sires\n", herd.pedigree.size(), herd.does.size(),
             herd.sires.size());
  tell("kinship", shortest_of(times, [&] { Kinship(herd.pedigree, unknown_parents(herd)); }));
  const Kinship kinship(herd.pedigree, unknown_parents(herd));
  const EvidenceIndex evidence(herd);
  tell("faults: loci", shortest_of(times, [&] { fit_loci(herd, evidence); }));
  tell("faults: all", shortest_of(times, [&] { fit_faults(herd, kinship, evidence); }));
  tell("merit", shortest_of(times, [&] { fit_merit(herd, kinship); }));
  const Genetics genetics = genetics_of(herd);
  std::vector<Animal> animals, does;
  for (const SireOffer& offer : herd.sires) animals.push_back(offer.sire);
  const std::vector<Animal> sires = animals;
  for (const DoeForward& doe : herd.does) does.push_back(doe.doe);
  animals.insert(animals.end(), does.begin(), does.end());
  const std::vector<double> litter(does.size(), 2.0);
  double worlds = 0.0, kids = 0.0;
  for (const FaultFit& fit : genetics.faults) {
    kids += shortest_of(times, [&] { fit.kids(sires, does, litter); });
    worlds += shortest_of(times, [&] { fit.worlds(animals, narrow.draws); });
  }
  tell("faults: risks of pairs", kids);
  tell("faults: worlds", worlds);
  ScoreOptions none = narrow;
  none.draws = 0;
  PairingTable table;
  tell("score without draws", shortest_of(times, [&] { table = score(herd, genetics, none); }));
  tell("score", shortest_of(times, [&] { table = score(herd, genetics, narrow); }));
  for (const Format format : {Format::text, Format::json, Format::html}) {
    tell("report", shortest_of(times, [&] {
           StringSink out;
           report_rank(out, format, {}, herd, table, false);
         }));
  }
  return 0;
}
