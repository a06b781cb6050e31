// SPDX-License-Identifier: MIT
// Age limits of 240 and 180 days and 18 years, and kiddings 3 to 139 days apart: common practice,
// no source.
#include <doctest/doctest.h>
#include <doewright/herd/herd.hpp>

#include <algorithm>
#include <cstddef>
#include <random>

#include "tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

using Lines = std::vector<std::string>;

Lines told_by_check(const Herd& herd) {
  Lines lines = told(check(herd));
  std::sort(lines.begin(), lines.end());
  return lines;
}

bool is_error(const Problem& problem) {
  return problem.severity == Severity::error;
}

/// What check() says of one kid, its dam and its sire with these births.
Lines told_of(std::string_view kid, std::string_view dam, std::string_view sire) {
  const auto born = [](std::string_view text) { return text.empty() ? PartialDate{} : date(text); };
  return told_by_check(herd_of({{"S", "", "", Sex::buck, born(sire)},
                                {"D", "", "", Sex::doe, born(dam)},
                                {"K", "S", "D", Sex::doe, born(kid)}}));
}

Service service_of(const Herd& herd, std::string_view doe, std::string_view sire,
                   std::string_view from, ServiceHow how, std::uint32_t line) {
  Service service;
  service.doe = animal(herd, doe);
  service.sire = animal(herd, sire);
  service.from = date(from);
  service.how = how;
  service.row = {Table::services, line};
  return service;
}

Kidding kidding_of(const Herd& herd, std::string_view doe, std::string_view day,
                   std::uint32_t line) {
  Kidding kidding;
  kidding.doe = animal(herd, doe);
  kidding.date = date(day);
  kidding.row = {Table::kiddings, line};
  return kidding;
}

}  // namespace

TEST_CASE("A herd in order is no complaint") {
  CHECK(told_of("2024-03-02", "2022-02-01", "2020") == Lines{});
  CHECK(check(Herd{}).empty());
}

TEST_CASE(
    "sex-use: a doe as sire, a buck or wether as dam, an intersex as either, on the kid's line") {
  const Herd herd = herd_of({{"DOE", "", "", Sex::doe},
                             {"BUCK", "", "", Sex::buck},
                             {"WETHER", "", "", Sex::wether},
                             {"IX", "", "", Sex::intersex},
                             {"K1", "DOE", "BUCK"},
                             {"K2", "IX", "WETHER"},
                             {"K3", "WETHER", "IX"},
                             {"K4", "BUCK", "DOE"},
                             {"K5", "WETHER", ""}});
  CHECK(told_by_check(herd) == Lines{"sex-use animals.csv:6 BUCK", "sex-use animals.csv:6 DOE",
                                     "sex-use animals.csv:7 IX", "sex-use animals.csv:7 WETHER",
                                     "sex-use animals.csv:8 IX",
                                     "wether-sire animals.csv:8 WETHER"});
  for (const Problem& problem : check(herd)) {
    CHECK(is_error(problem) == (problem.code == "sex-use"));
    CHECK_FALSE(problem.message.empty());
    CHECK_FALSE(problem.remedy.empty());
  }
}

TEST_CASE("sex-use comes once an animal and role, on the first line, with the number of rows") {
  // K2 stands before its kid K1 in the pedigree, but K1 has the earlier line.
  const Herd herd = herd_of({{"K1", "D", "K2"}, {"K2", "D", ""}, {"D", "", "", Sex::doe}});
  const auto problems = check(herd);
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].line == 2);
  CHECK(problems[0].message.find("K1") != std::string::npos);
  CHECK(problems[0].message.find("2 rows") != std::string::npos);
}

TEST_CASE("sex-use: a doe among the possible sires, on the line of the list") {
  const Herd herd = herd_of({{"D", "", "", Sex::doe}, {"B", "", "", Sex::buck}, {"K"}, {"L"}},
                            {{"K", "B", 0.5}, {"K", "D", 0.5}, {"L", "D", 1.0}});
  CHECK(told_by_check(herd) == Lines{"sex-use possible_sires.csv:3 D"});
}

TEST_CASE("sex-use in the other tables; an intersex animal may be served and looked at") {
  Herd herd = herd_of({{"DOE", "", "", Sex::doe},
                       {"BUCK", "", "", Sex::buck},
                       {"IX", "", "", Sex::intersex},
                       {"D2", "", "", Sex::doe}});
  herd.services.push_back(service_of(herd, "IX", "BUCK", "2026-01-01", ServiceHow::seen, 2));
  CHECK(told_by_check(herd) == Lines{});
  herd.services.push_back(service_of(herd, "BUCK", "DOE", "2026-01-01", ServiceHow::seen, 3));
  herd.kiddings.push_back(kidding_of(herd, "IX", "2026-02-01", 4));
  SireOffer offer;
  offer.sire = animal(herd, "D2");
  offer.row = {Table::sires, 5};
  herd.sires.push_back(offer);
  CHECK(told_by_check(herd) == Lines{"sex-use kiddings.csv:4 IX", "sex-use services.csv:3 BUCK",
                                     "sex-use services.csv:3 DOE", "sex-use sires.csv:5 D2"});
}

TEST_CASE("born-before-parent: before, or the same day, and only if so for every possible day") {
  const std::string dam = "born-before-parent animals.csv:4 K";
  CHECK(told_of("2024-03-02", "2024-05-11", "") == Lines{dam});
  CHECK(told_of("2024-03-02", "", "2024-03-02") == Lines{dam});
  CHECK(told_of("2023", "2024", "2024-01-01") == Lines{dam, dam});
  CHECK(told_of("2024-05", "2024-05-31", "") == Lines{dam});
  // One possible day apart it is not impossible, but far too young for every possible day.
  CHECK(told_of("2024-05", "2024-05-30", "") == Lines{"parent-young animals.csv:4 K"});
  CHECK(told_of("2024", "2024", "2024") == Lines{});
  const auto problems = check(herd_of(
      {{"D", "", "", Sex::doe, date("2024-05-11")}, {"K", "", "D", Sex::doe, date("2024-03-02")}}));
  REQUIRE(problems.size() == 1);
  CHECK(is_error(problems[0]));
  CHECK(problems[0].message == "K was born 2024-03-02, before the dam D (born 2024-05-11, line 2)");
}

TEST_CASE("parent-young: a dam under 240 days, a sire under 180") {
  // Outside check, python3: date(2024, 1, 1) + timedelta(240) = 2024-08-28, + timedelta(180) =
  // 2024-06-29.
  const std::string young = "parent-young animals.csv:4 K";
  CHECK(told_of("2024-08-27", "2024-01-01", "") == Lines{young});
  CHECK(told_of("2024-08-28", "2024-01-01", "") == Lines{});
  CHECK(told_of("2024-06-28", "", "2024-01-01") == Lines{young});
  CHECK(told_of("2024-06-29", "", "2024-01-01") == Lines{});
  CHECK(told_of("2024-08-27", "2024-01", "") == Lines{young});
  CHECK(told_of("2024-08", "2024-01-01", "") == Lines{});  // 242 days on the last of August
  CHECK(told_of("2024-08", "2024-01-05", "") == Lines{young});
}

TEST_CASE("parent-old: over 18 years for every possible day, semen apart") {
  const std::string old = "parent-old animals.csv:4 K";
  CHECK(told_of("2024-03-02", "2006-03-01", "2006-03-02") == Lines{old});
  CHECK(told_of("2024-03-02", "2006", "2005-12") == Lines{old});
  CHECK(told_of("2024", "", "2005") == Lines{old});  // 18 years and a day at the least
  CHECK(told_of("2024", "", "2006") == Lines{});
  Herd herd = herd_of({{"S", "", "", Sex::buck, date("1999")},
                       {"D", "", "", Sex::doe, date("2020")},
                       {"K", "S", "D", Sex::doe, date("2024")}});
  CHECK(told_by_check(herd) == Lines{old});
  herd.services.push_back(service_of(herd, "D", "S", "2023-10-01", ServiceHow::semen, 2));
  CHECK(told_by_check(herd) == Lines{});
}

TEST_CASE("Possible sires are judged on their own line, each one; a chance of 0 is no complaint") {
  const Herd herd = herd_of({{"OLD", "", "", Sex::buck, date("2000-05-01")},
                             {"LATE", "", "", Sex::buck, date("2024-01-02")},
                             {"NOT", "", "", Sex::buck, date("2025")},
                             {"K", "", "", Sex::doe, date("2024-01-01")},
                             {"L", "", "", Sex::doe, date("2024-01-01")}},
                            {{"K", "OLD", 0.5}, {"K", "LATE", 0.5}, {"L", "LATE", 1.0}});
  Herd with_zero = herd;
  with_zero.possible_sires.push_back(
      {animal(herd, "K"), animal(herd, "NOT"), 0.0, "", {Table::possible_sires, 5}});
  const Lines expected = {"born-before-parent possible_sires.csv:3 K",
                          "born-before-parent possible_sires.csv:4 L",
                          "parent-old possible_sires.csv:2 K"};
  CHECK(told_by_check(herd) == expected);
  CHECK(told_by_check(with_zero) == expected);
}

TEST_CASE(
    "born-after-left: a kid of a dam that was dead, of a sire dead for longer than a gestation") {
  Herd herd = herd_of({{"S", "", "", Sex::buck, date("2020")},
                       {"D", "", "", Sex::doe, date("2020")},
                       {"K", "S", "D", Sex::doe, date("2024-06-10")}});
  leaves(herd, "D", date("2024-06-10"), LeftWhy::died);
  leaves(herd, "S", date("2024-01-02"), LeftWhy::slaughtered);  // 160 days before
  CHECK(told_by_check(herd) == Lines{});
  leaves(herd, "D", date("2024-06-09"), LeftWhy::died);
  leaves(herd, "S", date("2024-01-01"), LeftWhy::slaughtered);
  const std::string line = "born-after-left animals.csv:4 K";
  CHECK(told_by_check(herd) == Lines{line, line});
  leaves(herd, "D", date("2024-06"), LeftWhy::died);     // may have been after
  leaves(herd, "S", date("2023-01-01"), LeftWhy::sold);  // may have served elsewhere
  CHECK(told_by_check(herd) == Lines{});
}

TEST_CASE(
    "kiddings-close: 3 to 139 days apart, of one doe; a litter over two days is one kidding") {
  const auto gap = [](std::string_view first, std::string_view second) {
    return told_by_check(herd_of({{"D", "", "", Sex::doe, date("2015")},
                                  {"A", "", "D", Sex::doe, date(first)},
                                  {"B", "", "D", Sex::doe, date(second)}}));
  };
  // Outside check, python3: date(2024, 1, 1) + timedelta(139) = 2024-05-19.
  const Lines close = {"kiddings-close animals.csv:4 D"};
  CHECK(gap("2024-01-01", "2024-01-01") == Lines{});
  CHECK(gap("2024-01-01", "2024-01-03") == Lines{});
  CHECK(gap("2024-01-01", "2024-01-04") == close);
  CHECK(gap("2024-01-01", "2024-05-19") == close);
  CHECK(gap("2024-01-01", "2024-05-20") == Lines{});
  CHECK(gap("2024-01", "2024-03") == close);    // 30 to 90 days
  CHECK(gap("2024-01", "2024-02") == Lines{});  // one day at the least
  CHECK(gap("2024-01", "2024-05") == Lines{});  // 151 days at the most
  CHECK(gap("2024", "2024-05-02") == Lines{});
  CHECK(gap("2024-05-19", "2024-01-01") == Lines{"kiddings-close animals.csv:3 D"});
}

TEST_CASE("kiddings-close: a month written down between two days does not hide their gap") {
  CHECK(told_by_check(herd_of({{"D", "", "", Sex::doe, date("2015")},
                               {"A", "", "D", Sex::doe, date("2024-03-01")},
                               {"M", "", "D", Sex::doe, date("2024-03")},
                               {"B", "", "D", Sex::doe, date("2024-03-20")}})) ==
        Lines{"kiddings-close animals.csv:5 D"});
}

TEST_CASE("kiddings-close: kids in the book and rows of kiddings.csv together, each gap once") {
  Herd herd = herd_of({{"D", "", "", Sex::doe, date("2015")},
                       {"E", "", "", Sex::doe, date("2015")},
                       {"A1", "", "D", Sex::doe, date("2024-01-01")},
                       {"A2", "", "D", Sex::doe, date("2024-01-02")},
                       {"M", "", "D", Sex::doe, date("2024-01")},
                       {"E1", "", "E", Sex::doe, date("2024-02-02")}});
  herd.kiddings.push_back(kidding_of(herd, "D", "2024-01-01", 2));
  herd.kiddings.push_back(kidding_of(herd, "D", "2024-03-01", 3));
  herd.kiddings.push_back(kidding_of(herd, "E", "2023-12-24", 4));
  CHECK(told_by_check(herd) ==
        Lines{"kiddings-close animals.csv:7 E", "kiddings-close kiddings.csv:3 D"});
}

TEST_CASE("A kidding without kids in the book is a birth, too") {
  Herd herd = herd_of(
      {{"D", "", "", Sex::doe, date("2024-05-01")}, {"E", "", "", Sex::doe, date("2024-05-01")}});
  herd.kiddings.push_back(kidding_of(herd, "D", "2024-04-30", 2));
  herd.kiddings.push_back(kidding_of(herd, "E", "2024-10-30", 3));
  CHECK(told_by_check(herd) ==
        Lines{"born-before-parent kiddings.csv:2 D", "parent-young kiddings.csv:3 E"});
}

TEST_CASE("before-born: nothing is dated before the animal was born") {
  Herd herd = herd_of({{"A", "", "", Sex::doe, date("2024-05-02")}, {"B", "", "", Sex::buck, {}}});
  leaves(herd, "A", date("2024-04"), LeftWhy::sold);
  HealthTest test;
  test.animal = animal(herd, "A");
  test.date = date("2024-05-01");
  test.row = {Table::health_tests, 2};
  herd.health_tests.push_back(test);
  test.date = date("2024");  // may have been after
  test.row.line = 3;
  herd.health_tests.push_back(test);
  test.animal = animal(herd, "B");
  test.date = date("1990");
  herd.health_tests.push_back(test);
  CHECK(told_by_check(herd) ==
        Lines{"before-born animals.csv:2 A", "before-born health_tests.csv:2 A"});
}

TEST_CASE("service-after-left: the doe's leaving, and the sire's unless it is semen") {
  Herd herd = herd_of({{"D", "", "", Sex::doe}, {"E", "", "", Sex::doe}, {"B", "", "", Sex::buck}});
  leaves(herd, "D", date("2025-06"), LeftWhy::sold);
  leaves(herd, "B", date("2025-09-01"), LeftWhy::died);
  herd.services = {service_of(herd, "D", "B", "2025-06-30", ServiceHow::seen, 2),
                   service_of(herd, "D", "B", "2025-07-01", ServiceHow::seen, 3),
                   service_of(herd, "E", "B", "2025-09-01", ServiceHow::pen, 4),
                   service_of(herd, "E", "B", "2025-09-02", ServiceHow::pen, 5),
                   service_of(herd, "E", "B", "2025", ServiceHow::pen, 6)};
  CHECK(told_by_check(herd) ==
        Lines{"service-after-left services.csv:3 D", "service-after-left services.csv:5 B"});
  herd.services.push_back(service_of(herd, "E", "B", "2026-01-01", ServiceHow::semen, 7));
  CHECK(told_by_check(herd) == Lines{"service-after-left services.csv:3 D"});
}

TEST_CASE("sex-not-scored: a look at, or a count of, a sex in which the fault does not show") {
  Herd herd = herd_of({{"D", "", "", Sex::doe},
                       {"B", "", "", Sex::buck},
                       {"W", "", "", Sex::wether},
                       {"IX", "", "", Sex::intersex},
                       {"U"}});
  FaultModel intersex;
  intersex.key = "intersex";
  intersex.kind = FaultKind::locus;
  intersex.shown_doe = Penetrance{{{1, 0}, {1, 0}, {0, 1}}};
  FaultModel teats;
  herd.faults = {intersex, teats};
  std::uint32_t line = 2;
  for (const std::string_view id : {"D", "B", "W", "IX", "U"}) {
    Examination look;
    look.animal = animal(herd, id);
    look.row = {Table::examinations, line++};
    herd.examinations.push_back(look);
    look.fault = 1;  // a threshold shows in both
    look.row = {Table::examinations, line++};
    herd.examinations.push_back(look);
  }
  KidCount count;
  count.sire = animal(herd, "B");
  count.sex = Sex::buck;
  count.row = {Table::kid_counts, 2};
  herd.kid_counts.push_back(count);
  CHECK(told_by_check(herd) == Lines{"sex-not-scored examinations.csv:4 B",
                                     "sex-not-scored examinations.csv:6 W",
                                     "sex-not-scored kid_counts.csv:2 B"});
}

TEST_CASE("count-own-farm: the sire has kids in the book by that dam or of that date") {
  Herd herd = herd_of({{"B", "", "", Sex::buck},
                       {"C", "", "", Sex::buck},
                       {"D", "", "", Sex::doe},
                       {"E", "", "", Sex::doe},
                       {"K", "B", "D", Sex::doe, date("2024-03-02")},
                       {"P", "", "E", Sex::doe, date("2025")}},
                      {{"P", "B", 0.5}, {"P", "C", 0.5}});
  herd.faults.resize(1);
  const auto count = [&](std::string_view sire, std::string_view dam, std::string_view day,
                         std::uint32_t line) {
    KidCount row;
    row.sire = animal(herd, sire);
    if (!dam.empty()) row.dam = animal(herd, dam);
    if (!day.empty()) row.date = date(day);
    row.row = {Table::kid_counts, line};
    herd.kid_counts.push_back(row);
  };
  count("B", "", "", 2);
  count("B", "D", "", 3);           // by that dam
  count("C", "D", "", 4);           // he has none by her
  count("B", "", "2024-03-02", 5);  // of that day
  count("B", "", "2024-03", 6);     // of that month
  count("B", "", "2024", 7);        // a year is no date of a kidding
  count("B", "", "2024-04", 8);
  count("C", "E", "", 9);      // possible kid
  count("C", "", "2025", 10);  // the same as written
  CHECK(told_by_check(herd) ==
        Lines{"count-own-farm kid_counts.csv:10 C", "count-own-farm kid_counts.csv:3 B",
              "count-own-farm kid_counts.csv:5 B", "count-own-farm kid_counts.csv:6 B",
              "count-own-farm kid_counts.csv:9 C"});
}

TEST_CASE("Dates agree with trying every possible day, on random births") {
  // The definition, slow: a complaint only if every pair of days deserves it.
  const auto random_date = [](std::mt19937& random) {
    const auto year = 2022 + static_cast<int>(random() % 3);
    const unsigned month = random() % 3 == 0 ? 0 : 1 + static_cast<unsigned>(random() % 12);
    const unsigned day =
        month == 0 || random() % 2 == 0 ? 0 : 1 + static_cast<unsigned>(random() % 28);
    return PartialDate::of(year, month, day).value();
  };
  std::mt19937 random(7);
  int errors = 0;
  int warnings = 0;
  for (int k = 0; k < 400; ++k) {
    CAPTURE(k);
    const PartialDate kid = random_date(random);
    const PartialDate dam = random_date(random);
    bool always_before = true;
    bool always_young = true;
    for (Date b = kid.earliest(); b <= kid.latest(); b = b + 1) {
      for (Date d = dam.earliest(); d <= dam.latest(); d = d + 1) {
        if (b - d > 0) always_before = false;
        if (b - d >= 240) always_young = false;
      }
    }
    const Lines lines =
        told_by_check(herd_of({{"D", "", "", Sex::doe, dam}, {"K", "", "D", Sex::doe, kid}}));
    Lines expected;
    if (always_before) {
      expected = {"born-before-parent animals.csv:3 K"};
      ++errors;
    } else if (always_young) {
      expected = {"parent-young animals.csv:3 K"};
      ++warnings;
    }
    CHECK(lines == expected);
  }
  CHECK(errors > 50);
  CHECK(warnings > 20);
}
