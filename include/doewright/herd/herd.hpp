// SPDX-License-Identifier: MIT
#pragma once
/// A whole herd book in memory: the pedigree, and every fact beside it.
#include <functional>
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

  std::vector<FaultModel> faults;  ///< In use or not; by key order of the file, built-ins after.
  std::vector<Trait> traits;
  Season season;
  std::vector<DoeForward> does;  ///< Put forward this season, in the order of the file.
  std::vector<SireOffer> sires;  ///< On offer this season, in the order of the file.
  bool does_listed = false;      ///< does.csv was there.
  bool sires_listed = false;     ///< sires.csv was there.

  Date as_of;
  bool as_of_set = false;  ///< By option or season.toml, not just today.
};

/// Takes problems one by one: a book of millions can have millions, and who takes them may count.
using SayProblem = std::function<void(Problem&&)>;

/// Sex against use, dates against dates, and the other rules that look at several facts at once.
/// Judged on the whole width of partial dates: said only if it is so for every possible day.
///
/// Errors: sex-use, born-before-parent (or the same day). Warnings: wether-sire, parent-young,
/// parent-old, kiddings-close, service-after-left, sex-not-scored, count-own-farm (INTERFACE
/// section 5), and two of the same kind: born-after-left (a kid born after its dam had died, or
/// more than 160 days after its sire had), before-born (anything dated before the animal was born).
///
/// sex-use and wether-sire come once an animal and role, on the row of its first kid or entry. A
/// row of possible_sires.csv with chance 0 is no complaint. Order: not by line; readers sort. Cost:
/// a few passes over the columns; 8 bytes an animal where births are recorded.
DOEWRIGHT_EXPORT void check(const Herd& herd, const SayProblem& say);
DOEWRIGHT_EXPORT std::vector<Problem> check(const Herd& herd);

/// Likenesses that only a person can judge, as questions. Each names both animals and their lines;
/// of a group of alike animals each one is compared with the first.
///
/// name-shared: a tag, registration or other name (lists split at ";") that is also another
/// animal's,
///   or another animal's id. id-near: ids alike when case, blanks, punctuation and accents are put
///   aside ("1-12" and "11-2" are not alike: digits keep their borders). born-alike: born on the
///   same day, same sex, breed and sire, neither dam known: perhaps one animal entered twice. (Kids
///   of one dam born on one day are a litter, and no question.)
/// Cost: sorts 16 bytes a name; nothing is compared pair by pair.
DOEWRIGHT_EXPORT void likenesses(const Herd& herd, const SayProblem& say);
DOEWRIGHT_EXPORT std::vector<Problem> likenesses(const Herd& herd);

/// Breeds, years, sexes and dates become bare numbers here, for kinship/ (DEFINITIONS 2). What is
/// not recorded excludes nobody. A list of which no animal has an entry stays empty,
/// breed_inbreeding_of without figures by breed, and birth_year and breed_class under 10,000
/// animals with a birth year. Cost: a pass a list; 1 to 25 bytes an animal, as much as is recorded.
DOEWRIGHT_EXPORT UnknownParents unknown_parents(const Herd& herd);

/// Breed shares of every animal: as recorded, else the mean of the parents' (a blank breed with one
/// parent known: the known parent's); empty where nothing is known. Sum 1 within 1e-12, by breed
/// index. An uncertain sire counts by his chances; the buck who is not on the list has the kid's
/// breed.
DOEWRIGHT_EXPORT std::vector<std::vector<BreedShare>> breed_shares(const Herd& herd);

/// The value for these shares: the mean over the shares, a breed not named counting as `other`; no
/// shares: `other`.
DOEWRIGHT_EXPORT double by_breed(const ByBreed& values, const std::vector<BreedShare>& shares,
                                 const std::vector<std::string>& breed_names);

/// The sex that is recorded, or that its use shows in the pedigree or any table: a sire is a buck,
/// a dam a doe. Unknown if it is used as neither or as both. Cost: one animal without a recorded
/// sex costs a pass over the pedigree; for many ask for all.
DOEWRIGHT_EXPORT Sex sex_or_use(const Herd& herd, Animal animal);
DOEWRIGHT_EXPORT std::vector<Sex> sexes_or_uses(const Herd& herd);

/// Does she belong to the own herd: owner blank or season.own_herd, and not gone.
DOEWRIGHT_EXPORT bool in_own_herd(const Herd& herd, Animal animal);

/// The does put forward and sires on offer when the book does not list them: every living doe of
/// the own herd that is of age (limits.doe_months[0] by its youngest possible age; birth not
/// recorded: included); every living buck, terms own if he is of the own herd. Sex as recorded,
/// else as used; an animal without a row of its own and without a recorded sex (a name in a
/// pedigree) is neither. By id.
DOEWRIGHT_EXPORT std::vector<DoeForward> does_by_default(const Herd& herd);
DOEWRIGHT_EXPORT std::vector<SireOffer> sires_by_default(const Herd& herd);

/// The name if one is recorded and it is not the id, "Hazel (D-07)"; else the id.
DOEWRIGHT_EXPORT std::string display_name(const Herd& herd, Animal animal);

}  // namespace doewright
