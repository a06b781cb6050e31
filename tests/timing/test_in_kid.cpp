// SPDX-License-Identifier: MIT
// Tables of tests/reference/season: computed outside of the project.
#include <cmath>

#include <doctest/doctest.h>

#include <doewright/timing/in_kid.hpp>

#include "herd/tiny_herd.hpp"
#include "timing/season_table.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

/// Alder serves three does on 1 August; as-of is 15 September.
Herd three_served() {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck}, {"Sorrel"}, {"Vetch"}, {"Yarrow"}});
  for (const char* doe : {"Sorrel", "Vetch", "Yarrow"}) {
    herd.services.push_back({.doe = animal(herd, doe),
                             .sire = animal(herd, "Alder"),
                             .from = date("2026-08-01"),
                             .to = {},
                             .how = ServiceHow::seen,
                             .row = {}});
  }
  return herd;
}

InfertileOdds of_alder(const Herd& herd) {
  return infertile_odds(herd, Offspring(herd.pedigree), animal(herd, "Alder"), 0.7, 0.05);
}

}  // namespace

TEST_CASE("no return seen") {
  for (const SeasonRow& row : season_table("check_no_return.csv")) {
    const double p =
        after_no_return(number(row, "conception"), number(row, "chance_a_return_would_be_seen"));
    CHECK(std::abs(p - number(row, "p_pregnant_given_no_return_seen")) < 5.1e-7);
  }
}

TEST_CASE("a check with its errors, good and bad") {
  for (const SeasonRow& row : season_table("check_preg_test.csv")) {
    const CheckOdds odds{number(row, "sensitivity"), number(row, "specificity")};
    const double prior = number(row, "prior_pregnant");
    CHECK(std::abs(after_check(prior, odds, PregnancyResult::in_kid) -
                   number(row, "p_preg_given_positive")) < 5.1e-7);
    CHECK(std::abs(after_check(prior, odds, PregnancyResult::empty) -
                   number(row, "p_preg_given_negative")) < 5.1e-7);
    CHECK(after_check(prior, odds, PregnancyResult::unclear) == prior);
  }
  // .92 before a weak test: .982 after a positive, .46 after a negative one
  CHECK(std::abs(after_check(0.92, {.94, .80}, PregnancyResult::in_kid) - 0.982) < 5e-4);
  CHECK(std::abs(after_check(0.92, {.94, .80}, PregnancyResult::empty) - 0.46) < 5e-3);
}

TEST_CASE("all does back in heat: the table of infertile bucks") {
  for (const SeasonRow& row : season_table("check_buck_infertile.csv")) {
    const double p =
        infertile_if_all_returned(number(row, "prior_infertile"), number(row, "c_if_fertile"),
                                  static_cast<unsigned>(number(row, "does_served_all_returned")));
    CHECK(std::abs(p - number(row, "p_infertile")) < 5.1e-7);
  }
}

TEST_CASE("from the book: three does back in heat call the fallback, one doe in kid clears him") {
  Herd herd = three_served();
  for (const char* doe : {"Sorrel", "Vetch", "Yarrow"}) {
    herd.heats.push_back({animal(herd, doe), date("2026-08-22"), {}});
  }
  InfertileOdds odds = of_alder(herd);
  CHECK(odds.served == 3);
  CHECK(odds.returned == 3);
  CHECK(std::abs(odds.probability - 0.660939) < 5.1e-7);
  CHECK(odds.call_fallback);

  herd.heats.pop_back();
  herd.pregnancy_checks.push_back({animal(herd, "Yarrow"),
                                   date("2026-09-10"),
                                   PregnancyResult::in_kid,
                                   PregnancyHow::scan,
                                   {},
                                   {},
                                   {}});
  odds = of_alder(herd);
  CHECK(odds.served == 3);
  CHECK(odds.returned == 2);
  CHECK(odds.probability == 0.0);
  CHECK_FALSE(odds.call_fallback);
}

TEST_CASE("two cycles later is back all the same: in heat, or served again by whomever") {
  for (const bool by_service : {false, true}) {
    Herd herd = three_served();
    for (const char* doe : {"Sorrel", "Vetch", "Yarrow"}) {
      if (by_service) {
        herd.services.push_back({.doe = animal(herd, doe),
                                 .sire = animal(herd, "Sorrel"),  // anybody else
                                 .from = date("2026-09-12"),
                                 .to = {},
                                 .how = ServiceHow::seen,
                                 .row = {}});
      } else {
        herd.heats.push_back({animal(herd, doe), date("2026-09-12"), {}});
      }
    }
    const InfertileOdds odds = of_alder(herd);
    CHECK(odds.returned == 3);
    CHECK(std::abs(odds.probability - 0.660939) < 5.1e-7);  // check_buck_infertile.csv
    CHECK(odds.call_fallback);
  }
}

TEST_CASE("not seen back speaks for him, the more the surer a return would have been seen") {
  Herd herd = three_served();
  // the returns would fall into August (half of the does cycle) and, day 42, into September
  const double q = (1 - 0.8 * 0.5) * (1 - 0.8 * 0.85);
  const double quiet = 0.7 + 0.3 * q;
  const double if_not = 0.95 * quiet * quiet * quiet;
  const double if_so = 0.05 * q * q * q;
  CHECK(of_alder(herd).probability == doctest::Approx(if_so / (if_so + if_not)).epsilon(1e-12));
  CHECK(of_alder(herd).returned == 0);
  for (Service& service : herd.services) service.from = date("2026-09-01");  // too early to tell
  CHECK(of_alder(herd).served == 0);
  CHECK(of_alder(herd).probability == doctest::Approx(0.05).epsilon(1e-15));
}
