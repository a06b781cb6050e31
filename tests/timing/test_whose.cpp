// SPDX-License-Identifier: MIT
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>

#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/core/normal.hpp>
#include <doewright/timing/gestation.hpp>
#include <doewright/timing/whose.hpp>

#include "herd/tiny_herd.hpp"
#include "timing/season_table.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

const Date day0 = date_of(2026, 10, 1).value();
const GestationClass unknown_class{150.0, 3.0};

/// Day numbers instead of dates.
SireExposure seen(std::size_t buck, int day) {
  return {buck, day0 + day, day0 + day, true};
}
SireExposure stay(std::size_t buck, int from, int to) {
  return {buck, day0 + from, day0 + to, false};
}

/// The definition, term by term, for one state of the bucks; slow.
struct ByDefinition {
  std::vector<double> c;  // 0 for an infertile buck
  std::vector<SireExposure> exposures;
  int kidded = 0;

  double stay_c(std::size_t s, int t) const {
    std::vector<bool> there(c.size());
    for (const SireExposure& e : exposures) {
      if (!e.seen && e.from - day0 <= t && t <= e.to - day0 && t <= kidded) there[e.buck] = true;
    }
    const auto bucks = std::count(there.begin(), there.end(), true);
    return there[s] ? c[s] / double(bucks) : 0.0;
  }
  double stay_c(int t) const {
    double sum = 0.0;
    for (std::size_t s = 0; s < c.size(); ++s) sum += stay_c(s, t);
    return sum;
  }
  double open_at(int t) const {
    double open = 1.0;
    for (int k = 1; k < 40; ++k) open *= 1 - stay_c(t - 21 * k);
    return open;
  }
  std::vector<int> heat_days() const {
    std::vector<int> days;
    for (int t = -400; t < kidded; ++t) {
      bool any = false;
      for (const SireExposure& e : exposures) any = any || (e.seen && e.from - day0 == t);
      if (any && (days.empty() || t - days.back() > 2)) days.push_back(t);
    }
    return days;
  }
  /// His first day in the heat that begins on `first`, or nothing.
  std::optional<int> served_on(std::size_t s, int first) const {
    for (int t = first; t <= first + 2 && t < kidded; ++t) {
      for (const SireExposure& e : exposures) {
        if (e.seen && e.buck == s && e.from - day0 == t) return t;
      }
    }
    return std::nullopt;
  }
  double heat_c(std::size_t s, int first) const {
    int bucks = 0;
    for (std::size_t k = 0; k < c.size(); ++k) bucks += served_on(k, first).has_value();
    return served_on(s, first) ? c[s] / bucks : 0.0;
  }
  /// f of buck s by the day that counts for gestation.
  void each(std::size_t s, const std::function<void(int, double)>& use) const {
    const std::vector<int> heats = heat_days();
    const int m = int(heats.size());
    double open = heats.empty() ? 1.0 : open_at(heats.front());
    for (int t = -400; t <= kidded; ++t) {
      if (!heats.empty() && t >= heats.front()) break;
      use(t, stay_c(s, t) / 21 * open_at(t) * std::pow(0.05, m));
    }
    for (int i = 0; i < m; ++i) {
      const int first = heats[std::size_t(i)];
      if (const auto on = served_on(s, first)) {
        use(*on, open * heat_c(s, first) * std::pow(0.05, m - 1 - i));
      }
      double taken = 0.0;
      for (std::size_t k = 0; k < c.size(); ++k) taken += heat_c(k, first);
      open *= 1 - taken;
    }
    if (heats.empty()) return;
    std::vector<double> h = {open};
    for (int t = heats.back() + 1; t <= kidded; ++t) {
      double sum = 0.0;
      for (int d = 1; d <= t - heats.back(); ++d) {
        const int before = t - d - heats.back();
        const double left = before == 0 ? 1.0 : 1 - stay_c(t - d);
        const double length =
            normal_below((d + 0.5 - 21) / 1.5) - normal_below((d - 0.5 - 21) / 1.5);
        sum += h[std::size_t(before)] * left * length;
      }
      h.push_back(sum);
      use(t, sum * stay_c(s, t));
    }
  }
};

SireChances by_definition(const std::vector<BuckOdds>& bucks, double never,
                          const std::vector<SireExposure>& exposures, int kidded) {
  std::vector<double> weight(bucks.size());
  double all = 0.0, sum = 0.0;
  for (unsigned state = 0; state < 1u << bucks.size(); ++state) {
    ByDefinition twin{{}, exposures, kidded};
    double chance = 1.0;
    for (std::size_t s = 0; s < bucks.size(); ++s) {
      const bool fertile = (state >> s & 1) != 0;
      twin.c.push_back(fertile ? std::min(1.0, bucks[s].conception / (1 - never)) : 0.0);
      chance *= fertile ? 1 - bucks[s].infertile : bucks[s].infertile;
    }
    for (std::size_t s = 0; s < bucks.size(); ++s) {
      twin.each(s, [&](int t, double f) {
        weight[s] += chance * f * gestation_chance(unknown_class, kidded - t);
        all += chance * f;
      });
    }
  }
  const double unseen = 0.01 / 60 * all;
  for (const double w : weight) sum += w;
  for (double& w : weight) w /= sum + unseen;
  return {weight, unseen / (sum + unseen)};
}

}  // namespace

TEST_CASE("two services a heat apart: the three weights of the definition") {
  const std::vector<BuckOdds> bucks = {{0.8, 0.0}, {0.7, 0.0}};
  for (const int x : {140, 150, 160, 165, 171, 180}) {
    const double a = 0.8 * 0.05 * gestation_chance(unknown_class, x);
    const double b = 0.2 * 0.7 * gestation_chance(unknown_class, x - 21);
    const double o = 0.01 * (0.8 * 0.05 + 0.2 * 0.7) / 60;
    const SireChances chances =
        whose_kid(bucks, 0.0, std::vector{seen(0, 0), seen(1, 21)}, day0 + x, unknown_class);
    CHECK(chances.by_buck[0] == doctest::Approx(a / (a + b + o)).epsilon(1e-12));
    CHECK(chances.by_buck[1] == doctest::Approx(b / (a + b + o)).epsilon(1e-12));
    CHECK(chances.unrecorded == doctest::Approx(o / (a + b + o)).epsilon(1e-12));
  }
}

TEST_CASE("two equal guesses d days apart: the best one is wrong as often as the table says") {
  for (const SeasonRow& row : season_table("check_sire_misassign_equal_prior.csv")) {
    const int gap = int(number(row, "gap_days"));
    if (gap < 3) continue;  // one heat
    const GestationClass gestation{150.0, number(row, "gestation_sd")};
    const std::vector<BuckOdds> bucks = {{0.9, 0.0}, {0.45, 0.0}};  // .9 x .05 = .1 x .45
    double wrong = 0.0;
    for (int x = 100; x <= 230; ++x) {
      const SireChances chances =
          whose_kid(bucks, 0.0, std::vector{seen(0, 0), seen(1, gap)}, day0 + x, gestation);
      const double named = chances.by_buck[0] + chances.by_buck[1];
      const double kids_that_day =
          0.5 * (gestation_chance(gestation, x) + gestation_chance(gestation, x - gap));
      wrong += kids_that_day * std::min(chances.by_buck[0], chances.by_buck[1]) / named;
    }
    CAPTURE(gap);
    // An even gap has its border in the middle of a whole day, whose kids cannot be told apart.
    const double table = number(row, "p_wrong_closed");
    if (gap % 2 == 1) CHECK(std::abs(wrong - table) < 5.1e-7);
    if (gap % 2 == 0) CHECK((wrong >= table - 5.1e-7 && wrong < table + 0.006));
  }
}

TEST_CASE("any services and stays: the same as the definition term by term") {
  TestDraws draw(99);
  for (int k = 0; k < 60; ++k) {
    CAPTURE(k);
    const std::size_t n = 1 + draw.below(3);
    std::vector<BuckOdds> bucks;
    for (std::size_t s = 0; s < n; ++s) bucks.push_back({draw(), draw() < 0.5 ? 0.0 : draw() / 3});
    std::vector<SireExposure> exposures;
    for (std::size_t e = 0; e < 1 + draw.below(5); ++e) {
      const int from = int(draw.below(80));
      exposures.push_back(draw() < 0.5 ? seen(draw.below(n), from)
                                       : stay(draw.below(n), from, from + int(draw.below(40))));
    }
    const int kidded = 140 + int(draw.below(90));
    const double never = draw() < 0.5 ? 0.0 : 0.05;
    const SireChances fast = whose_kid(bucks, never, exposures, day0 + kidded, unknown_class);
    const SireChances slow = by_definition(bucks, never, exposures, kidded);
    double sum = fast.unrecorded;
    for (std::size_t s = 0; s < n; ++s) {
      CHECK(std::abs(fast.by_buck[s] - slow.by_buck[s]) < 1e-12);
      sum += fast.by_buck[s];
    }
    CHECK(std::abs(fast.unrecorded - slow.unrecorded) < 1e-12);
    CHECK(sum == doctest::Approx(1.0).epsilon(1e-12));
  }
}

TEST_CASE("two pens in turn: drawn kiddings on one day belong to each buck as often as said") {
  const std::vector<BuckOdds> bucks = {{0.75, 0.1}, {0.75, 0.02}};
  const std::vector<SireExposure> pens = {stay(0, 0, 27), stay(1, 33, 53)};
  TestDraws draw(4);
  std::array<std::array<int, 2>, 5> born = {};
  for (int doe = 0; doe < 2000000; ++doe) {
    const bool infertile[2] = {draw() < 0.1, draw() < 0.02};
    for (int t = int(draw.below(21)); t < 54; t += 21) {
      const int s = t <= 27 ? 0 : t >= 33 ? 1 : -1;
      if (s < 0 || infertile[s] || draw() >= 0.75 / 0.95) continue;
      const int x = t + int(std::floor(150.5 + 3 * normal_quantile(draw() + 0x1p-54)));
      if (x >= 174 && x < 184 && x % 2 == 0) ++born[std::size_t((x - 174) / 2)][std::size_t(s)];
      break;
    }
  }
  for (int k = 0; k < 5; ++k) {
    const auto& count = born[std::size_t(k)];
    const double all = count[0] + count[1];
    REQUIRE(all > 1000);
    const SireChances chances = whose_kid(bucks, 0.05, pens, day0 + (174 + 2 * k), unknown_class);
    const double p = chances.by_buck[0] / (chances.by_buck[0] + chances.by_buck[1]);
    CHECK(std::abs(count[0] / all - p) < 5 * std::sqrt(p * (1 - p) / all));
  }
}

TEST_CASE("two pens in turn: how many kiddings stay under 95 % by the gap between them") {
  // Facts of the season, 9.4: A for 21, 28 or 35 days, a gap, B for 21 days, c = .75 both, sd 3;
  // shares of kiddings in percent, computed outside of the project in continuous time.
  const std::vector<BuckOdds> bucks = {{0.75, 0.0}, {0.75, 0.0}};
  const auto unclear = [&](int length, int gap) {
    const std::vector<SireExposure> pens = {stay(0, 0, length - 1),
                                            stay(1, length + gap, length + gap + 20)};
    std::vector<Exposure> days;
    for (const SireExposure& pen : pens) days.push_back({pen.buck, pen.from, pen.to});
    const ConceptionDays f = conception_days(all_cycling(), bucks, days);
    double kiddings = 0.0, under = 0.0;
    for (int x = 110; x < 290; ++x) {
      double here = 0.0;
      for (std::size_t s = 0; s < 2; ++s) {
        for (std::size_t t = 0; t < f.by_buck[s].size(); ++t) {
          here += f.by_buck[s][t] * gestation_chance(unknown_class, x - int(t));
        }
      }
      const SireChances chances = whose_kid(bucks, 0.0, pens, day0 + x, unknown_class);
      const double named = chances.by_buck[0] + chances.by_buck[1];
      kiddings += here;
      if (std::max(chances.by_buck[0], chances.by_buck[1]) < 0.95 * named) under += here;
    }
    return 100 * under / kiddings;
  };
  const std::pair<int, std::array<double, 3>> table[] = {
      {0, {19, 9, 9}}, {5, {5, 3, 2}}, {7, {2.7, 1.4, 0.7}}, {10, {0.9, 0.5, 0.2}}};
  for (const auto& [gap, shares] : table) {
    for (std::size_t k = 0; k < 3; ++k) {
      const int length = 21 + 7 * int(k);
      CAPTURE(length);
      CAPTURE(gap);
      // Rounded to whole percents, then to tenths; whole days instead of continuous time: .015.
      const double rounded = gap < 7 ? 0.5 : 0.05;
      CHECK(std::abs(unclear(length, gap) - shares[k]) < rounded + 0.015);
    }
  }
}

TEST_CASE("two bucks at one heat share it; nothing recorded is said as nothing recorded") {
  const std::vector<BuckOdds> bucks = {{0.8, 0.0}, {0.8, 0.0}};
  const SireChances both =
      whose_kid(bucks, 0.0, std::vector{seen(0, 0), seen(1, 0)}, day0 + 150, unknown_class);
  CHECK(both.by_buck[0] == doctest::Approx(both.by_buck[1]).epsilon(1e-14));
  CHECK(both.by_buck[0] > 0.49);
  CHECK(whose_kid(bucks, 0.0, {}, day0, unknown_class).unrecorded == 1.0);
  CHECK(whose_kid({}, 0.0, {}, day0, unknown_class).unrecorded == 1.0);
  CHECK_THROWS_AS(whose_kid({}, 0.0, std::vector{seen(0, 0)}, day0, unknown_class), UsageError);
}

TEST_CASE("a due date far off points to a service nobody wrote down") {
  const std::vector<BuckOdds> bucks = {{0.8, 0.0}};
  const auto at = [&](int x) {
    return whose_kid(bucks, 0.0, std::vector{seen(0, 0)}, day0 + x, unknown_class).unrecorded;
  };
  CHECK(at(150) < 0.002);
  CHECK(at(190) > 0.99);
}

TEST_CASE("from the book: her services since the kidding before, a pen still running, ages") {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date("2023-01-01")},
                       {"Rowan", "", "", Sex::buck, date("2025-12-01")},
                       {"Sorrel", "", "", Sex::doe, date("2020")},
                       {"elder", "Alder", "Sorrel", Sex::doe, date("2026-01-10")},
                       {"kid", "", "Sorrel", Sex::doe, date("2027-03-02")}});
  const auto served = [&](const char* sire, const char* from, const char* to, ServiceHow how) {
    Service service;
    service.doe = animal(herd, "Sorrel");
    service.sire = animal(herd, sire);
    service.from = date(from);
    if (*to != 0) service.to = date(to);
    service.how = how;
    herd.services.push_back(service);
  };
  served("Rowan", "2025-08-10", "", ServiceHow::seen);  // led to the kid before
  served("Alder", "2026-10-03", "", ServiceHow::seen);
  served("Rowan", "2026-10-24", "", ServiceHow::pen);
  const Offspring offspring(herd.pedigree);
  const std::vector<Animal> kids = kids_of_uncertain_sire(herd);
  REQUIRE(kids == std::vector<Animal>{animal(herd, "kid")});
  const WhoseKid answer = whose_kids(herd, offspring, kids).front();
  REQUIRE(answer.exposures.size() == 2);
  CHECK(answer.exposures[0].seen);
  CHECK(answer.exposures[0].conception == 0.80);
  CHECK(answer.exposures[0].infertile == 0.02);  // a kid in the book
  CHECK_FALSE(answer.exposures[1].seen);
  CHECK(answer.exposures[1].conception == 0.65);
  CHECK(to_text(answer.exposures[1].to) == "2027-03-02");
  REQUIRE(answer.sires.size() == 2);
  CHECK(answer.sires[0].sire == animal(herd, "Alder"));  // 150 days after 3 October
  CHECK(answer.sires[0].probability > 0.95);
  herd.animals.born[animal(herd, "kid").position] = date("2027");
  CHECK_FALSE(whose_kids(herd, offspring, kids).front().kidding_day.has_value());
}

namespace {

/// Alder in person on 22 September, his semen on 14 October, Birch on 26 October; kidded 20 March.
Herd semen_between() {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, date("2020-03-01")},
                       {"Birch", "", "", Sex::buck, date("2020-03-02")},
                       {"Sorrel"},
                       {"Kid", "", "Sorrel", Sex::doe, date("2027-03-20")}});
  herd.as_of = date("2027-06-01").earliest();
  herd.season.settle.infertile_unproven = 0.30;
  const auto serve = [&](const char* sire, const char* day, ServiceHow how) {
    herd.services.push_back({.doe = animal(herd, "Sorrel"),
                             .sire = animal(herd, sire),
                             .from = date(day),
                             .to = {},
                             .how = how,
                             .row = {}});
  };
  serve("Alder", "2026-09-22", ServiceHow::seen);
  serve("Alder", "2026-10-14", ServiceHow::semen);
  serve("Birch", "2026-10-26", ServiceHow::seen);
  return herd;
}

double chance_of(const Herd& herd, const char* sire) {
  const Animal kid = animal(herd, "Kid");
  const auto answers = whose_kids(herd, Offspring(herd.pedigree), {&kid, 1});
  for (const KidSire& each : answers.at(0).sires) {
    if (each.sire == animal(herd, sire)) return each.probability;
  }
  return -1.0;
}

}  // namespace

// Values enumerated in Python over the states of the two bucks (with two states for Alder: .01105).
TEST_CASE("a buck and his semen are one buck: infertile in both or in neither") {
  const Herd herd = semen_between();
  CHECK(chance_of(herd, "Alder") == doctest::Approx(0.003280822517629374).epsilon(1e-9));
  CHECK(chance_of(herd, "Birch") == doctest::Approx(0.9916794148790429).epsilon(1e-9));
}

TEST_CASE("settled by his semen elsewhere: proven in person too") {
  Herd herd = semen_between();
  SireOffer offer;
  offer.sire = animal(herd, "Alder");
  offer.terms = Terms::semen;
  offer.served = 24;
  offer.settled = 20;
  herd.sires.push_back(offer);
  CHECK(chance_of(herd, "Alder") == doctest::Approx(0.04399857713919709).epsilon(1e-9));
  CHECK(buck_odds_on(herd, Offspring(herd.pedigree), offer.sire, day0, false).infertile == 0.02);
}
