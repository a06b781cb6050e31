// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <doewright/core/errors.hpp>
#include <doewright/herd/evidence.hpp>

#include "tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

/// Looks are written one after the other: line 2, 3, ... of examinations.csv.
class Looks {
 public:
  explicit Looks(Herd& herd) : herd_(herd) {}

  void grade(std::string_view id, std::uint8_t grade, std::string_view day = {},
             std::optional<std::int32_t> age = {}, FaultIndex fault = 0) {
    write_down(id, Found::grade, grade, day, age, fault);
  }
  void found(std::string_view id, Found found, std::string_view day = {}, FaultIndex fault = 0) {
    write_down(id, found, 0, day, {}, fault);
  }

 private:
  void write_down(std::string_view id, Found found, std::uint8_t grade, std::string_view day,
                  std::optional<std::int32_t> age, FaultIndex fault) {
    Examination look;
    look.animal = animal(herd_, id);
    look.fault = fault;
    look.found = found;
    look.grade = grade;
    if (!day.empty()) look.date = date(day);
    look.age_days = age;
    look.row = {Table::examinations, static_cast<std::uint32_t>(herd_.examinations.size()) + 2};
    herd_.examinations.push_back(look);
  }
  Herd& herd_;
};

FaultModel teats() {
  FaultModel fault;
  fault.key = "teats";
  fault.grades = {"no", "minor", "serious"};
  return fault;
}

FaultModel locus(std::string_view key) {
  FaultModel fault;
  fault.key = key;
  fault.kind = FaultKind::locus;
  fault.shown_doe = fault.shown_buck = Penetrance{{{1, 0}, {1, 0}, {0, 1}}};
  return fault;
}

Row exam(std::uint32_t line) {
  return {Table::examinations, line};
}
Row row(std::uint32_t line) {
  return {Table::animals, line};
}

}  // namespace

TEST_CASE("Three states: found, looked and clear, not looked") {
  Herd herd = herd_of({{"A"}, {"B"}, {"C"}, {"R"}, {"Y"}});
  herd.faults = {teats()};
  Looks looks(herd);
  looks.grade("A", 0);
  looks.grade("B", 1, "2024-05-06", 90);
  looks.found("R", Found::removed);
  looks.found("Y", Found::unwanted);
  const EvidenceIndex evidence(herd);
  const auto look = [&](std::string_view id) { return evidence.looked_at(animal(herd, id), 0); };
  CHECK(look("A").look == Look::clear);
  CHECK(look("A").grade == 0);
  CHECK(look("B").look == Look::found);
  CHECK(look("B").grade == 1);
  CHECK(look("B").age_days == 90);
  CHECK(look("B").rows == std::vector<Row>{exam(3)});
  CHECK(look("C").look == Look::not_looked);
  CHECK(look("C").rows.empty());
  CHECK(look("R").look == Look::found);
  CHECK(look("R").removed);
  CHECK_FALSE(look("R").grade.has_value());
  CHECK(look("Y").look == Look::found);
  CHECK_FALSE(look("Y").removed);
  CHECK_THROWS_AS(evidence.looked_at(Animal{99}, 0), UsageError);
  CHECK_THROWS_AS(evidence.around(Animal{0}, 1), UsageError);
}

TEST_CASE("Worst look: unwanted before wanted, a named grade before yes, then the later grade") {
  Herd herd = herd_of({{"A"}, {"B"}, {"C"}, {"D"}, {"E"}});
  herd.faults = {teats()};
  FaultModel topline;
  topline.grades = {"roached", "straight", "weak"};
  topline.wanted = 1;
  herd.faults.push_back(topline);
  Looks looks(herd);
  looks.grade("A", 1);
  looks.grade("A", 0, "2026-01-01");
  looks.grade("A", 2, "2024-01-01");
  looks.found("B", Found::unwanted);
  looks.grade("B", 1);
  looks.grade("C", 0);
  looks.found("C", Found::removed);
  looks.found("C", Found::unwanted);
  looks.grade("D", 1, {}, {}, 1);  // straight is wanted, roached is not
  looks.grade("D", 0, {}, {}, 1);
  looks.grade("E", 0, {}, {}, 1);
  looks.grade("E", 2, {}, {}, 1);
  const EvidenceIndex evidence(herd);
  const LookedAt a = evidence.looked_at(animal(herd, "A"), 0);
  CHECK(a.grade == 2);
  CHECK(a.rows == std::vector<Row>{exam(2), exam(3), exam(4)});
  CHECK(evidence.looked_at(animal(herd, "B"), 0).grade == 1);
  const LookedAt c = evidence.looked_at(animal(herd, "C"), 0);
  CHECK(c.look == Look::found);
  CHECK_FALSE(c.removed);  // found otherwise, too
  CHECK(evidence.looked_at(animal(herd, "D"), 1).grade == 0);
  CHECK(evidence.looked_at(animal(herd, "E"), 1).grade == 2);
}

TEST_CASE("Latest look: the last date, undated first, of one date the worst") {
  Herd herd = herd_of({{"A"}, {"B"}, {"C"}});
  herd.faults = {teats()};
  herd.faults[0].repeat = Repeat::latest;
  Looks looks(herd);
  looks.grade("A", 2, "2024-01-01");
  looks.grade("A", 0, "2026-01-01");
  looks.grade("A", 1);
  looks.grade("B", 1);
  looks.grade("B", 2);
  looks.grade("C", 0, "2025-03-01");
  looks.grade("C", 1, "2025-03-01");
  const EvidenceIndex evidence(herd);
  CHECK(evidence.looked_at(animal(herd, "A"), 0).look == Look::clear);
  CHECK(evidence.looked_at(animal(herd, "B"), 0).grade == 2);
  CHECK(evidence.looked_at(animal(herd, "C"), 0).grade == 1);
}

TEST_CASE(
    "Detection: steps by age, nothing before the first, the lowest where age is not recorded") {
  FaultModel fault;
  CHECK(detection_at(fault, {}) == 1.0);
  CHECK(detection_at(fault, 0) == 1.0);
  fault.detection = {{30, 0.5}, {90, 0.9}};
  CHECK(detection_at(fault, {}) == 0.5);
  CHECK(detection_at(fault, 29) == 0.0);
  CHECK(detection_at(fault, 30) == 0.5);
  CHECK(detection_at(fault, 89) == 0.5);
  CHECK(detection_at(fault, 90) == 0.9);
}

TEST_CASE("Of equal looks the one with the higher detection counts; too early to see is no look") {
  Herd herd = herd_of({{"A"}, {"B"}, {"C"}});
  herd.faults = {teats()};
  herd.faults[0].detection = {{30, 0.5}, {90, 0.9}};
  Looks looks(herd);
  looks.grade("A", 0, {}, 30);
  looks.grade("A", 0, {}, 365);
  looks.grade("A", 0);
  looks.grade("B", 0, {}, 3);
  looks.grade("C", 1, {}, 3);
  const EvidenceIndex evidence(herd);
  CHECK(evidence.looked_at(animal(herd, "A"), 0).age_days == 365);
  const LookedAt b = evidence.looked_at(animal(herd, "B"), 0);
  CHECK(b.look == Look::not_looked);
  CHECK(b.rows == std::vector<Row>{exam(5)});
  CHECK(evidence.looked_at(animal(herd, "C"), 0).look == Look::found);
}

TEST_CASE("A sex that is not scored shows nothing") {
  Herd herd = herd_of({{"D", "", "", Sex::doe}, {"W", "", "", Sex::wether}, {"U"}});
  FaultModel fault = locus("x");
  fault.shown_buck.reset();
  herd.faults = {fault};
  Looks looks(herd);
  for (const std::string_view id : {"D", "W", "U"}) looks.grade(id, 0);
  const EvidenceIndex evidence(herd);
  CHECK(evidence.looked_at(animal(herd, "D"), 0).look == Look::clear);
  CHECK(evidence.looked_at(animal(herd, "W"), 0).look == Look::not_looked);
  CHECK(evidence.looked_at(animal(herd, "U"), 0).look == Look::clear);
}

TEST_CASE("Horns are a look at birth for polled; horns not recorded are no look") {
  Herd herd = herd_of({{"P", "", "", Sex::buck, date("2022-02-03")}, {"H"}, {"N"}});
  herd.faults = {teats(), locus("polled")};
  herd.animals.horns[0] = Horns::polled;
  herd.animals.horns[1] = Horns::horned;
  const EvidenceIndex evidence(herd);
  const LookedAt polled = evidence.looked_at(animal(herd, "P"), 1);
  CHECK(polled.look == Look::found);
  CHECK(polled.grade == 1);
  CHECK(polled.age_days == 0);
  CHECK(polled.rows == std::vector<Row>{row(2)});
  CHECK(evidence.looked_at(animal(herd, "H"), 1).look == Look::clear);
  CHECK(evidence.looked_at(animal(herd, "N"), 1).look == Look::not_looked);
  CHECK(evidence.looked_at(animal(herd, "P"), 0).look == Look::not_looked);
  REQUIRE(evidence.signs(animal(herd, "P"), 1).size() == 1);
  CHECK(evidence.signs(animal(herd, "P"), 1)[0].date == date("2022-02-03"));
}

TEST_CASE("Sex = intersex is a yes of intersex; a doe that has kidded is a no at 365 days") {
  Herd herd = herd_of({{"IX", "", "", Sex::intersex},
                       {"DAM", "", "", Sex::doe},
                       {"KIDDED", "", "", Sex::doe},
                       {"MAIDEN", "", "", Sex::doe},
                       {"SIRE", "", "", Sex::buck},
                       {"K", "SIRE", "DAM"}});
  FaultModel fault = locus("intersex");
  fault.shown_buck.reset();
  fault.detection = {{0, 0.8}, {365, 1.0}};
  herd.faults = {fault};
  Kidding kidding;
  kidding.doe = animal(herd, "KIDDED");
  kidding.date = date("2025-03-03");
  kidding.row = {Table::kiddings, 2};
  herd.kiddings.push_back(kidding);
  const EvidenceIndex evidence(herd);
  const auto look = [&](std::string_view id) { return evidence.looked_at(animal(herd, id), 0); };
  CHECK(look("IX").look == Look::found);
  CHECK(look("IX").rows == std::vector<Row>{row(2)});
  CHECK(look("DAM").look == Look::clear);
  CHECK(look("DAM").age_days == 365);
  CHECK(look("DAM").rows == std::vector<Row>{row(7)});
  CHECK(look("KIDDED").look == Look::clear);
  CHECK(look("KIDDED").rows == std::vector<Row>{{Table::kiddings, 2}});
  CHECK(look("MAIDEN").look == Look::not_looked);
  CHECK(look("SIRE").look == Look::not_looked);
  CHECK(evidence.signs(animal(herd, "DAM"), 0)[0].detection == 1.0);
}

TEST_CASE("Around an animal: own, parents, kids and sibs by certain parents, each counted once") {
  Herd herd = herd_of({{"S"},
                       {"D"},
                       {"A", "S", "D"},
                       {"FULL", "S", "D"},
                       {"HALF", "S", ""},
                       {"DHALF", "", "D"},
                       {"MAYBE", "", "D"},
                       {"K1", "A", ""},
                       {"K2", "A", ""},
                       {"K3", "A", ""},
                       {"PK", "", ""}},
                      {{"PK", "A", 0.5}, {"MAYBE", "S", 0.5}});
  herd.faults = {teats()};
  Looks looks(herd);
  looks.grade("A", 0);
  looks.grade("S", 2);
  looks.grade("FULL", 1);
  looks.grade("HALF", 0);
  looks.grade("K1", 0);
  looks.grade("K1", 1);
  looks.grade("K2", 0);
  looks.grade("PK", 1);
  const EvidenceIndex evidence(herd);
  const FaultEvidence around = evidence.around(animal(herd, "A"), 0);
  CHECK(around.own.look == Look::clear);
  CHECK(around.sire_known);
  CHECK(around.sire.look == Look::found);
  CHECK(around.dam_known);
  CHECK(around.dam.look == Look::not_looked);
  CHECK(around.kids.animals == 3);
  CHECK(around.kids.examined == 2);
  CHECK(around.kids.found == 1);
  CHECK(around.kids.rows == std::vector<Row>{exam(6), exam(7), exam(8)});
  CHECK(around.sibs.animals == 4);  // FULL, HALF, DHALF, and MAYBE by the dam
  CHECK(around.sibs.examined == 2);
  CHECK(around.sibs.found == 1);
  const FaultEvidence maybe = evidence.around(animal(herd, "MAYBE"), 0);
  CHECK_FALSE(maybe.sire_known);
  CHECK(maybe.sire.look == Look::not_looked);
  CHECK(maybe.sibs.animals == 3);  // A, FULL, DHALF
}

TEST_CASE(
    "Counts from elsewhere: seen and told apart, for the sire and for the dam if she is known") {
  Herd herd = herd_of({{"S", "", "", Sex::buck}, {"D", "", "", Sex::doe}});
  FaultModel fault = locus("x");
  fault.shown_buck.reset();
  herd.faults = {fault, teats()};
  const auto count = [&](FaultIndex of, std::uint32_t examined, std::uint32_t affected, bool told,
                         Sex sex, bool dam) {
    KidCount c;
    c.sire = animal(herd, "S");
    if (dam) c.dam = animal(herd, "D");
    c.fault = of;
    c.examined = examined;
    c.affected = affected;
    c.told = told;
    c.sex = sex;
    c.row = {Table::kid_counts, static_cast<std::uint32_t>(herd.kid_counts.size()) + 2};
    herd.kid_counts.push_back(c);
  };
  count(0, 9, 2, false, Sex::unknown, false);
  count(0, 5, 1, false, Sex::doe, true);
  count(0, 40, 0, true, Sex::unknown, false);
  count(0, 7, 0, false, Sex::buck, false);  // not scored in bucks: tells nothing
  count(1, 3, 3, false, Sex::unknown, false);
  const EvidenceIndex evidence(herd);
  const FaultEvidence sire = evidence.around(animal(herd, "S"), 0);
  CHECK(sire.elsewhere_seen.examined == 14);
  CHECK(sire.elsewhere_seen.animals == 14);
  CHECK(sire.elsewhere_seen.found == 3);
  CHECK(sire.elsewhere_seen.rows ==
        std::vector<Row>{{Table::kid_counts, 2}, {Table::kid_counts, 3}});
  CHECK(sire.elsewhere_told.examined == 40);
  CHECK(sire.elsewhere_told.found == 0);
  const FaultEvidence dam = evidence.around(animal(herd, "D"), 0);
  CHECK(dam.elsewhere_seen.examined == 5);
  CHECK(dam.elsewhere_told.examined == 0);
}
