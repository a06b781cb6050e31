// SPDX-License-Identifier: MIT
// Limits on young does: 60-70 % of grown weight and 7-10 months (Extension Goat Handbook, fact
// sheet D-6), the cautious figure where a young doe can be hurt; condition and rest: common
// practice, no source.
#include <doctest/doctest.h>

#include <doewright/pairing/fitness.hpp>
#include <doewright/pairing/reason_codes.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

struct Case {
  Herd herd;
  DoeForward doe;

  DoeFitness judge() const { return fitness(herd, Offspring(herd.pedigree), doe, herd.as_of); }
};

Case young_doe(std::string_view born, std::optional<double> weight, std::optional<double> grown) {
  Case c{herd_of({{"Sorrel", "", "", Sex::doe, born.empty() ? PartialDate{} : date(born)}}), {}};
  c.doe.doe = animal(c.herd, "Sorrel");
  c.doe.weight_kg = weight;
  c.doe.grown_weight_kg = grown;
  return c;
}

}  // namespace

TEST_CASE("a young doe goes from 75 % of her grown weight and 8 months") {
  CHECK(young_doe("2025-12-01", 45, 60).judge().answer == Fitness::go);  // 9 months, 75 %
  CHECK(young_doe("2025-12-01", 44.9, 60).judge().answer == Fitness::caution);
  CHECK(young_doe("2025-12-01", 39, 60).judge().answer == Fitness::caution);  // 65 %
  CHECK(young_doe("2025-12-01", 38.9, 60).judge().answer == Fitness::wait);
  CHECK(young_doe("2026-01-20", 50, 60).judge().answer == Fitness::caution);  // 7 months
  CHECK(young_doe("2026-02-16", 50, 60).judge().answer == Fitness::wait);     // one day short of 7
}

TEST_CASE("a weight that is not known is never go, and the answer says what is needed") {
  const DoeFitness unknown = young_doe("2025-12-01", {}, 60).judge();
  CHECK(unknown.answer == Fitness::wait);
  CHECK(unknown.reasons.front().code == reason::doe_weigh);
  CHECK(young_doe("2025-12-01", 50, {}).judge().answer == Fitness::wait);
  const DoeFitness light = young_doe("2025-12-01", 30, 60).judge();
  REQUIRE(light.needs_kg.has_value());
  CHECK(*light.needs_kg == doctest::Approx(39.0));
}

TEST_CASE("a birth known by year only counts as the youngest possible age") {
  CHECK(young_doe("2025", 50, 60).judge().answer ==
        Fitness::go);  // at the youngest of 31 December: 8 months
  CHECK(young_doe("2026-01", 50, 60).judge().answer == Fitness::caution);  // 31 January: 7 months
  CHECK(young_doe("2026", 50, 60).judge().answer == Fitness::wait);
  CHECK(young_doe("2024", {}, {}).judge().answer == Fitness::wait);  // may be under 24 months
  CHECK(young_doe("2023", {}, {}).judge().answer == Fitness::go);
}

TEST_CASE("a doe of unknown age that never kidded is judged as a young one") {
  const DoeFitness judged = young_doe("", 50, 60).judge();
  CHECK(judged.answer == Fitness::caution);
  CHECK(judged.reasons.front().code == reason::doe_age_unknown);
  CHECK(young_doe("", {}, 60).judge().answer == Fitness::wait);
}

TEST_CASE("condition under 2 or over 4 waits, at the limit she goes") {
  Case c = young_doe("2020-03-01", {}, {});
  for (const auto& [condition, answer] : {std::pair{1.9, Fitness::wait},
                                          {2.0, Fitness::go},
                                          {4.0, Fitness::go},
                                          {4.1, Fitness::wait}}) {
    CAPTURE(condition);
    c.doe.condition = condition;
    CHECK(c.judge().answer == answer);
  }
}

TEST_CASE("under 60 days since kidding she waits, and the answer names the day it ends") {
  Case c = young_doe("2020-03-01", {}, {});
  c.herd.kiddings.push_back({.doe = c.doe.doe,
                             .date = date("2026-07-18"),
                             .kids_born = {},
                             .kids_alive = {},
                             .kids_raised = {},
                             .help = {},
                             .sire = {},
                             .note = {},
                             .row = {}});
  const DoeFitness judged = c.judge();  // 59 days before 15 September
  CHECK(judged.answer == Fitness::wait);
  REQUIRE(judged.from_day.has_value());
  CHECK(to_text(*judged.from_day) == "2026-09-16");
  c.herd.kiddings.front().date = date("2026-07-17");
  CHECK(c.judge().answer == Fitness::go);
}

TEST_CASE("the keeper's own word wins, and what speaks against it stays said") {
  Case c = young_doe("2026-05-01", {}, {});
  c.doe.decision = Decision::go;
  const DoeFitness judged = c.judge();
  CHECK(judged.answer == Fitness::go);
  CHECK_FALSE(judged.on_hold());
  CHECK(judged.reasons.front().code == reason::doe_decided);
  CHECK(judged.reasons.size() > 1);
  c.doe.decision = Decision::no;
  CHECK(c.judge().answer == Fitness::no);
  CHECK(c.judge().on_hold());
}

TEST_CASE(
    "the first day she could be served is the earliest stay of her sires that still lies ahead") {
  Case c{herd_of({{"Sorrel", "", "", Sex::doe, date("2020")},
                  {"Alder", "", "", Sex::buck, date("2020")},
                  {"Rowan", "", "", Sex::buck, date("2020")}}),
         {}};
  c.doe.doe = animal(c.herd, "Sorrel");
  SireOffer alder, rowan;
  alder.sire = animal(c.herd, "Alder");
  alder.from = date("2026-10-01");
  rowan.sire = animal(c.herd, "Rowan");
  rowan.from = date("2026-09-20");
  c.herd.sires = {alder, rowan};
  CHECK(to_text(first_day_of_service(c.herd, c.doe)) == "2026-09-20");
  c.doe.not_sires = {rowan.sire};
  CHECK(to_text(first_day_of_service(c.herd, c.doe)) == "2026-10-01");
  c.herd.sires.front().from = date("2026-08-01");  // behind us: as-of counts
  CHECK(first_day_of_service(c.herd, c.doe) == c.herd.as_of);
}

TEST_CASE("a doe with a health test that is not negative goes with caution; the keeper's word wins and it stays said") {
  Case c = young_doe("2020-03-01", {}, {});
  c.herd.health_tests.push_back({.animal = c.doe.doe,
                                 .disease = "Johne's",
                                 .result = "positive",
                                 .date = date("2026-06-01"),
                                 .laboratory = {},
                                 .row = {Table::health_tests, 2}});
  CHECK(c.judge().answer == Fitness::caution);
  CHECK(c.judge().reasons.front().code == reason::health_positive);
  c.doe.decision = Decision::go;
  CHECK(c.judge().answer == Fitness::go);
  CHECK(c.judge().reasons.back().code == reason::health_positive);
  c.doe.decision = Decision::none;
  c.herd.health_tests.push_back(c.herd.health_tests.front());
  c.herd.health_tests.back().result = "negative";
  c.herd.health_tests.back().date = date("2026-08-01");
  CHECK(c.judge().answer == Fitness::go);  // the newest result counts, the older one is said
  CHECK(c.judge().reasons.front().code == reason::health_positive);
}

TEST_CASE("hard help at two kiddings is caution, at one it is not") {
  Case c = young_doe("2020-03-01", {}, {});
  Kidding kidding;
  kidding.doe = c.doe.doe;
  kidding.date = date("2024-03-01");
  kidding.help = KiddingHelp::hard;
  c.herd.kiddings.push_back(kidding);
  CHECK(c.judge().answer == Fitness::go);
  kidding.date = date("2025-03-01");
  c.herd.kiddings.push_back(kidding);
  CHECK(c.judge().answer == Fitness::caution);
  CHECK(c.judge().reasons.front().code == reason::doe_hard_help);
}
