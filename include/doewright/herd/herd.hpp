// SPDX-License-Identifier: MIT
#pragma once
/// A whole herd book in memory: the pedigree, and every fact beside it.
#include <optional>
#include <string>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/problem.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/animal_facts.hpp>
#include <doewright/herd/events.hpp>
#include <doewright/herd/fault_model.hpp>
#include <doewright/herd/season.hpp>
#include <doewright/herd/trait.hpp>
#include <doewright/pedigree/ids.hpp>
#include <doewright/pedigree/pedigree.hpp>
#include <doewright/pedigree/unknown_parents.hpp>

namespace doewright {

/// Facts only; filled once by its reader and never changed. Positions of all Animals are those of
/// `pedigree`.
struct Herd {
  Pedigree pedigree;
  Ids ids;
  AnimalFacts animals;

  std::vector<PossibleSire> possible_sires;
  std::vector<Examination> examinations;
  std::vector<KidCount> kid_counts;
  std::vector<GeneTest> gene_tests;
  std::vector<Record> records;
  std::vector<HealthTest> health_tests;
  std::vector<Heat> heats;
  std::vector<Service> services;
  std::vector<PregnancyCheck> pregnancy_checks;
  std::vector<Kidding> kiddings;

  std::vector<FaultModel> faults;   ///< In use or not; by key order of the file, built-ins after.
  std::vector<Trait> traits;
  Season season;
  std::vector<DoeForward> does;     ///< Put forward this season, in the order of the file.
  std::vector<SireOffer> sires;     ///< On offer this season, in the order of the file.
  bool does_listed = false;         ///< does.csv was there.
  bool sires_listed = false;        ///< sires.csv was there.

  Date as_of;
  bool as_of_set = false;           ///< By option or season.toml, not just today.
};

/// Sex against use, dates against dates, and the other rules that look at several facts at once: the
/// codes sex-use, wether-sire, born-before-parent, parent-young, parent-old, kiddings-close,
/// service-after-left, sex-not-scored, count-own-farm of INTERFACE section 5. Judged on the whole
/// width of partial dates: an error only if impossible for every possible day.
DOEWRIGHT_EXPORT std::vector<Problem> check(const Herd& herd);

/// Likenesses that only a person can judge, as questions: name-shared (tag, registration, other name),
/// id-near (case, blanks, accents apart), born-alike (birth day and breed and parents alike).
DOEWRIGHT_EXPORT std::vector<Problem> likenesses(const Herd& herd);

/// Breeds, years, sexes and dates become bare numbers here, for kinship/.
DOEWRIGHT_EXPORT UnknownParents unknown_parents(const Herd& herd);

/// Breed shares of every animal: as recorded, else the mean of the parents' (a blank breed with one
/// parent known: the known parent's); empty where nothing is known. Sum 1 within 1e-12.
DOEWRIGHT_EXPORT std::vector<std::vector<BreedShare>> breed_shares(const Herd& herd);

/// The value for these shares: the mean over the shares, a breed not named counting as `other`; no
/// shares: `other`.
DOEWRIGHT_EXPORT double by_breed(const ByBreed& values, const std::vector<BreedShare>& shares,
                                 const std::vector<std::string>& breed_names);

/// The sex that is recorded, or that its use shows: a sire is a buck, a dam a doe, as far as nothing
/// else is recorded.
DOEWRIGHT_EXPORT Sex sex_or_use(const Herd& herd, Animal animal);

/// Does she belong to the own herd: owner blank or season.own_herd, and not gone.
DOEWRIGHT_EXPORT bool in_own_herd(const Herd& herd, Animal animal);

/// The does put forward and sires on offer when the book does not list them: every living doe of the own
/// herd that is of age; every living buck. By id.
DOEWRIGHT_EXPORT std::vector<DoeForward> does_by_default(const Herd& herd);
DOEWRIGHT_EXPORT std::vector<SireOffer> sires_by_default(const Herd& herd);

/// The name if one is recorded and it is not the id, "Hazel (D-07)"; else the id.
DOEWRIGHT_EXPORT std::string display_name(const Herd& herd, Animal animal);

}  // namespace doewright
