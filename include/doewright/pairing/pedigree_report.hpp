// SPDX-License-Identifier: MIT
#pragma once
/// One animal kept or sold: all that the book says of it, put together for a buyer.
///
/// Facts and counts with their rows; the words are report's. Nothing is judged here and nothing
/// that was worked out is given as if it had been seen: "not recorded" stays empty to the last
/// page.
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// Who may stand in a place of the chart, and the chance of each. Certain: one with chance 1. Not
/// recorded: none. Under an uncertain sire his parents' places hold the parents of each candidate,
/// each with the candidate's chance; what is left to 1 is not recorded. (Chances of one place:
/// those of two places under one uncertain sire go together and must not be multiplied.)
struct PedigreePlace {
  std::string place;             ///< Path from the subject: "s" sire, "sd" sire's dam. Never empty.
  std::vector<SireChance> held;  ///< Largest chance first; ties by id.
  std::vector<double> inbreeding;  ///< F of each of held.
  /// Of the certain holder: faults found in it, and of how many faults it was looked at.
  std::vector<FaultIndex> found;
  std::size_t looked = 0;
};

/// A common ancestor of the parents: what it adds to the subject's F, and what a buyer needs to
/// work it out again: over its paths the sum of (1/2)^animals (1 + its own F).
struct PedigreeSharedAncestor {
  std::optional<Animal> ancestor;  ///< Empty: a sire not on the list of an uncertain one.
  double contribution = 0.0;       ///< Part of F, not a percentage; the contributions sum to F.
  double own_inbreeding = 0.0;
  std::vector<std::size_t> places;  ///< Indexes into places: where it stands in this chart.
  std::vector<Path> paths;          ///< From the sire to the dam, largest first.
  bool beyond_chart = false;        ///< A path goes through a place that the chart does not show.
  std::size_t deepest = 0;          ///< Generations back of its farthest place on a listed path.
};

/// The F that the subject has if this buck is the sire.
struct PedigreeIfSire {
  SireChance sire;
  double inbreeding = 0.0;
};

/// Three states of one fault: found, looked and clear, not looked.
struct PedigreeFault {
  FaultIndex fault = 0;
  LookedAt own;
  std::vector<Examination> looks;  ///< Its own rows, in order of the file.
  LookedAt sire, dam;
  bool sire_certain = false, dam_known = false;
  LookCount full_sibs, half_sibs, kids;      ///< By certain parents.
  LookCount elsewhere_seen, elsewhere_told;  ///< Kids of kid_counts, and those by an owner's word.
};

/// Of a blood sample under this age little can be told: antibodies drunk with the colostrum (common
/// practice, no source; what a result means is for a veterinarian).
inline constexpr int blood_test_months = 6;

enum class SampleAge : std::uint8_t { told, too_young, not_known };

struct PedigreeTest {
  std::optional<FaultIndex> fault;  ///< A gene test; empty: a health test.
  std::string what, result;         ///< Key or disease, and the result, as written.
  PartialDate date;
  std::string laboratory;
  std::optional<int> months;  ///< Age at the sample by its latest possible birth; empty: not known.
  SampleAge age = SampleAge::not_known;  ///< too_young is said of health tests alone.
  Row row;
};

/// A record beside those of its herd mates: other animals with a record of this trait in the same
/// `group` (blank: of the same birth year and owner), and of the same sex and parity where the
/// trait names these among its fixed effects. Of a mate with several such records the mean counts.
struct PedigreeRecord {
  Animal animal;  ///< The subject or its dam.
  Record record;
  std::size_t mates = 0;
  double mates_mean = 0.0;  ///< 0 without mates.
};

enum class PedigreeGap : std::uint8_t {
  birth_day,     ///< Born: not to the day, or not at all.
  sire,          ///< Not recorded.
  sire_unsure,   ///< Several possible sires.
  dam,           ///< Not recorded.
  places,        ///< Places of the chart that are not recorded; see count.
  horns,         ///< Horned or polled as born: not recorded.
  looks,         ///< Faults that were never looked for in it.
  health_tests,  ///< Diseases of season.papers.required without a test that tells.
  records,       ///< No record and no kidding of its own.
};

struct PedigreeNotKnown {
  PedigreeGap gap = PedigreeGap::birth_day;
  double count = 0.0;                 ///< places: how many, fractions where a sire is not certain.
  std::vector<FaultIndex> faults;     ///< looks
  std::vector<std::string> diseases;  ///< health_tests
};

struct PedigreeReport {
  Animal animal;
  int chart_generations = 4;
  double inbreeding =
      0.0;  ///< Expectation where sires are not certain. 0..1, a floor: blanks unrelated.
  double completeness = 0.0;  ///< MacCluer's index over five generations.
  Known known;
  std::vector<PedigreeSharedAncestor> shared;  ///< Largest contribution first.
  double paths_left_out = 0.0;                 ///< Part of F on paths that are not listed.
  /// By the sire, with the largest F first; one entry where he is certain; none where not known or
  /// the dam is not.
  std::vector<PedigreeIfSire> if_sire;
  /// Four readings of the blanks, with sire and dam certain.
  std::optional<KidInbreeding> readings;
  std::vector<PedigreePlace>
      places;  ///< By generation, then sire's side first: s d ss sd ds dd ...
  std::vector<PedigreeFault> faults;  ///< Of those that are recorded anywhere in the book.
  std::vector<PedigreeTest> tests;    ///< Gene tests, then health tests, in order of the file.
  std::vector<PedigreeRecord> records;
  std::vector<Kidding> kiddings, dam_kiddings;  ///< In order of the file.
  std::vector<Service> services;                ///< Since its last kidding, at most 200 days ago.
  std::vector<PregnancyCheck> checks;           ///< After the first of these services.
  std::size_t kids = 0, possible_kids = 0;      ///< In the book.
  std::vector<PedigreeNotKnown> not_known;
};

inline constexpr int chart_generations_least = 3, chart_generations_most = 5;

/// Puts it together. `kinship` is of the herd's pedigree.
/// \param generations  of the chart: 3, 4 or 5 (14, 30 or 62 places).
/// \throws UsageError: no such animal, another number of generations.
/// Cost: kinship of the parents, and passes over the herd's rows.
DOEWRIGHT_EXPORT PedigreeReport pedigree_report(const Herd& herd, const Kinship& kinship,
                                                Animal animal, int generations = 4);

}  // namespace doewright
