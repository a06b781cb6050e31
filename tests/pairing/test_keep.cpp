// SPDX-License-Identifier: MIT
// Doors: coancestries of near kin, Falconer and Mackay (1996), Introduction to Quantitative
// Genetics, ch. 5 (from memory): parent and kid 1/4, half sibs 1/8; the others follow by halves.
// Chances of a kid of two carriers: Mendel, 1/4, 1/2, 1/4. Three months and fourteen: common
// practice, no source.
#include <doctest/doctest.h>

#include <doewright/pairing/keep.hpp>
#include <doewright/pairing/keep_reason_codes.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

const DoeKid& kid_of(const Herd& herd, const KeepAdvice& advice, std::string_view id) {
  for (const DoeKid& kid : advice.kids) {
    if (herd.ids[kid.kid] == id) return kid;
  }
  FAIL("no such kid: " << id);
  return advice.kids.front();
}

std::vector<std::string> ids_of(const Herd& herd, const KeepAdvice& advice) {
  std::vector<std::string> ids;
  for (const DoeKid& kid : advice.kids) ids.emplace_back(herd.ids[kid.kid]);
  return ids;
}

bool says(const DoeKid& kid, std::string_view code) {
  for (const Reason& reason : kid.reasons) {
    if (reason.code == code) return true;
  }
  return false;
}

void look(Herd& herd, std::string_view id, std::uint8_t grade) {
  Examination exam;
  exam.animal = animal(herd, id);
  exam.grade = grade;
  exam.date = date("2026-09-01");
  exam.row = {Table::examinations, 2};
  herd.examinations.push_back(exam);
}

FaultModel recessive() {
  FaultModel fault;
  fault.key = fault.name = "weakness";
  fault.kind = FaultKind::locus;
  fault.allele_frequency.other = 0.1;
  fault.shown_doe = fault.shown_buck = Penetrance{{{1, 0}, {1, 0}, {0, 1}}};
  fault.test_error = 0.0;
  fault.seen_by = SeenBy::kidding;
  fault.cost_keep = {0.0, 100.0};
  fault.cost_meat = {0.0, 0.0};
  fault.cost_carried = 10.0;
  return fault;
}

/// Two parents that carry one copy each by gene test, and their doe kid.
Herd kid_of_carriers() {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date("2020-03-01")},
                       {"Hazel", "", "", Sex::doe, date("2021-03-01")},
                       {"Sorrel", "Alder", "Hazel", Sex::doe, date("2026-03-01")}});
  herd.faults = {recessive()};
  for (const std::string_view id : {"Alder", "Hazel"}) {
    GeneTest test;
    test.animal = animal(herd, id);
    test.copies = 1;
    herd.gene_tests.push_back(test);
  }
  return herd;
}

KeepAdvice advise(const Herd& herd) {
  return keep_advice(herd, genetics_of(herd));
}

}  // namespace

TEST_CASE("keeping a buck's daughter closes the door to him and his kin, at the note limit too") {
  Herd herd = herd_of({{"Old", "", "", Sex::buck, date("2015-03-01")},
                       {"Dam", "", "", Sex::doe, date("2015-03-01")},
                       {"Other", "", "", Sex::doe, date("2015-03-01")},
                       {"Alder", "Old", "Dam", Sex::buck, date("2018-03-01")},
                       {"Full", "Old", "Dam", Sex::buck, date("2019-03-01")},
                       {"Half", "Old", "Other", Sex::buck, date("2019-03-02")},
                       {"Hazel", "", "", Sex::doe, date("2019-03-03")},
                       {"Tansy", "", "", Sex::doe, date("2019-03-04")},
                       {"Son", "Alder", "Tansy", Sex::buck, date("2022-03-01")},
                       {"Nephew", "Half", "Tansy", Sex::buck, date("2022-03-02")},
                       {"Far", "Nephew", "Other", Sex::buck, date("2024-03-02")},
                       {"Daisy", "Alder", "Hazel", Sex::doe, date("2026-03-01")}});
  const KeepAdvice advice = advise(herd);
  REQUIRE(advice.kids.size() == 1);
  const std::vector<ClosedDoor>& doors = advice.kids[0].closes;
  const std::vector<std::pair<std::string_view, double>> expected = {
      {"Alder", 1. / 4}, {"Full", 1. / 8},  {"Old", 1. / 8},
      {"Son", 1. / 8},   {"Half", 1. / 16}, {"Nephew", 1. / 32}};
  REQUIRE(doors.size() == expected.size());  // Far, at 1/64, stays open
  for (std::size_t i = 0; i < expected.size(); ++i) {
    CAPTURE(i);
    CHECK(herd.ids[doors[i].sire] == expected[i].first);
    CHECK(doors[i].inbreeding == doctest::Approx(expected[i].second).epsilon(1e-12));
  }
  leaves(herd, "Full", date("2024"), LeftWhy::sold);
  CHECK(advise(herd).kids[0].closes.size() == expected.size() - 1);
  herd.sires_listed = true;  // a straw of a buck that is gone is on offer all the same
  SireOffer straw;
  straw.sire = animal(herd, "Full");
  straw.terms = Terms::semen;
  herd.sires.push_back(straw);
  CHECK(advise(herd).kids[0].closes.size() == expected.size());
}

TEST_CASE("mean kinship is to every living doe of the own herd, herself among them") {
  Herd herd = herd_of({{"Hazel", "", "", Sex::doe, date("2021-03-01")},
                       {"Tansy", "", "", Sex::doe, date("2021-03-01")},
                       {"Guest", "", "", Sex::doe, date("2021-03-01")},
                       {"Gone", "", "", Sex::doe, date("2021-03-01")},
                       {"Sorrel", "", "Hazel", Sex::doe, date("2026-03-01")}});
  owned_by(herd, "Guest", "Withyholt");
  leaves(herd, "Gone", date("2024"), LeftWhy::died);
  const KeepAdvice advice = advise(herd);
  CHECK(advice.herd_does == 3);
  CHECK(advice.kids[0].kinship_to_herd == doctest::Approx((0.5 + 0.25 + 0.0) / 3));
}

TEST_CASE("a doe kid is of the own herd, living, born within 14 months and has no kid") {
  Herd herd = herd_of({{"Barely", "", "", Sex::doe, date("2025-07-15")},
                       {"Older", "", "", Sex::doe, date("2025-07-14")},
                       {"Year", "", "", Sex::doe, date("2025")},
                       {"Mother", "", "", Sex::doe, date("2025-08-01")},
                       {"Baby", "", "Mother", Sex::unknown, date("2026-08-30")},
                       {"Sold", "", "", Sex::doe, date("2026-03-01")},
                       {"Guest", "", "", Sex::doe, date("2026-03-01")},
                       {"Undated", "", "", Sex::doe},
                       {"Wether", "", "", Sex::wether, date("2026-03-01")}});
  leaves(herd, "Sold", date("2026-08"), LeftWhy::sold);
  owned_by(herd, "Guest", "Withyholt");
  CHECK(ids_of(herd, advise(herd)) == std::vector<std::string>{"Barely", "Year"});
}

TEST_CASE("a fault found means not kept: last, and charged what a kept kid is worth more") {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date("2020-03-01")},
                       {"Hazel", "", "", Sex::doe, date("2021-03-01")},
                       {"Clear", "Alder", "Hazel", Sex::doe, date("2026-03-01")},
                       {"Aster", "Alder", "Hazel", Sex::doe, date("2026-03-01")},
                       {"Blank", "Alder", "Hazel", Sex::doe, date("2026-03-01")}});
  FaultModel teats;
  teats.key = teats.name = "teats";
  teats.heritability = 0.4;
  teats.incidence_above = {0.04};
  herd.faults = {teats};
  look(herd, "Clear", 0);
  look(herd, "Aster", 1);
  const KeepAdvice advice = advise(herd);
  CHECK(ids_of(herd, advice) == std::vector<std::string>{"Clear", "Blank", "Aster"});
  const DoeKid& found = kid_of(herd, advice, "Aster");
  CHECK(found.fault_found);
  CHECK(found.value == doctest::Approx(-(250.0 - 110.0)));  // season.toml's defaults
  CHECK(found.reasons.front().code == reason::keep_fault_found);
  const DoeKid& blank = kid_of(herd, advice, "Blank");
  CHECK(blank.value == doctest::Approx(-140.0 * blank.faults[0].shows));
  CHECK(blank.faults[0].shows > 0.04);  // her full sister shows it
  CHECK(says(blank, reason::keep_not_looked));
  CHECK(says(blank, reason::keep_same_sire));
  CHECK(says(blank, reason::keep_same_dam));
  CHECK_FALSE(says(kid_of(herd, advice, "Clear"), reason::keep_not_looked));
  CHECK(advice.not_examined == std::vector<Animal>{animal(herd, "Blank")});
}

TEST_CASE("kid of two carriers: 1 in 4 shows it, 1 in 2 carries it; looked at and clear, 2 in 3") {
  Herd herd = kid_of_carriers();
  const DoeKid blank = advise(herd).kids.at(0);
  CHECK(blank.faults[0].shows == doctest::Approx(0.25));
  CHECK(blank.faults[0].carries == doctest::Approx(0.5));
  CHECK(blank.cost == doctest::Approx(100.0 / 4 + 10.0 / 2));
  CHECK(says(blank, reason::keep_may_carry));
  look(herd, "Sorrel", 0);
  const DoeKid clear = advise(herd).kids.at(0);
  CHECK(clear.faults[0].shows == doctest::Approx(0.0));
  CHECK(clear.cost == doctest::Approx(10.0 * 2 / 3));
  CHECK(clear.value == doctest::Approx(-clear.cost));
}

TEST_CASE("a lethal fault takes the whole kid, and nothing once she has lived past its age") {
  Herd herd = kid_of_carriers();
  herd.faults[0].lethal_by_days = 30.0;
  herd.animals.born[animal(herd, "Sorrel").position] = date("2026-09-10");  // five days old
  const DoeKid young = advise(herd).kids.at(0);
  CHECK(young.cost == doctest::Approx(250.0 / 4 + 0.75 * 10.0 / 2));
  herd.animals.born[animal(herd, "Sorrel").position] = date("2026-03-01");
  const DoeKid lived = advise(herd).kids.at(0);
  CHECK(lived.faults[0].shows == doctest::Approx(0.0));
  CHECK(lived.cost == doctest::Approx(10.0 * 2 / 3));
}

TEST_CASE("buck kids by the day they are three months old, unless they are on offer") {
  Herd herd = herd_of({{"Moss", "", "", Sex::buck, date("2026-05-31")},
                       {"Reed", "", "", Sex::buck, date("2026-08")},
                       {"Wether", "", "", Sex::wether, date("2026-03-01")},
                       {"Stud", "", "", Sex::buck, date("2026-03-01")},
                       {"Grown", "", "", Sex::buck, date("2024-03-01")}});
  herd.sires_listed = true;
  SireOffer offer;
  offer.sire = animal(herd, "Stud");
  herd.sires.push_back(offer);
  const KeepAdvice advice = advise(herd);
  REQUIRE(advice.castrate.size() == 2);
  CHECK(to_text(advice.castrate[0].by) == "2026-08-31");
  CHECK(to_text(advice.castrate[1].by) == "2026-11-01");
  CHECK(advice.kids.empty());
}
