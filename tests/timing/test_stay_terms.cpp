// SPDX-License-Identifier: MIT
#include <cmath>

#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/timing/offer.hpp>
#include <doewright/timing/stay_terms.hpp>

#include "herd/tiny_herd.hpp"
#include "timing/season_table.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

Herd with_buck(Terms terms, std::string_view born = "2022-03-01") {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date(born)}});
  SireOffer offer;
  offer.sire = animal(herd, "Alder");
  offer.terms = terms;
  offer.from = date("2026-10-01");
  herd.sires = {offer};
  return herd;
}

double conception_of(const Herd& herd) {
  return stay_terms(herd, herd.sires.front(), true).conception;
}

}  // namespace

TEST_CASE("the chance per heat: as written, else by his record, else by his class") {
  CHECK(conception_of(with_buck(Terms::own)) == 0.80);
  CHECK(conception_of(with_buck(Terms::own, "2025-01-01")) == 0.75);
  CHECK(conception_of(with_buck(Terms::own, "2026-02-01")) == 0.65);
  Herd herd = with_buck(Terms::own);
  SireOffer& offer = herd.sires.front();
  offer.served = 10;
  CHECK(conception_of(herd) == 0.80);  // how many settled is not known
  offer.settled = 4;
  CHECK(conception_of(herd) == doctest::Approx(12.0 / 20).epsilon(1e-15));
  offer.conception = 0.9;
  CHECK(conception_of(herd) == 0.9);

  herd = with_buck(Terms::semen);
  CHECK(conception_of(herd) == 0.45);
  herd.sires.front().semen = SemenKind::frozen;
  CHECK(conception_of(herd) == 0.45);
  herd.sires.front().semen = SemenKind::fresh;
  CHECK(conception_of(herd) == 0.55);
  herd.sires.front().semen = SemenKind::surgical;
  CHECK(conception_of(herd) == 0.65);
}

TEST_CASE("blank days come from the kidding window, else 35 days; isolation only when hired") {
  Herd herd = with_buck(Terms::hired);
  StayTerms terms = stay_terms(herd, herd.sires.front(), false);
  CHECK(to_text(terms.to) == "2026-11-04");
  CHECK(terms.days_on_farm == 35 + 30);
  CHECK(terms.infertile == 0.05);
  CHECK_FALSE(terms.heats.has_value());
  herd.sires.front().terms = Terms::own;
  CHECK(stay_terms(herd, herd.sires.front(), true).days_on_farm == 35);
  CHECK(stay_terms(herd, herd.sires.front(), true).infertile == 0.02);
  herd.season.kid_to = date("2027-04-15").earliest();
  terms = stay_terms(herd, herd.sires.front(), true);
  CHECK(to_text(terms.to) == "2026-11-16");  // 150 days before 15 April 2027
  herd.sires.front().to = date("2026-10-21");
  terms = stay_terms(herd, herd.sires.front(), true);
  CHECK(terms.days_on_farm == 21);
  herd.sires.front().to = date("2026-09-30");
  terms = stay_terms(herd, herd.sires.front(), true);
  CHECK(terms.days_on_farm == 0);
  CHECK(settle(herd.season, terms).probability == 0.0);
  herd.sires.front().terms = Terms::visit;
  CHECK(stay_terms(herd, herd.sires.front(), true).heats == 2);
  herd.sires.front().terms = Terms::semen;
  CHECK(stay_terms(herd, herd.sires.front(), true).heats == 1);
}

TEST_CASE("a stay of 35 days in October: the share cycling, both risks and the formula of stays") {
  const Herd herd = with_buck(Terms::hired);
  const Settles settles = settle(herd.season, stay_terms(herd, herd.sires.front(), false));
  const double c = 0.8 / 0.95;
  const double q1 = 1 - (1 - c) * (1 - c * 14 / 21);  // one cycle and 14 days, every month .97
  CHECK(settles.probability == doctest::Approx(0.95 * 0.95 * 0.97 * q1).epsilon(1e-12));
  CHECK(settles.expected_visits == 0.0);
}

TEST_CASE("visits and straws: drawn does, heat by heat") {
  Season season;
  TestDraws draw(11);
  for (const unsigned heats : {1u, 2u, 3u}) {
    const StayTerms terms{.from = date("2026-08-20").earliest(),
                          .to = date("2026-08-20").earliest(),
                          .days_on_farm = 0,
                          .conception = 0.7,
                          .infertile = 0.2,
                          .heats = heats};
    constexpr int drawn = 400000;
    int settled = 0;
    double visits = 0, squares = 0;
    for (int k = 0; k < drawn; ++k) {
      if (draw() >= 0.5) continue;  // August
      const bool can = draw() >= season.settle.never && draw() >= terms.infertile;
      int trips = 0;
      for (unsigned j = 0; j < heats; ++j) {
        if (draw() >= season.settle.heat_noticed) continue;
        ++trips;
        if (can && draw() < terms.conception / 0.95) {
          ++settled;
          break;
        }
      }
      visits += trips;
      squares += double(trips) * trips;
    }
    const Settles settles = settle(season, terms);
    const double p = settles.probability;
    CHECK(std::abs(double(settled) / drawn - p) < 5 * std::sqrt(p * (1 - p) / drawn));
    const double mean = visits / drawn;
    const double error = std::sqrt((squares / drawn - mean * mean) / drawn);
    CHECK(std::abs(mean - settles.expected_visits) < 5 * error);
  }
}

TEST_CASE("chances outside of 0..1 are refused") {
  Season season;
  StayTerms terms{.from = {}, .to = {}, .conception = 1.5, .infertile = 0.0, .heats = 1};
  CHECK_THROWS_AS(settle(season, terms), UsageError);
}
