// SPDX-License-Identifier: MIT
#pragma once
/// What the herd book says about one locus, record by record (DEFINITIONS 3 and 11).
#include <optional>
#include <vector>

#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>

#include "locus_network.hpp"

namespace doewright {

/// The entries of faults.toml that are signs of one gene.
struct Locus {
  FaultIndex base = 0;             ///< Gives the frequency and the inheritance.
  std::vector<FaultIndex> signs;   ///< In use; the base among them if it is.
};

/// Every locus of which a sign is in use, by its base.
std::vector<Locus> loci_in_use(const Herd& herd);
/// The locus of one entry. \pre a locus fault.
Locus locus_of(const Herd& herd, FaultIndex fault);

enum class RecordKind : std::uint8_t { look, alive, died, gene_test, count, dead_kids, living_kids };

/// One piece of evidence: what may be left out as a whole.
struct LocusRecord {
  RecordKind kind = RecordKind::look;
  FaultIndex fault = 0;
  std::optional<Animal> animal = {};  ///< Of evidence on an animal itself.
  std::vector<Row> rows = {};
  bool told = false;
  CopiesBySex likelihood = {Copies{1, 1, 1}, Copies{1, 1, 1}};
  bool survived = false;                  ///< It lived past the age at which this sign kills.
  bool living_of_unknown_litter = false;  ///< Then `likelihood` is the not-shown table.
  std::optional<PairEvidence> pair = {};
};

/// P(grade k | copies) of one sex as looks tell it: 1 for every copies where it is not scored.
Copies chance_shown(const FaultModel& fault, int sex);
/// P(that look | copies), by sex. \pre look is not not_looked.
CopiesBySex likelihood_of_look(const FaultModel& fault, const LookedAt& look);
/// P(dead before the age of a lethal sign | copies), by sex (DEFINITIONS 3).
CopiesBySex likelihood_of_death(const FaultModel& fault, double survive);
/// P(that result | copies), by sex.
CopiesBySex likelihood_of_test(const FaultModel& fault, std::uint8_t result);

/// All records of a locus, in order: looks and survival by animal, gene tests, counts, kiddings.
/// Cost: a pass over the animals where a sign is lethal or told by horns, sex or kidding.
std::vector<LocusRecord> locus_records(const Herd& herd, const Locus& locus,
                                       const EvidenceIndex& evidence, bool with_told);

/// Frequency of the base's allele, by each animal's own breed.
std::vector<double> allele_frequencies(const Herd& herd, const Locus& locus);

/// Takes a record in on its animal itself. \pre it is no evidence on a pair.
void add_record(const LocusRecord& record, OwnEvidence& own);

/// The input of a network of the whole herd; records for which `left_out` says so are left out.
LocusInput locus_input(const Herd& herd, const Locus& locus,
                       const std::vector<LocusRecord>& records,
                       const std::vector<bool>& left_out);

}  // namespace doewright
