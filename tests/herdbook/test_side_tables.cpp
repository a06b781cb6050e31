// SPDX-License-Identifier: MIT
/// What is read from the tables beside animals.csv, column by column.
#include <doctest/doctest.h>

#include "book_in_memory.hpp"

using namespace doewright;

namespace {

const std::string goats =
    "id,sex,born\nD1,doe,2022-03-07\nD2,doe,2022\nB1,buck,2020-01-01\nB2,buck,\n";

/// \pre nothing is wrong with the table but what is `expected`.
HerdBook read_with(Table table, std::string text, std::string_view expected = "") {
  HerdBook book = read_book({{Table::animals, goats}, {table, std::move(text)}});
  CHECK(all_said(book) == expected);
  REQUIRE(book.herd);
  return book;
}

std::string fault_key(const HerdBook& book, FaultIndex fault) {
  return book.herd->faults[fault].key;
}

/// "teats=no@90": fault, what was found, age.
std::string looks(const HerdBook& book) {
  std::string text;
  for (const Examination& look : book.herd->examinations) {
    const FaultModel& fault = book.herd->faults[look.fault];
    std::string found = look.found == Found::grade      ? fault.grades[look.grade]
                        : look.found == Found::unwanted ? "unwanted"
                                                        : "removed";
    text += fmt::format("{}{}:{}={}@{}", text.empty() ? "" : " ", book.herd->ids[look.animal],
                        fault.key, found, look.age_days ? fmt::format("{}", *look.age_days) : "");
  }
  return text;
}

}  // namespace

TEST_CASE("examinations, long: grades, yes, no, removed; ages in days and words") {
  const HerdBook book = read_with(
      Table::examinations,
      "animal,fault,found,age,date,by,note\nD1,teats,no,birth,,,\nD1,TEATS,Minor,weaning,,,\n"
      "D1,teats,yes,kidding,,,\nD1,teats,removed,adult,,,\nD1,mannosidosis,yes,12,,,\n"
      "D1,topline,no,,2024-03-07,Ann,\"x, y\"\n");
  CHECK(looks(book) ==
        "D1:teats=no@0 D1:teats=minor@90 D1:teats=unwanted@365 D1:teats=removed@730 "
        "D1:mannosidosis=yes@12 D1:topline=straight@731");
  const Examination& last = book.herd->examinations.back();
  CHECK(to_text(last.date) == "2024-03-07");
  CHECK(last.by == "Ann");
  CHECK(last.note == "x, y");
  CHECK(last.row == Row{Table::examinations, 7});
}

TEST_CASE("examinations, long: a blank finding is not known") {
  CHECK(looks(read_with(Table::examinations, "animal,fault,found\nD1,teats,\nD1,teats,no\n",
                        "warning cell-blank examinations.csv:2:10")) == "D1:teats=no@");
}

TEST_CASE("examinations, wide: a blank cell was not looked at") {
  const HerdBook book =
      read_with(Table::examinations,
                "animal,teats,folded ears,topline,age\nD1,no,,weak,90\nD2,,,,\nB1,serious,yes,,\n");
  CHECK(looks(book) == "D1:teats=no@90 D1:topline=weak@90 B1:teats=serious@ B1:folded_ears=yes@");
  CHECK(book.herd->examinations[3].row == Row{Table::examinations, 4});
}

TEST_CASE("the age at an examination: of partial dates the youngest that is possible") {
  // D1 was born on 2022-03-07, D2 some time in 2022, B2 nobody knows when.
  const HerdBook book = read_with(
      Table::examinations,
      "animal,fault,found,date\nD1,teats,no,2022-03-17\nD1,teats,no,2022-04\nD1,teats,no,2022\n"
      "D2,teats,no,2023-01-10\nD2,teats,no,2022-06-01\nB2,teats,no,2022-06-01\nD1,teats,no,\n");
  CHECK(looks(book) ==
        "D1:teats=no@10 D1:teats=no@25 D1:teats=no@0 D2:teats=no@10 D2:teats=no@0 B2:teats=no@ "
        "D1:teats=no@");
}

TEST_CASE("kid counts") {
  const HerdBook book = read_with(
      Table::kid_counts,
      "sire,fault,examined,affected,dam,sex,date,word,source\n"
      "B1,teats,12,2,D1,doe,2024,told,Ash Farm\nB1,mannosidosis,5,0,,,,seen,\nB2,teats,3,1,,m,,,\n"
      "B2,teats,,,,,,,\n",
      "warning cell-blank kid_counts.csv:5:10");
  REQUIRE(book.herd->kid_counts.size() == 3);
  const KidCount& first = book.herd->kid_counts[0];
  CHECK(first.sire == animal(book, "B1"));
  CHECK(fault_key(book, first.fault) == "teats");
  CHECK(first.examined == 12);
  CHECK(first.affected == 2);
  CHECK(first.dam == animal(book, "D1"));
  CHECK(first.sex == Sex::doe);
  CHECK(first.date.year() == 2024);
  CHECK(first.told);
  CHECK(first.source == "Ash Farm");
  CHECK_FALSE(book.herd->kid_counts[1].told);
  CHECK_FALSE(book.herd->kid_counts[1].dam);
  CHECK_FALSE(book.herd->kid_counts[2].told);  // blank is seen
  CHECK(book.herd->kid_counts[2].sex == Sex::buck);
}

TEST_CASE("gene tests: words and copies") {
  const HerdBook book =
      read_with(Table::gene_tests,
                "animal,fault,result,date,laboratory\nD1,mannosidosis,clear,,\n"
                "D1,mannosidosis,Carrier,2024-05,Lab 1\nD1,mannosidosis,affected,,\n"
                "D2,mannosidosis,0,,\nD2,mannosidosis,1,,\nD2,mannosidosis,2,,\n"
                "B1,mannosidosis,,2024-06-01,Lab 1\n",
                // Undated results without a laboratory are one sample (DEFINITIONS 11).
                "warning tests-differ gene_tests.csv:4:0 D1\nwarning tests-differ gene_tests.csv:7:0 D2\n"
                "warning cell-blank gene_tests.csv:8:17");
  std::string copies;
  for (const GeneTest& test : book.herd->gene_tests) copies += fmt::format("{}", test.copies);
  CHECK(copies == "012012");  // a blank result is none
  CHECK(to_text(book.herd->gene_tests[1].date) == "2024-05");
  CHECK(book.herd->gene_tests[1].laboratory == "Lab 1");
}

TEST_CASE("records, in kilograms and in pounds") {
  const HerdBook book = read_with(
      Table::records,
      "animal,trait,value,date,group,parity,age_days\nD1,weaning_weight,17.5,2022-06-01,G1,2,90\n"
      "D2,weaning_weight,,,,,\nD2,weaning_weight,-1e1,,,,\n",
      "warning cell-blank records.csv:3:19");
  REQUIRE(book.herd->records.size() == 2);
  const Record& first = book.herd->records[0];
  CHECK(book.herd->traits[first.trait].key == "weaning_weight");
  CHECK(first.value == 17.5);
  CHECK(to_text(first.date) == "2022-06-01");
  CHECK(first.group == "G1");
  CHECK(first.parity == 2);
  CHECK(first.age_days == 90);
  CHECK(book.herd->records[1].value == -10.0);
  const HerdBook pounds =
      read_with(Table::records, "animal,trait,value_lb\nD1,weaning_weight,100\n");
  // 1 lb = 0.45359237 kg exactly (international yard and pound agreement, 1959).
  CHECK(pounds.herd->records[0].value == doctest::Approx(45.359237).epsilon(1e-15));
}

TEST_CASE("health tests: a result that is not there yet is no paper") {
  const HerdBook book =
      read_with(Table::health_tests,
                "animal,disease,result,date,laboratory\nB1,CAE,negative,2026-08-01,L\n"
                "B1,CL,,2026-08-01,L\n",
                "warning cell-blank health_tests.csv:3:7");
  REQUIRE(book.herd->health_tests.size() == 1);
  const HealthTest& test = book.herd->health_tests[0];
  CHECK(test.disease + test.result + test.laboratory == "CAEnegativeL");
  CHECK(to_text(test.date) == "2026-08-01");
}

TEST_CASE("heats, services, pregnancy checks, kiddings") {
  CHECK(read_with(Table::heats, "date,doe\n2026-08-01,D1\n").herd->heats[0].doe.position == 0);

  const HerdBook served = read_with(Table::services,
                                    "doe,sire,from,to,how\nD1,B1,2026-08-01,2026-09-04,pen\nD2,B1,"
                                    "2026-08,,seen\nD2,B2,2026-08-20,,\n");
  REQUIRE(served.herd->services.size() == 3);
  const Service& pen = served.herd->services[0];
  CHECK(pen.doe == animal(served, "D1"));
  CHECK(pen.sire == animal(served, "B1"));
  CHECK(to_text(pen.from) + "/" + to_text(pen.to) == "2026-08-01/2026-09-04");
  CHECK(pen.how == ServiceHow::pen);
  CHECK_FALSE(served.herd->services[1].to.known());
  CHECK(served.herd->services[2].how == ServiceHow::unknown);

  const HerdBook checked = read_with(
      Table::pregnancy_checks,
      "doe,date,result,how,kids,days\nD1,2026-09-01,In Kid,scan,2,35\nD2,2026-09-01,empty,,,\n"
      "D2,2026-09-02,,,,\n");
  REQUIRE(checked.herd->pregnancy_checks.size() == 2);
  const PregnancyCheck& scan = checked.herd->pregnancy_checks[0];
  CHECK(scan.result == PregnancyResult::in_kid);
  CHECK(scan.how == PregnancyHow::scan);
  CHECK(scan.kids == 2);
  CHECK(scan.days == 35);
  CHECK_FALSE(checked.herd->pregnancy_checks[1].kids);

  const HerdBook kidded = read_with(
      Table::kiddings,
      "doe,date,kids_born,kids_alive,kids_raised,help,sire,note\nD1,2024,3,2,4,hard,B1,late\n"
      "D2,2024-03,,,,none,,\n");
  REQUIRE(kidded.herd->kiddings.size() == 2);
  const Kidding& first = kidded.herd->kiddings[0];
  CHECK(first.kids_born == 3);
  CHECK(first.kids_alive == 2);
  CHECK(first.kids_raised == 4);  // of another doe's kids, too
  CHECK(first.help == KiddingHelp::hard);
  CHECK(first.sire == animal(kidded, "B1"));
  CHECK(first.note == "late");
  CHECK(kidded.herd->kiddings[1].help == KiddingHelp::none);
}

TEST_CASE("does.csv and sires.csv") {
  const HerdBook does = read_with(
      Table::does,
      "doe,kids_for,weight_lb,weighed,grown_weight_kg,condition,decision,sire,not_sires,note\n"
      "D2,keep,100,2026-09-20,60,3.5,wait,B1,B2; B1,old\nD1,,,,,,,,,\n");
  REQUIRE(does.herd->does.size() == 2);
  CHECK(does.herd->does_listed);
  const DoeForward& first = does.herd->does[0];
  CHECK(first.doe == animal(does, "D2"));
  CHECK(first.kids_for == KidsFor::keep);
  CHECK(*first.weight_kg == doctest::Approx(45.359237).epsilon(1e-15));
  CHECK(to_text(first.weighed) == "2026-09-20");  // a date of this file may lie ahead
  CHECK(first.grown_weight_kg == 60.0);
  CHECK(first.condition == 3.5);
  CHECK(first.decision == Decision::wait);
  CHECK(first.sire == animal(does, "B1"));
  CHECK(first.not_sires == std::vector<Animal>{animal(does, "B2"), animal(does, "B1")});
  CHECK(does.herd->does[1].kids_for == KidsFor::either);

  const HerdBook sires = read_with(
      Table::sires,
      "sire,terms,from,to,most_does,fee,fee_per_doe,cost_per_day,haul,tests_cost,value_if_lost,"
      "straws,semen,served,settled,conception,owner,note\n"
      "B1,hired,2026-10-01,2026-11-05,20,100,5,1.5,40,60,800,,,30,24,0.8,Elm Farm,kind\n"
      "B2,semen,,,,,,,,,,6,frozen,,,,,\n");
  REQUIRE(sires.herd->sires.size() == 2);
  CHECK(sires.herd->sires_listed);
  const SireOffer& hired = sires.herd->sires[0];
  CHECK(hired.terms == Terms::hired);
  CHECK(to_text(hired.from) + "/" + to_text(hired.to) == "2026-10-01/2026-11-05");
  CHECK(hired.most_does == 20u);
  CHECK(*hired.fee + *hired.fee_per_doe + *hired.cost_per_day + *hired.haul + *hired.tests_cost +
            *hired.value_if_lost ==
        100 + 5 + 1.5 + 40 + 60 + 800);
  CHECK(hired.served == 30u);
  CHECK(hired.settled == 24u);
  CHECK(hired.conception == 0.8);
  CHECK(hired.owner + hired.note == "Elm Farmkind");
  CHECK(sires.herd->sires[1].straws == 6u);
  CHECK(sires.herd->sires[1].semen == SemenKind::frozen);
  CHECK_FALSE(sires.herd->sires[1].fee);
}

TEST_CASE("an animal that only a side table names is in the book, once, with unknown parents") {
  const HerdBook book = read_book({{Table::animals, goats},
                                   {Table::heats, "doe,date\nX,2026-08-01\nX,2026-08-22\n"},
                                   {Table::does, "doe,not_sires\nX,Y;Z\n"}});
  REQUIRE(book.herd);
  CHECK(all_said(book) ==
        "warning animal-added heats.csv:2:1 X\nwarning animal-added does.csv:2:3 Y\n"
        "warning animal-added does.csv:2:3 Z");
  CHECK(book.herd->pedigree.size() == 7);
  CHECK_FALSE(book.herd->pedigree.dam(animal(book, "X")));
  CHECK(book.herd->animals.line[animal(book, "X").position] == 0);
}
