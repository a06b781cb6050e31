// SPDX-License-Identifier: MIT
// Two empty seasons, hard help twice, few kids raised: common practice, no source. The shrunken
// mean (sum + 5 x herd mean) / (kiddings + 5) is worked out by hand.
#include <doctest/doctest.h>

#include <doewright/pairing/keep.hpp>
#include <doewright/pairing/keep_reason_codes.hpp>
#include <doewright/pairing/reason_codes.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

Herd a_doe_and_another(std::string_view born = "2020-03-01") {
  return herd_of({{"Alder", "", "", Sex::buck, date("2018-03-01")},
                  {"Hazel", "", "", Sex::doe, date(born)},
                  {"Tansy", "", "", Sex::doe, date("2020-03-01")}});
}

void served(Herd& herd, std::string_view doe, std::string_view from) {
  Service service;
  service.doe = animal(herd, doe);
  service.sire = animal(herd, "Alder");
  service.from = date(from);
  service.how = ServiceHow::seen;
  herd.services.push_back(service);
}

void kidded(Herd& herd, std::string_view doe, std::string_view day, int raised,
            KiddingHelp help = KiddingHelp::none) {
  Kidding kidding;
  kidding.doe = animal(herd, doe);
  kidding.date = date(day);
  kidding.kids_raised = raised;
  kidding.help = help;
  herd.kiddings.push_back(kidding);
}

/// Codes of the doe's reasons; empty: she is not on the list.
std::vector<std::string> leave(const Herd& herd, std::string_view doe) {
  std::vector<std::string> codes;
  for (const DoeToLeave& each : keep_advice(herd, genetics_of(herd)).leave) {
    if (herd.ids[each.doe] != doe) continue;
    for (const Reason& reason : each.reasons) codes.emplace_back(reason.code);
  }
  return codes;
}

using Codes = std::vector<std::string>;

}  // namespace

TEST_CASE("put to a buck and never settled, once the pregnancy would be over") {
  Herd herd = a_doe_and_another();
  served(herd, "Hazel", "2026-08-01");
  CHECK(leave(herd, "Hazel").empty());  // it is too early to tell
  served(herd, "Hazel", "2025-10-01");
  CHECK(leave(herd, "Hazel") == Codes{std::string(reason::leave_never_settled)});
  PregnancyCheck check;
  check.doe = animal(herd, "Hazel");
  check.date = date("2025-12-01");
  check.result = PregnancyResult::in_kid;
  herd.pregnancy_checks.push_back(check);
  CHECK(leave(herd, "Hazel").empty());
}

TEST_CASE("one empty season is forgiven, two in a row are not, a kidding between ends the row") {
  Herd herd = a_doe_and_another();
  kidded(herd, "Hazel", "2023-03-01", 2);
  served(herd, "Hazel", "2023-10-01");
  CHECK(leave(herd, "Hazel").empty());
  served(herd, "Hazel", "2024-10-01");
  CHECK(leave(herd, "Hazel") == Codes{std::string(reason::leave_empty)});
  served(herd, "Hazel", "2025-10-01");
  kidded(herd, "Hazel", "2026-03-01", 2);
  CHECK(leave(herd, "Hazel").empty());
}

TEST_CASE("hard help once is bad luck, twice is her record") {
  Herd herd = a_doe_and_another();
  kidded(herd, "Hazel", "2024-03-01", 2, KiddingHelp::hard);
  CHECK(leave(herd, "Hazel").empty());
  kidded(herd, "Hazel", "2025-03-01", 2, KiddingHelp::hard);
  CHECK(leave(herd, "Hazel") == Codes{std::string(reason::leave_hard_help)});
}

TEST_CASE("kids raised are judged with how few kiddings there are") {
  Herd herd = a_doe_and_another();
  for (const std::string_view day : {"2023-03-01", "2024-03-01", "2025-03-01", "2026-03-01"}) {
    kidded(herd, "Tansy", day, 2);
  }
  kidded(herd, "Hazel", "2025-03-01", 0);
  // herd mean 8 / 5 = 1.6; (0 + 8) / 6 = 1.333, not under 0.8 x 1.6 = 1.28
  CHECK(leave(herd, "Hazel").empty());
  kidded(herd, "Hazel", "2026-03-01", 0);
  // herd mean 8 / 6 = 1.333; (0 + 6.667) / 7 = 0.952, under 1.067
  CHECK(leave(herd, "Hazel") == Codes{std::string(reason::leave_few_raised)});
  CHECK(leave(herd, "Tansy").empty());
}

TEST_CASE("a kid less a kidding is a decline, and age is only said beside another reason") {
  Herd herd = a_doe_and_another("2014-03-01");
  kidded(herd, "Hazel", "2022-03-01", 2);
  kidded(herd, "Hazel", "2023-03-01", 2);
  kidded(herd, "Hazel", "2024-03-01", 1);
  CHECK(leave(herd, "Hazel").empty());
  kidded(herd, "Hazel", "2025-03-01", 1);
  CHECK(leave(herd, "Hazel") ==
        Codes{std::string(reason::leave_decline), std::string(reason::leave_age)});
}

TEST_CASE("a fault found in a grown doe, and the keeper's own no") {
  Herd herd = a_doe_and_another();
  FaultModel teats;
  teats.key = teats.name = "teats";
  teats.heritability = 0.4;
  teats.incidence_above = {0.04};
  herd.faults = {teats};
  Examination exam;
  exam.animal = animal(herd, "Hazel");
  exam.found = Found::removed;
  exam.row = {Table::examinations, 2};
  herd.examinations.push_back(exam);
  DoeForward row;
  row.doe = animal(herd, "Tansy");
  row.decision = Decision::no;
  herd.does.push_back(row);
  CHECK(leave(herd, "Hazel") == Codes{std::string(reason::fault_own)});
  CHECK(leave(herd, "Tansy") == Codes{std::string(reason::doe_decided)});
}
