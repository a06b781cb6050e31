// SPDX-License-Identifier: MIT
// How the book's rows become records: kiddings, parities, birth types, groups, links; and the books
// that hold next to nothing.
#include <doctest/doctest.h>

#include <cmath>

#include <doewright/core/errors.hpp>

#include "herd/tiny_herd.hpp"
#include "merit/birth_litters.hpp"
#include "merit/random_herd.hpp"
#include "merit/trait_records.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

Trait trait_of(std::string key, std::vector<std::string> fixed) {
  Trait trait;
  trait.key = std::move(key);
  trait.heritability = 0.25;
  trait.phenotypic_sd = 2.0;
  trait.fixed = std::move(fixed);
  return trait;
}

void kidded(Herd& herd, std::string_view doe, std::string_view day, std::optional<int> born,
            KiddingHelp help = KiddingHelp::unknown) {
  Kidding kidding;
  kidding.doe = animal(herd, doe);
  if (!day.empty()) kidding.date = date(day);
  kidding.kids_born = born;
  kidding.help = help;
  herd.kiddings.push_back(kidding);
}

TraitRecords records_of(const Herd& herd, TraitIndex trait) {
  const BirthLitters litters = birth_litters(herd);
  return trait_records(herd, trait, Kinship(herd.pedigree).inbreeding(), &litters);
}

/// "level level ..." of one effect, by record.
std::vector<std::string> levels(const TraitRecords& records, std::string_view effect) {
  std::vector<std::string> names;
  for (const RecordLevels& each : records.fixed) {
    if (each.effect != effect) continue;
    for (const std::uint32_t level : each.of) names.push_back(each.names[level]);
  }
  return names;
}

}  // namespace

TEST_CASE("kiddings give kids born, kids raised and help as 0, 1, 2; the parity is counted") {
  Herd herd = herd_of({{"D1"}, {"D2"}});
  herd.season.own_herd = "own";
  Trait born = trait_of("kids_born", {"parity", "year", "group"}), help = trait_of("help", {});
  born.from = help.from = RecordsFrom::kiddings;
  herd.traits = {born, help};
  kidded(herd, "D1", "2024-03-01", 2, KiddingHelp::hard);
  kidded(herd, "D1", "2022-02-01", 1, KiddingHelp::none);
  kidded(herd, "D2", "2024", 3);
  kidded(herd, "D1", "2023-02-01", std::nullopt, KiddingHelp::some);
  const TraitRecords kids = records_of(herd, 0), helped = records_of(herd, 1);
  CHECK(kids.values == std::vector<double>{2, 1, 3});
  CHECK(levels(kids, "parity") == std::vector<std::string>{"3", "1", "1"});
  CHECK(levels(kids, "year") == std::vector<std::string>{"2024", "2022", "2024"});
  CHECK(levels(kids, "group") == std::vector<std::string>{"2024 own", "2022 own", "2024 own"});
  CHECK(helped.values == std::vector<double>{2, 0, 1});
}

TEST_CASE("a record's blank parity is the doe's kiddings so far; blank dates leave it blank") {
  Herd herd = herd_of({{"D"}, {"N"}});
  herd.traits = {trait_of("milk", {"parity"})};
  kidded(herd, "D", "2022-02-01", 2);
  kidded(herd, "D", "2023-02-01", 2);
  const auto milk = [&](std::string_view doe, std::string_view day, std::optional<int> parity) {
    Record record = record_of(animal(herd, doe), 0, 700);
    if (!day.empty()) record.date = date(day);
    record.parity = parity;
    herd.records.push_back(record);
  };
  milk("D", "2022-06-01", std::nullopt);
  milk("D", "2024-06-01", std::nullopt);
  milk("D", "2024-06-01", 7);
  milk("D", "", std::nullopt);
  milk("N", "2024-06-01", std::nullopt);
  CHECK(levels(records_of(herd, 0), "parity") == std::vector<std::string>{"1", "2", "7", "", "0"});
}

TEST_CASE("birth type: kids born at the dam's kidding, else litter mates in the book") {
  Herd herd = herd_of({{"D"},
                       {"A", "", "D", Sex::doe, date("2024-03-01")},
                       {"B", "", "D", Sex::buck, date("2024-03-03")},
                       {"C", "", "D", Sex::doe, date("2023-02-01")},
                       {"E", "", "D", Sex::doe, date("2022")},
                       {"G", "", "D", Sex::doe, date("2022")},
                       {"H", "", "", Sex::doe, date("2022-02-01")},
                       {"I", "", "D"}});
  herd.traits = {trait_of("gain", {"birth_type", "sex"})};
  kidded(herd, "D", "2023-02-01", 3);
  for (const char* id : {"A", "B", "C", "E", "G", "H", "I"}) {
    herd.records.push_back(record_of(animal(herd, id), 0, 18));
  }
  const TraitRecords records = records_of(herd, 0);
  CHECK(levels(records, "birth_type") == std::vector<std::string>{"2", "2", "3", "2", "2", "", ""});
  CHECK(levels(records, "sex") ==
        std::vector<std::string>{"doe", "buck", "doe", "doe", "doe", "doe", ""});
  const BirthLitters litters = birth_litters(herd);
  const auto litter = [&](const char* id) { return litters.litter_of[animal(herd, id).position]; };
  CHECK(litter("A") == litter("B"));
  CHECK(litter("E") == litter("G"));
  CHECK(litter("A") != litter("C"));
  CHECK(litter("H") != litter("I"));
  // Two kiddings that year: births known by the year alone are nobody's litter mates.
  kidded(herd, "D", "2022-01-05", 1);
  kidded(herd, "D", "2022-11-05", 1);
  const BirthLitters apart = birth_litters(herd);
  CHECK(apart.litter_of[animal(herd, "E").position] != apart.litter_of[animal(herd, "G").position]);
  // A named litter is one whatever the days say.
  write(herd.animals.litter, herd, {{"A", "x"}, {"C", "x"}});
  const BirthLitters named = birth_litters(herd);
  CHECK(named.litter_of[animal(herd, "A").position] == named.litter_of[animal(herd, "C").position]);
  CHECK(named.litter_of[animal(herd, "A").position] != named.litter_of[animal(herd, "B").position]);
}

TEST_CASE("a blank group is birth year and owner, never the same as a written one") {
  Herd herd = herd_of(
      {{"A", "", "", Sex::doe, date("2024-03")}, {"B", "", "", Sex::doe, date("2024-05")}, {"C"}});
  herd.season.own_herd = "own";
  owned_by(herd, "B", "Hollow");
  herd.traits = {trait_of("gain", {"group"})};
  for (const char* id : {"A", "B", "C"}) herd.records.push_back(record_of(animal(herd, id), 0, 18));
  Record written = record_of(animal(herd, "C"), 0, 18);
  written.group = "2024 own";
  herd.records.push_back(written);
  const TraitRecords records = records_of(herd, 0);
  CHECK(levels(records, "group") ==
        std::vector<std::string>{"2024 own", "2024 Hollow", "? own", "2024 own"});
  CHECK(records.groups == 4);
}

TEST_CASE("records are corrected for the animal's own inbreeding before anything else") {
  Herd herd = herd_of({{"S"}, {"D"}, {"B", "S", "D"}, {"C", "S", "D"}, {"K", "B", "C"}});
  herd.traits = {trait_of("gain", {})};
  herd.traits[0].per_percent_inbreeding = -0.1;
  herd.records = {record_of(animal(herd, "K"), 0, 18), record_of(animal(herd, "B"), 0, 18)};
  const TraitRecords records = records_of(herd, 0);
  CHECK(records.values[0] == doctest::Approx(18 + 0.1 * 25));
  CHECK(records.values[1] == 18.0);
}

TEST_CASE("linked: a group tells of others only if kin of its animals stand elsewhere") {
  Herd herd = herd_of({{"S"},
                       {"A", "S", ""},
                       {"B", "S", ""},
                       {"M"},  // mate of A in her group
                       {"X"},  // alone in a group of its own
                       {"Y"},  // a sire with kids in one group
                       {"Y1", "Y", ""},
                       {"Y2", "Y", ""},
                       {"N"}});  // without a record
  herd.traits = {trait_of("gain", {"group"})};
  const auto in = [&](const char* id, const char* group) {
    Record record = record_of(animal(herd, id), 0, 18);
    record.group = group;
    herd.records.push_back(record);
  };
  in("A", "1");
  in("M", "1");
  in("B", "2");
  in("X", "3");
  in("Y1", "4");
  in("Y2", "4");
  const MeritFit fit(herd, {0}, Kinship(herd.pedigree));
  const auto linked = [&](const char* id) { return fit.of(animal(herd, id), 0).linked; };
  CHECK(linked("A"));
  CHECK(linked("M"));  // through A
  CHECK(linked("B"));
  CHECK(!linked("X"));
  CHECK(!linked("Y1"));
  CHECK(!linked("Y2"));
  CHECK(!linked("Y"));
  CHECK(!linked("N"));
  // A group of one tells nothing of X: no news, no reliability. So with Y: his kids' group is his
  // own.
  CHECK(std::abs(fit.of(animal(herd, "X"), 0).breeding_value) < 1e-12);
  CHECK(std::abs(fit.of(animal(herd, "X"), 0).reliability) < 1e-12);
}

TEST_CASE("linked agrees with kinship pair by pair on random herds") {
  for (std::uint64_t which = 0; which < 30; ++which) {
    CAPTURE(which);
    Dice dice(900 + which);
    Herd herd;
    herd.pedigree = random_pedigree(
        dice, {.animals = 30, .founders = 14, .blank = 50, .unsure = 15, .reach = 5});
    plain_facts(herd);
    herd.traits = {trait_of("gain", {"group"})};
    for (std::uint32_t i = 0; i < 30; ++i) {
      if (!dice.in_hundred(60)) continue;
      Record record = record_of(Animal{i}, 0, 18 + half_open(dice));
      record.group = std::to_string(dice.below(9));
      herd.records.push_back(record);
    }
    const Kinship kinship(herd.pedigree);
    const MeritFit fit(herd, {0}, kinship);
    std::map<std::string, bool> group_linked;
    for (const Record& a : herd.records) {
      for (const Record& b : herd.records) {
        if (a.group != b.group && kinship.of(a.animal, b.animal) > 0.0) {
          group_linked[a.group] = true;
        }
      }
    }
    std::vector<bool> expected(30, false);
    for (const Record& a : herd.records) {
      if (group_linked[a.group]) expected[a.animal.position] = true;
    }
    for (std::uint32_t i = 0; i < 30; ++i) {
      CAPTURE(i);
      CHECK(fit.of(Animal{i}, 0).linked == expected[i]);
    }
  }
}

TEST_CASE("books that hold next to nothing are answered, and what is missing is said") {
  Herd herd = herd_of({{"A"}, {"B", "A", ""}});
  herd.traits = {trait_of("gain", {"sex", "group", "age_days"}), trait_of("none", {})};
  herd.traits[1].phenotypic_sd = 0.0;
  const Kinship kinship(herd.pedigree);
  const MeritFit empty(herd, {0, 1}, kinship);
  for (const TraitIndex trait : {TraitIndex{0}, TraitIndex{1}}) {
    const auto value = empty.of(animal(herd, "B"), trait);
    CHECK(value.breeding_value == 0.0);
    CHECK(std::abs(value.reliability) < 1e-12);
    CHECK(!value.linked);
    CHECK(empty.records(trait) == 0);
  }
  CHECK(empty.effects().empty());
  std::size_t without = 0, flat = 0;
  for (const MeritNote& note : empty.notes()) {
    without += note.remark == MeritRemark::no_records ? 1 : 0;
    flat += note.remark == MeritRemark::no_variance && note.trait == 1 ? 1 : 0;
  }
  CHECK(without == 2);
  CHECK(flat == 1);
  const std::vector<Animal> both = {Animal{0}, Animal{1}};
  const Grid<double> covariance = empty.error_covariance(both);
  CHECK(covariance(0, 0) == doctest::Approx(1.0));  // VA = .25 x 4
  CHECK(covariance(0, 2) == doctest::Approx(0.5));
  CHECK(covariance(1, 1) == 0.0);
  CHECK(empty.draw(both, 3, 1).rows == 3);

  herd.records = {record_of(animal(herd, "A"), 0, 18), record_of(animal(herd, "A"), 1, 5)};
  const MeritFit one(herd, {0, 1}, kinship);  // one record: it is its own group, sex and age
  CHECK(std::abs(one.of(animal(herd, "A"), 0).breeding_value) < 1e-12);
  CHECK(one.of(animal(herd, "A"), 1).breeding_value == 0.0);
  for (const FixedEstimate& each : one.effects()) CHECK(each.records <= 1);

  const MeritFit only_flat(herd, {1}, kinship);
  CHECK(only_flat.of(animal(herd, "A"), 1).reliability == 0.0);
  CHECK(only_flat.draw(both, 2, 1).cells == std::vector<double>(4, 0.0));

  Herd nobody;
  nobody.traits = herd.traits;
  plain_facts(nobody);
  const MeritFit of_nobody(nobody, {0}, Kinship(nobody.pedigree));
  CHECK_THROWS_AS(static_cast<void>(of_nobody.of(Animal{0}, 0)), UsageError);
}

TEST_CASE("correlations join traits into one fit; a trait that is off joins nothing") {
  Herd herd = herd_of({{"A"}});
  herd.traits = {trait_of("a", {}), trait_of("b", {}), trait_of("c", {}), trait_of("d", {})};
  herd.traits[2].correlations = {{"a", 0.5}, {"d", 0.0}};
  const Kinship kinship(herd.pedigree);
  auto fits = fit_merit(herd, kinship);
  REQUIRE(fits.size() == 3);
  CHECK(fits[0].traits().size() == 2);
  CHECK(fits[0].traits()[1] == 2);
  CHECK(fits[1].traits()[0] == 1);
  CHECK_THROWS_AS(static_cast<void>(fits[1].of(Animal{0}, 0)), UsageError);
  herd.traits[2].use = false;
  CHECK(fit_merit(herd, kinship).size() == 3);
  CHECK(fit_merit(herd, kinship)[0].traits().size() == 1);
}

TEST_CASE("correlations of one, and such as contradict the maternal ones, are said") {
  Herd herd = herd_of({{"A"}, {"B", "A", ""}});
  herd.traits = {trait_of("a", {}), trait_of("b", {})};
  herd.traits[0].correlations = {{"b", 1.0}};
  for (const TraitIndex trait : {TraitIndex{0}, TraitIndex{1}}) {
    herd.records.push_back(record_of(Animal{1}, trait, 18));
  }
  const Kinship kinship(herd.pedigree);
  const MeritFit one(herd, {0, 1}, kinship);
  REQUIRE(one.notes().size() == 1);
  CHECK(one.notes()[0].remark == MeritRemark::nearly_one);
  herd.traits[0].correlations = {{"b", 0.95}};
  herd.traits[0].maternal_heritability = herd.traits[1].maternal_heritability = 0.2;
  herd.traits[0].direct_maternal_correlation = -0.9;
  const MeritFit apart(herd, {0, 1}, kinship);
  // a's maternal value goes with a (-.9) and b with a (.95): b and that maternal value cannot be
  // strangers, as .9^2 + .95^2 is above 1.
  REQUIRE(apart.notes().size() == 1);
  CHECK(apart.notes()[0].remark == MeritRemark::correlations_apart);
}

TEST_CASE("a caller's mistakes") {
  Herd herd = herd_of({{"A"}});
  herd.traits = {trait_of("a", {})};
  const Kinship kinship(herd.pedigree);
  CHECK_THROWS_AS(MeritFit(herd, {}, kinship), UsageError);
  CHECK_THROWS_AS(MeritFit(herd, {1}, kinship), UsageError);
  CHECK_THROWS_AS(MeritFit(herd, {0, 0}, kinship), UsageError);
  CHECK_THROWS_AS(MeritFit(herd, {0}, Kinship(Pedigree())), UsageError);
  herd.traits[0].litter_share = 0.8;  // with heritability .25 nothing is left
  CHECK_THROWS_AS(MeritFit(herd, {0}, kinship), UsageError);
}
