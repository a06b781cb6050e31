// SPDX-License-Identifier: MIT
// Tables of tests/reference/season: computed outside of the project.
#include <cmath>
#include <numeric>

#include <doctest/doctest.h>

#include <doewright/timing/heats.hpp>
#include <doewright/timing/kidding_days.hpp>

#include "herd/tiny_herd.hpp"
#include "timing/season_table.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

Date on(std::string_view text) {
  return date(text).earliest();
}

Herd with_buck(std::string_view as_of) {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date("2022-01-01")},
                       {"Sorrel", "", "", Sex::doe, date("2021")}});
  herd.as_of = on(as_of);
  return herd;
}

void serve(Herd& herd, std::string_view from, ServiceHow how) {
  Service service;
  service.doe = animal(herd, "Sorrel");
  service.sire = animal(herd, "Alder");
  service.from = date(from);
  service.how = how;
  herd.services = {service};
}

std::optional<DueFrom> served(const Herd& herd, std::optional<Date> pen_until = {}) {
  return conceptions_of_served(herd, Offspring(herd.pedigree), animal(herd, "Sorrel"), {150.0, 3.0},
                               pen_until);
}

double sum(const std::vector<double>& chances) {
  return std::accumulate(chances.begin(), chances.end(), 0.0);
}

SireOffer offer_of(const Herd& herd, Terms terms) {
  SireOffer offer;
  offer.sire = animal(herd, "Alder");
  offer.terms = terms;
  offer.from = date("2026-10-05");
  offer.to = date("2026-11-30");
  return offer;
}

}  // namespace

TEST_CASE("kidded by the end of each day after one service, by class of gestation") {
  const Date service = on("2026-09-20");
  for (const SeasonRow& row : season_table("check_gestation_pmf.csv")) {
    const DueFrom doe{service, {1.0}, {number(row, "mean"), number(row, "sd")}};
    const KiddingDays days = kidding_days({&doe, 1});
    const auto day = static_cast<std::int32_t>(number(row, "day"));
    CHECK(std::abs(days.between(service, service + day) - number(row, "p_kid_by_end_of_day")) <
          5.1e-7);
  }
}

TEST_CASE("the mean day of kidding after a stay, over the end of a year") {
  // The table's service is at any time of its days alike, conception by cycles of 21 days exactly:
  // it counts hours, ours noons, half a day less.
  for (const SeasonRow& row : season_table("check_due_window.csv")) {
    const auto stay = static_cast<std::size_t>(number(row, "stay_days"));
    DueFrom doe{on("2026-08-01"), {}, {150.0, 3.0}};
    for (std::size_t t = 0; t < stay; ++t) {
      doe.weight.push_back(std::pow(1.0 - number(row, "conception_per_heat"), double(t / 21)));
    }
    const KiddingDays days = kidding_days({&doe, 1});
    double mean = 0.0;
    for (std::size_t k = 0; k < days.expected.size(); ++k) {
      mean += days.expected[k] * (days.first + static_cast<std::int32_t>(k) - doe.first);
    }
    CAPTURE(stay);
    CHECK(std::abs(mean / days.total() + 0.5 - number(row, "mean_day")) < 0.06);
  }
}

TEST_CASE("two does: days add up, whichever is first, and between() takes both ends") {
  const DueFrom early{on("2026-08-01"), {0.5}, {150.0, 3.0}};
  const DueFrom late{on("2026-10-01"), {0.25, 0.125}, {146.0, 3.0}};
  const DueFrom both[] = {late, early}, turned[] = {early, late};
  const KiddingDays days = kidding_days(both), other = kidding_days(turned);
  CHECK(days.first == other.first);
  CHECK(days.total() == doctest::Approx(0.875).epsilon(1e-9));
  for (std::int32_t k = 0; k < 120; ++k) {
    const Date day = on("2026-12-10") + k;
    const double alone =
        kidding_days({&early, 1}).between(day, day) + kidding_days({&late, 1}).between(day, day);
    CHECK(days.between(day, day) == doctest::Approx(alone).epsilon(1e-12));
    CHECK(other.between(day, day) == doctest::Approx(alone).epsilon(1e-12));
  }
  CHECK(days.between(days.first + 5, days.first + 4) == 0.0);
  CHECK(days.between(on("2000-01-01"), on("2001-01-01")) == 0.0);
  CHECK(days.between(on("2000-01-01"), on("2050-01-01")) == days.total());
  CHECK(kidding_days({}).total() == 0.0);
}

TEST_CASE("a stay: what is left of it; visits and semen as often as settle() says") {
  Herd herd = with_buck("2026-09-15");
  const StayTerms stay = stay_terms(herd, offer_of(herd, Terms::own), true);
  const DueFrom whole = conceptions_of_offer(herd.season, stay, herd.as_of, {});
  CHECK(whole.first == on("2026-10-05"));
  CHECK(whole.weight.size() == 57);
  CHECK(std::abs(sum(whole.weight) - settle(herd.season, stay).probability) < 0.01);
  const DueFrom rest = conceptions_of_offer(herd.season, stay, on("2026-11-20"), {});
  CHECK(rest.first == on("2026-11-20"));
  CHECK(rest.weight.size() == 11);
  CHECK(conceptions_of_offer(herd.season, stay, on("2026-12-01"), {}).weight.empty());
  for (const Terms terms : {Terms::visit, Terms::semen}) {
    const StayTerms away = stay_terms(herd, offer_of(herd, terms), true);
    const DueFrom days = conceptions_of_offer(herd.season, away, herd.as_of, {});
    CHECK(days.weight.size() == (terms == Terms::visit ? 42 : 21));
    CHECK(sum(days.weight) ==
          doctest::Approx(settle(herd.season, away).probability).epsilon(1e-12));
  }
}

TEST_CASE("served: as likely as she is in kid, by what was seen since") {
  Herd herd = with_buck("2026-10-01");
  CHECK_FALSE(served(herd));
  serve(herd, "2026-10-01", ServiceHow::seen);
  REQUIRE(served(herd));
  CHECK(served(herd)->first == on("2026-10-01"));
  const double at_once = sum(served(herd)->weight);
  herd.as_of = on("2026-11-01");  // no return was seen
  CHECK(sum(served(herd)->weight) > at_once);
  herd.heats = {{animal(herd, "Sorrel"), date("2026-10-22"), {}}};
  CHECK(sum(served(herd)->weight) < 0.5);
}

TEST_CASE("a pen that is still running goes on to his last day") {
  Herd herd = with_buck("2026-10-25");
  serve(herd, "2026-10-05", ServiceHow::pen);
  const auto so_far = served(herd), whole = served(herd, on("2026-11-30"));
  REQUIRE(so_far);
  REQUIRE(whole);
  CHECK(so_far->weight.size() == 21);
  REQUIRE(whole->weight.size() == 57);
  for (std::size_t t = 0; t < 21; ++t) {
    CHECK(whole->weight[t] == doctest::Approx(so_far->weight[t]).epsilon(1e-9));
  }
  // Nothing was seen that speaks for or against: the same as a stay of all its days.
  const BuckOdds buck{.conception = 0.8, .infertile = 0.05};
  const Exposure pen{.buck = 0, .from = on("2026-10-05"), .to = on("2026-11-30")};
  const ConceptionDays days = conception_days_varying(doe_odds(herd.season), {&buck, 1}, {&pen, 1});
  CHECK(sum(whole->weight) == doctest::Approx(days.total()).epsilon(1e-9));
  // Found in kid: what is to come is as rare as she is open.
  herd.pregnancy_checks.emplace_back();
  PregnancyCheck& check = herd.pregnancy_checks.back();
  check.doe = animal(herd, "Sorrel");
  check.date = date("2026-11-20");
  check.result = PregnancyResult::in_kid;
  check.how = PregnancyHow::scan;
  herd.as_of = on("2026-11-25");
  const auto found = served(herd, on("2026-11-30"));
  REQUIRE(found);
  CHECK(sum(found->weight) <= 1.0);
}

TEST_CASE("weeks begin on the Mondays of ISO 8601") {
  CHECK(to_text(monday_of(on("2009-01-01"))) ==
        "2008-12-29");  // 2009-W01-4, the standard's example
  CHECK(to_text(monday_of(on("2010-01-03"))) == "2009-12-28");  // 2009-W53-7, the same
  CHECK(to_text(monday_of(on("2024-02-29"))) == "2024-02-26");
  CHECK(to_text(monday_of(on("1970-01-01"))) == "1969-12-29");
  CHECK(to_text(monday_of(on("1969-12-28"))) == "1969-12-22");
  for (std::int32_t day = -1000; day < 1000; ++day) {
    const Date monday = monday_of({day});
    CHECK(Date{day} - monday >= 0);
    CHECK(Date{day} - monday <= 6);
    CHECK(monday_of(monday) == monday);
  }
}
