// SPDX-License-Identifier: MIT
// Dates after a service: tests/reference/season/gestation_dates.csv (computed calendar arithmetic).
// Days of the trade: common practice where no source stands at CalendarWhat.
#include <cmath>

#include <doctest/doctest.h>

#include <doewright/timing/calendar.hpp>
#include <doewright/timing/heats.hpp>
#include <doewright/timing/stay_lengths.hpp>

#include "herd/tiny_herd.hpp"
#include "timing/season_table.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

Herd with_service(std::string_view from, ServiceHow how, std::string_view to = {}) {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date("2022-01-01")},
                       {"Sorrel", "", "", Sex::doe, date("2021")}});
  Service service;
  service.doe = animal(herd, "Sorrel");
  service.sire = animal(herd, "Alder");
  service.from = date(from);
  if (!to.empty()) service.to = date(to);
  service.how = how;
  herd.services = {service};
  herd.as_of = date(from).earliest();
  return herd;
}

std::vector<CalendarEvent> rows_of(const Herd& herd, CalendarWhat what) {
  std::vector<CalendarEvent> rows;
  for (const CalendarEvent& event : calendar(herd, Offspring(herd.pedigree))) {
    if (event.what == what) rows.push_back(event);
  }
  return rows;
}

std::string day_of(const Herd& herd, CalendarWhat what) {
  const auto rows = rows_of(herd, what);
  REQUIRE_FALSE(rows.empty());
  return to_text(rows.front().date);
}

double in_kid(Herd herd, std::string_view as_of) {
  herd.as_of = date(as_of).earliest();
  return rows_of(herd, CalendarWhat::due).at(0).in_kid.value();
}

}  // namespace

TEST_CASE("the days after a service seen, through leap years and year's ends") {
  for (const SeasonRow& row : season_table("gestation_dates.csv")) {
    const Herd herd = with_service(row.at("service"), ServiceHow::seen);
    const auto returns = rows_of(herd, CalendarWhat::return_heat);
    REQUIRE(returns.size() == 2);
    CHECK(to_text(returns[0].date) == row.at("return_check_21"));
    CHECK(to_text(returns[1].date) == row.at("second_return_42"));
    CHECK(day_of(herd, CalendarWhat::scan) == row.at("scan_60"));
    CHECK(day_of(herd, CalendarWhat::dry_off) == row.at("dry_off_for_60_days_dry_90"));
    CHECK(day_of(herd, CalendarWhat::feed_up) == row.at("last_third_feed_100"));
    CHECK(day_of(herd, CalendarWhat::booster) == row.at("cdt_30_days_before_due_120"));
    CHECK(day_of(herd, CalendarWhat::watch_from) == row.at("due_145"));  // 5 % point, class unknown
    CHECK(day_of(herd, CalendarWhat::due) == row.at("due_150"));
    CHECK(to_text(rows_of(herd, CalendarWhat::due)[0].high) == row.at("due_155"));
  }
}

TEST_CASE("in kid: the service, a return not seen, a second one, then a check") {
  const Herd herd = with_service("2026-10-01", ServiceHow::seen);
  const double p = 0.8 * 0.95;  // conception, and the chance that he is fertile (no kid yet)
  CHECK(in_kid(herd, "2026-10-10") == doctest::Approx(p).epsilon(1e-12));
  const double e1 = 0.8 * 0.97;
  const double once = p / (p + (1 - p) * (1 - e1));
  CHECK(in_kid(herd, "2026-10-25") == doctest::Approx(once).epsilon(1e-12));
  const double e2 = 0.8 * 0.97;  // 42 days on is November
  const double twice = once / (once + (1 - once) * (1 - e2));
  CHECK(in_kid(herd, "2026-11-15") == doctest::Approx(twice).epsilon(1e-12));
  Herd checked = herd;
  checked.pregnancy_checks.push_back({animal(herd, "Sorrel"),
                                      date("2026-11-05"),
                                      PregnancyResult::empty,
                                      PregnancyHow::blood,
                                      {},
                                      {},
                                      {}});
  CHECK(in_kid(checked, "2026-11-10") ==
        doctest::Approx(once * 0.06 / (once * 0.06 + (1 - once) * 0.80)).epsilon(1e-12));
  Herd back = herd;
  back.heats.push_back({animal(herd, "Sorrel"), date("2026-10-22"), {}});
  CHECK(in_kid(back, "2026-10-30") ==
        doctest::Approx(p * 0.05 / (p * 0.05 + (1 - p) * e1)).epsilon(1e-12));
}

TEST_CASE("after a stay: dry off by the early end of a wider window, vaccinate by the median") {
  Herd herd = with_service("2026-10-01", ServiceHow::pen, "2026-11-04");
  herd.as_of = date("2026-11-10").earliest();
  const CalendarEvent due = rows_of(herd, CalendarWhat::due).at(0);
  CHECK(due.after_stay);
  // 35 days at conception .8: 5 % and 95 % points 149.9 and 179.1 days from his arrival
  CHECK(due.low - date("2026-10-01").earliest() == 149);
  CHECK(due.high - date("2026-10-01").earliest() >= 178);
  CHECK(due.high - date("2026-10-01").earliest() <= 180);
  CHECK(rows_of(herd, CalendarWhat::dry_off).at(0).date == due.low - 60);
  CHECK(rows_of(herd, CalendarWhat::booster).at(0).date == due.date - 30);
  CHECK(due.in_kid.value() > 0.75);
  CHECK(due.in_kid.value() < 0.9067 * 0.97);
}

TEST_CASE("a check while the pen is still running: what came too late to show stays possible") {
  Herd herd = with_service("2026-10-01", ServiceHow::pen);
  const auto by = [&](std::string_view day) { return in_kid(herd, day); };
  const double shown = by("2026-10-31"), today = by("2026-11-25");  // 20 days before the check
  Herd checked = herd;
  const auto check_says = [&](PregnancyResult result) {
    checked.pregnancy_checks = {
        {animal(herd, "Sorrel"), date("2026-11-20"), result, PregnancyHow::scan, {}, {}, {}}};
    checked.as_of = date("2026-11-25").earliest();
  };
  check_says(PregnancyResult::in_kid);
  const double found = shown * 0.99 + (1 - shown) * 0.02;
  CHECK(in_kid(checked, "2026-11-25") ==
        doctest::Approx((shown * 0.99 + (today - shown) * 0.02) / found).epsilon(1e-12));
  CHECK(rows_of(checked, CalendarWhat::scan).empty());
  CHECK(rows_of(checked, CalendarWhat::blood_test).empty());
  check_says(PregnancyResult::empty);
  const auto rows = rows_of(checked, CalendarWhat::found_empty);
  REQUIRE(rows.size() == 1);
  const double missed = shown * 0.01 + (1 - shown) * 0.98;
  CHECK(rows[0].in_kid.value() ==
        doctest::Approx((shown * 0.01 + (today - shown) * 0.98) / missed).epsilon(1e-12));
  CHECK(to_text(rows[0].since) == "2026-11-20");
  CHECK(rows_of(checked, CalendarWhat::due).empty());
}

TEST_CASE("a stay after a service seen: a later conception stays possible") {
  Herd herd = with_service("2026-10-01", ServiceHow::seen);
  Service pen = herd.services.front();
  pen.from = date("2026-10-05");
  pen.to = date("2026-11-20");
  pen.how = ServiceHow::pen;
  herd.services.push_back(pen);
  herd.as_of = date("2026-11-25").earliest();
  const CalendarEvent due = rows_of(herd, CalendarWhat::due).at(0);
  CHECK(due.since == date("2026-10-01").earliest());
  CHECK(due.high - due.since > 165);  // c' .842 on the first day, most of the rest 21 days later
  // b, f and two or three heats: 1 Oct, about 22 Oct, about 12 Nov
  const double c = 0.8 / 0.95;
  const double expected = 0.95 * 0.95 * (1 - std::pow(1 - c, 3));
  CHECK(std::abs(due.in_kid.value() - expected) < 2e-4);
}

TEST_CASE("she has kidded since, or long ago: no dates; a doe put forward gets heats and window") {
  Herd herd = with_service("2026-03-01", ServiceHow::seen);
  herd.kiddings.push_back({.doe = animal(herd, "Sorrel"),
                           .date = date("2026-07-29"),
                           .kids_born = {},
                           .kids_alive = {},
                           .kids_raised = {},
                           .sire = {},
                           .note = {},
                           .row = {}});
  herd.as_of = date("2026-08-30").earliest();
  CHECK(calendar(herd, Offspring(herd.pedigree)).empty());
  DoeForward row;
  row.doe = animal(herd, "Sorrel");
  herd.does = {row};
  herd.heats.push_back({animal(herd, "Sorrel"), date("2026-08-20"), {}});
  herd.season.kid_from = date("2027-03-01").earliest();
  herd.season.kid_to = date("2027-04-15").earliest();
  const auto heats = rows_of(herd, CalendarWhat::heat);
  REQUIRE(heats.size() == 3);
  CHECK(to_text(heats[0].date) == "2026-09-10");
  CHECK(heats[0].low - heats[0].since == 18);
  CHECK(heats[0].high - heats[0].since == 24);  // the usual range of cycles, 18-24 days
  CHECK(to_text(heats[2].date) == "2026-10-22");
  CHECK(day_of(herd, CalendarWhat::service_window) == "2026-10-02");
  herd.does.front().decision = Decision::no;
  CHECK(calendar(herd, Offspring(herd.pedigree)).empty());
}

TEST_CASE("a hired buck comes for isolation before he meets the does") {
  Herd herd = with_service("2026-03-01", ServiceHow::seen);
  herd.services.clear();
  herd.as_of = date("2026-09-01").earliest();
  SireOffer offer;
  offer.sire = animal(herd, "Alder");
  offer.terms = Terms::hired;
  offer.from = date("2026-10-17");
  herd.sires = {offer};
  CHECK(day_of(herd, CalendarWhat::isolation) == "2026-09-17");  // facts of the season, section 8
  CHECK(day_of(herd, CalendarWhat::buck_out) == "2026-11-20");
  CHECK(to_text(rows_of(herd, CalendarWhat::isolation)[0].high) == "2026-10-16");
  herd.as_of = date("2026-10-01").earliest();  // it should have begun: still said
  CHECK(rows_of(herd, CalendarWhat::isolation).size() == 1);
  herd.as_of = date("2026-10-17").earliest();
  CHECK(rows_of(herd, CalendarWhat::isolation).empty());
  herd.sires.front().terms = Terms::own;
  CHECK(rows_of(herd, CalendarWhat::isolation).empty());
}

TEST_CASE("lengths of stay: settled as the closed form, cost by the day, last due after all") {
  Herd herd = with_service("2026-03-01", ServiceHow::seen);
  SireOffer offer;
  offer.sire = animal(herd, "Alder");
  offer.terms = Terms::hired;
  offer.from = date("2026-10-01");
  offer.to = date("2026-11-09");  // 40 days
  offer.fee = 150;
  offer.cost_per_day = 1.5;
  offer.value_if_lost = 700;
  const std::vector<Animal> does = {animal(herd, "Sorrel"), animal(herd, "Sorrel")};
  const auto lengths = stay_lengths(herd, Offspring(herd.pedigree), offer, does);
  REQUIRE(lengths.size() == 10);
  double before = 0.0;
  for (const StayLength& length : lengths) {
    CAPTURE(length.days);
    CHECK(length.offered == (length.days == 40));
    CHECK(length.settled > before);
    before = length.settled;
    if (length.days <= 60) {  // October and November have one share
      const double settled = 0.95 * 0.95 * 0.97 * settled_in_stay(length.days, 0.8 / 0.95);
      CHECK(std::abs(length.settled - settled) < 1e-6);
    }
    CHECK(length.open_expected == doctest::Approx(2 * (1 - length.settled)).epsilon(1e-12));
    const double on_farm = length.days + 30;
    const double lost = 1 - std::pow(0.99, on_farm / 30.4375);
    CHECK(length.cost == doctest::Approx(150 + 1.5 * on_farm + 700 * lost).epsilon(1e-12));
    CHECK(length.last_due.value() > length.to + 100);
  }
  offer.terms = Terms::visit;
  CHECK(stay_lengths(herd, Offspring(herd.pedigree), offer, does).empty());
}
