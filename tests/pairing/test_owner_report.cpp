// SPDX-License-Identifier: MIT
// The counts by hand from small books; tests/pairing/owner_recount.py counts whole books from their
// CSV files. Check 20 days after service, 170 days: assumed.
#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/pairing/owner_report.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

void served(Herd& herd, std::string_view doe, std::string_view sire, std::string_view from,
            std::string_view to) {
  herd.services.push_back({.doe = animal(herd, doe),
                           .sire = animal(herd, sire),
                           .from = date(from),
                           .to = to.empty() ? PartialDate{} : date(to),
                           .how = ServiceHow::pen,
                           .row = {Table::services, 2}});
}

void checked(Herd& herd, std::string_view doe, std::string_view day, PregnancyResult result) {
  PregnancyCheck check;
  check.doe = animal(herd, doe);
  check.date = date(day);
  check.result = result;
  herd.pregnancy_checks.push_back(check);
}

Kidding& kidded(Herd& herd, std::string_view doe, std::string_view day) {
  Kidding kidding;
  kidding.doe = animal(herd, doe);
  kidding.date = date(day);
  herd.kiddings.push_back(kidding);
  return herd.kiddings.back();
}

Herd two_does() {
  return herd_of({{"Alder", "", "", Sex::buck, date("2020-03-01")},
                  {"Birch", "", "", Sex::buck, date("2020-03-01")},
                  {"Hazel", "", "", Sex::doe, date("2021-03-01")},
                  {"Tansy", "", "", Sex::doe, date("2021-03-01")}});
}

}  // namespace

TEST_CASE("a doe in kid by a check is settled, an early check says nothing, an empty one is told") {
  Herd herd = two_does();
  served(herd, "Hazel", "Alder", "2026-05-01", "2026-06-01");
  served(herd, "Tansy", "Alder", "2026-05-01", "2026-06-01");
  checked(herd, "Hazel", "2026-05-20", PregnancyResult::empty);  // day 19
  checked(herd, "Hazel", "2026-07-01", PregnancyResult::in_kid);
  checked(herd, "Tansy", "2026-07-01", PregnancyResult::empty);
  const OwnerReport report = owner_report(herd, animal(herd, "Alder"));
  CHECK(report.served == 2);
  CHECK(report.tested == 2);
  CHECK(report.settled == 1);
  CHECK(report.kidded == 0);
  CHECK(report.too_early == 0);
  CHECK_FALSE(report.put[0].found_empty);
  CHECK(report.put[1].found_empty);
}

TEST_CASE("until 170 days are over an untested doe is too early to tell, then she is open") {
  Herd herd = two_does();
  served(herd, "Hazel", "Alder", "2026-03-01", "2026-03-29");  // 170 days before as-of
  served(herd, "Tansy", "Alder", "2026-03-01", "2026-03-28");
  const OwnerReport report = owner_report(herd, animal(herd, "Alder"));
  CHECK(report.too_early == 1);
  CHECK(report.put[0].too_early);
  CHECK_FALSE(report.put[1].too_early);
}

TEST_CASE("a kid of an unsure sire counts by its chance, and nobody's blank becomes 0") {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date("2020-03-01")},
                       {"Birch", "", "", Sex::buck, date("2020-03-01")},
                       {"Hazel", "", "", Sex::doe, date("2021-03-01")},
                       {"Kid", "", "Hazel", Sex::doe, date("2026-03-02")}},
                      {{"Kid", "Alder", 0.25}, {"Kid", "Birch", 0.75}});
  served(herd, "Hazel", "Alder", "2025-10-01", "2025-10-10");
  served(herd, "Hazel", "Birch", "2025-10-05", "2025-10-20");
  kidded(herd, "Hazel", "2026-03-01").kids_born = 2;
  const OwnerReport report = owner_report(herd, animal(herd, "Alder"));
  CHECK(report.two_bucks == 1);
  CHECK(report.settled == 1);
  CHECK(report.born.kids == doctest::Approx(0.5));
  CHECK(report.alive.not_recorded == 1);
  CHECK(report.kids == doctest::Approx(0.25));
  CHECK(report.not_examined == doctest::Approx(0.25));
  CHECK(report.put[0].by == HisBy::possible);
}

TEST_CASE("a doe that kidded to another buck did not settle to him, whatever a check said") {
  Herd herd = two_does();
  served(herd, "Hazel", "Alder", "2025-10-01", "2025-10-10");
  served(herd, "Hazel", "Birch", "2025-10-20", "2025-11-10");
  checked(herd, "Hazel", "2025-12-20", PregnancyResult::in_kid);
  kidded(herd, "Hazel", "2026-04-01").sire = animal(herd, "Birch");
  CHECK(owner_report(herd, animal(herd, "Alder")).settled == 0);
  CHECK(owner_report(herd, animal(herd, "Alder")).served == 1);
  CHECK(owner_report(herd, animal(herd, "Birch")).settled == 1);
}

TEST_CASE("no sire written down: he alone served her, or all who did count alike") {
  Herd herd = two_does();
  served(herd, "Hazel", "Alder", "2025-10-01", "2025-10-20");
  served(herd, "Tansy", "Alder", "2025-10-01", "2025-10-20");
  served(herd, "Tansy", "Birch", "2025-10-01", "2025-10-20");
  kidded(herd, "Hazel", "2026-03-10").kids_born = 2;
  kidded(herd, "Tansy", "2026-03-10").kids_born = 2;
  const OwnerReport report = owner_report(herd, animal(herd, "Alder"));
  CHECK(report.born.kids == doctest::Approx(3.0));
  CHECK(report.put[0].by == HisBy::served_alone);
  CHECK(report.put[1].by == HisBy::shared);
}

TEST_CASE("two seasons are two, a kidding without a service is one too, and horns are no look") {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date("2020-03-01")},
                       {"Hazel", "", "", Sex::doe, date("2021-03-01")},
                       {"Ivy", "Alder", "Hazel", Sex::doe, date("2024-03-02")},
                       {"Moss", "Alder", "Hazel", Sex::wether, date("2025-03-02")}});
  herd.faults.push_back({});
  herd.faults[0].key = "polled";
  herd.faults.push_back({});
  herd.faults[1].key = "teats";
  herd.animals.horns[animal(herd, "Ivy").position] = Horns::polled;
  Examination look;
  look.animal = animal(herd, "Moss");
  look.fault = 1;
  look.found = Found::removed;
  look.row = {Table::examinations, 2};
  herd.examinations.push_back(look);
  served(herd, "Hazel", "Alder", "2023-10-01", "2023-10-20");
  const OwnerReport report = owner_report(herd, animal(herd, "Alder"));
  CHECK(report.served == 2);
  CHECK(report.not_written == 1);
  CHECK(report.kidded == 2);
  CHECK(report.born.kids == doctest::Approx(2.0));
  CHECK(report.raised.not_recorded == 2);
  CHECK(report.examined == doctest::Approx(1.0));
  REQUIRE(report.findings.size() == 1);
  CHECK(report.findings[0].removed);
  CHECK(report.doe_kids == doctest::Approx(1.0));
  CHECK_THROWS_AS(owner_report(herd, Animal{99}), UsageError);
}
