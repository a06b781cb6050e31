// SPDX-License-Identifier: MIT
// Tables of tests/reference/season: computed outside of the project.
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/core/normal.hpp>
#include <doewright/timing/gestation.hpp>
#include <doewright/timing/settling.hpp>

#include "herd/tiny_herd.hpp"
#include "timing/season_table.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

GestationClass class_of(const SeasonRow& row) {
  return {number(row, "mean"), number(row, "sd")};
}

/// The table's own way: service and kidding on a grid of .1 day, both ends of the stay counted, the
/// first kidding time at which the chance is reached.
double stepped_due_point(int stay_days, double conception, double p) {
  std::vector<double> by_time(1000, 0.0);
  for (int t = 0; t <= 10 * stay_days; ++t) {
    const double weight = std::pow(1 - conception, t / 210);
    for (std::size_t k = 0; k < by_time.size(); ++k) {
      by_time[k] += weight * normal_density((120 + double(k) / 10 - t / 10.0 - 150) / 3);
    }
  }
  double all = 0.0, sum = 0.0;
  for (const double x : by_time) all += x;
  std::size_t k = 0;
  for (; k < by_time.size() && (sum += by_time[k]) < p * all;) ++k;
  return 120 + double(k) / 10;
}

}  // namespace

TEST_CASE("the chance of every gestation length, by class") {
  for (const SeasonRow& row : season_table("check_gestation_pmf.csv")) {
    const GestationClass gestation = class_of(row);
    const int day = int(number(row, "day"));
    double by_then = 0.0, from_135 = 0.0;
    for (int d = 60; d <= day; ++d) by_then += gestation_chance(gestation, d);
    for (int d = 135; d <= 250; ++d) from_135 += gestation_chance(gestation, d);
    CHECK(std::abs(by_then - number(row, "p_kid_by_end_of_day")) < 5.1e-7);
    // This one column of the table was scaled to add up to 1 from day 135 on; ours keeps the tail.
    CHECK(std::abs(gestation_chance(gestation, day) / from_135 - number(row, "p_kid_on_day")) <
          5.1e-7);
  }
  double sum = 0.0;
  for (int day = 100; day <= 200; ++day) sum += gestation_chance({150.0, 3.0}, day);
  CHECK(sum == doctest::Approx(1.0).epsilon(1e-12));
  CHECK(gestation_chance({150.0, 3.0}, 190) > 0.0);  // the far tail is small, not nothing
}

TEST_CASE("the window after one service, by class") {
  for (const SeasonRow& row : season_table("check_single_service_window.csv")) {
    const GestationClass gestation = class_of(row);
    const std::pair<const char*, double> points[] = {{"q2.5", .025}, {"q5", .05}, {"q10", .1},
                                                     {"median", .5}, {"q90", .9}, {"q95", .95},
                                                     {"q97.5", .975}};
    for (const auto& [column, p] : points) {
      CHECK(std::abs(gestation_point(gestation, p) - number(row, column)) < 0.0051);
    }
  }
  const Date day0 = date_of(2026, 10, 1).value();
  const auto watch = [&](double mean, double sd) {
    return due_after_service(day0, {mean, sd}).low - day0;
  };
  CHECK(watch(151, 2.7) == 146);
  CHECK(watch(150, 3.0) == 145);
  CHECK(watch(149, 3.5) == 143);
  CHECK(watch(146, 3.0) == 141);
  CHECK(due_after_service(day0, {150, 3}).middle - day0 == 150);
  CHECK(due_after_service(day0, {150, 3}).high - day0 == 155);
}

TEST_CASE("the window after a stay with no date seen") {
  for (const SeasonRow& row : season_table("check_due_window.csv")) {
    const Date first = date_of(2026, 10, 1).value();
    const double c = number(row, "conception_per_heat");
    const int stay_days = int(number(row, "stay_days"));
    const BuckOdds buck{c, 0.0};
    const Exposure stay{0, first, first + (stay_days - 1)};
    const ConceptionDays days = conception_days(all_cycling(), {&buck, 1}, {&stay, 1});
    const std::vector<DueFrom> parts = {{first, days.by_buck[0], {150.0, 3.0}}};
    const std::pair<const char*, double> points[] = {{"q2.5", .025}, {"q5", .05}, {"q10", .1},
                                                     {"median", .5}, {"q90", .9}, {"q95", .95},
                                                     {"q97.5", .975}};
    for (const auto& [column, p] : points) {
      CHECK(std::abs(stepped_due_point(stay_days, c, p) - number(row, column)) < 1e-6);
      CHECK(std::abs(due_point(parts, p) - number(row, column)) < 0.1);  // one step of the table
    }
    // Drawn does of the table's maker, rounded to .1: .05, and their own error of about .03.
    CHECK(std::abs(due_point(parts, 0.05) - number(row, "mc_q5")) < 0.1);
    CHECK(std::abs(due_point(parts, 0.5) - number(row, "mc_median")) < 0.1);
    CHECK(std::abs(due_point(parts, 0.95) - number(row, "mc_q95")) < 0.1);
  }
}

TEST_CASE("due windows of drawn kiddings, two does of different class together") {
  const Date first = date_of(2026, 10, 1).value();
  const std::vector<DueFrom> parts = {{first, {0.2, 0.0, 0.5}, {150.0, 3.0}},
                                      {first + 30, {0.4}, {146.0, 3.0}}};
  TestDraws draw(5);
  constexpr int drawn = 200000;
  for (const double p : {0.05, 0.4, 0.7, 0.95}) {
    const double point = due_point(parts, p);
    int by = 0;
    for (int k = 0; k < drawn; ++k) {
      const double pick = draw() * 1.1;
      const double day = pick < 0.2 ? 0 : pick < 0.7 ? 2 : 30;
      const double z = normal_quantile(draw() + 0x1p-54);
      by += day + draw() + (day < 30 ? 150 : 146) + 3 * z <= point;
    }
    CHECK(std::abs(by / double(drawn) - p) < 5 * std::sqrt(p * (1 - p) / drawn));
  }
  CHECK(std::isnan(due_point(std::vector<DueFrom>{{first, {0.0}, {}}}, 0.5)));
  CHECK_THROWS_AS(due_after_days({}), UsageError);
}

TEST_CASE("a day and a length make the day due, in leap years too") {
  for (const SeasonRow& row : season_table("date_pairs.csv")) {
    const Date service = date(row.at("service")).earliest();
    CHECK(to_text(service + int(number(row, "days"))) == row.at("due"));
  }
}

TEST_CASE("the class of a cross is that of the largest share, ties by name") {
  Season season;
  season.gestation["boer"] = {149, 3.5};
  season.gestation_class_of_breed["boer"] = "boer";
  season.gestation_class_of_breed["lost"] = "nowhere";
  const std::vector<std::string> names = {"Nubian", "Nigerian", "Boer", "Lost"};
  const auto mean = [&](std::vector<BreedShare> mix) {
    return gestation_of(season, mix, names).mean;
  };
  CHECK(mean({{2, 0.75}, {0, 0.25}}) == 149);
  CHECK(mean({{1, 0.5}, {2, 0.5}}) == 149);  // boer before nigerian
  CHECK(mean({{0, 0.5}, {1, 0.5}}) == 146);  // nigerian before nubian
  CHECK(mean({{0, 1.0}}) == 150);
  CHECK(mean({{3, 1.0}}) == 150);
  CHECK(mean({}) == 150);
}
