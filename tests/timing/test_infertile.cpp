// SPDX-License-Identifier: MIT
// Is he a dud: the sums are done again here doe by doe, heat by heat, from DEFINITIONS 8.
#include <cmath>
#include <string_view>

#include <doctest/doctest.h>

#include <doewright/timing/in_kid.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

constexpr double f = 0.05, c = 0.7, b = 0.05, can_c = c / (1 - b);
constexpr const char* does[] = {"Sorrel", "Vetch", "Yarrow"};

Herd three_does(std::string_view today) {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck},
                       {"Birch", "", "", Sex::buck},
                       {"Sorrel"},
                       {"Vetch"},
                       {"Yarrow"},
                       {"Kid", "", "Sorrel"}});
  herd.as_of = date(today).earliest();
  return herd;
}

void serve(Herd& herd, std::string_view doe, std::string_view from,
           std::string_view sire = "Alder") {
  herd.services.push_back({.doe = animal(herd, doe),
                           .sire = animal(herd, sire),
                           .from = date(from),
                           .to = {},
                           .how = ServiceHow::seen,
                           .row = {}});
}

void pen(Herd& herd, std::string_view doe, std::string_view from, std::string_view to,
         std::string_view sire = "Alder") {
  herd.services.push_back({.doe = animal(herd, doe),
                           .sire = animal(herd, sire),
                           .from = date(from),
                           .to = to.empty() ? PartialDate{} : date(to),
                           .how = ServiceHow::pen,
                           .row = {}});
}

void heat(Herd& herd, std::string_view doe, std::string_view day) {
  herd.heats.push_back({animal(herd, doe), date(day), {}});
}

void scan(Herd& herd, std::string_view doe, std::string_view day, PregnancyResult result) {
  herd.pregnancy_checks.push_back(
      {animal(herd, doe), date(day), result, PregnancyHow::scan, {}, {}, {}});
}

void kids(Herd& herd, std::string_view doe, std::string_view day, std::string_view sire = {}) {
  Kidding kidding;
  kidding.doe = animal(herd, doe);
  kidding.date = date(day);
  if (!sire.empty()) kidding.sire = animal(herd, sire);
  herd.kiddings.push_back(kidding);
}

InfertileOdds of_alder(const Herd& herd) {
  return infertile_odds(herd, Offspring(herd.pedigree), animal(herd, "Alder"), c, f);
}

/// f against 1 - f, each doe open with this chance if he is fertile.
double dud(double open, int k = 3) {
  return f / (f + (1 - f) * std::pow(open, k));
}

/// Open after a stay with a fertile buck: every first heat of 21, every class of does that cycle.
double open_after(const Herd& herd, std::string_view from, std::string_view to) {
  const Date first = date(from).earliest(), last = date(to).earliest();
  const auto& share = herd.season.settle.cycling;
  double open = 0.0;
  constexpr int classes = 1000;  // the shares are whole hundredths
  for (int each = 0; each < classes; ++each) {
    const double level = (each + 0.5) / classes;
    for (int phase = 0; phase < 21; ++phase) {
      double still = 1.0;
      for (Date day = first + phase; day <= last; day = day + 21) {
        if (level < share[calendar_day(day).month - 1]) still *= 1 - can_c;
      }
      open += still / (21.0 * classes);
    }
  }
  return b + (1 - b) * open;
}

}  // namespace

TEST_CASE("a doe that stood again and was scanned in kid is in kid, and he is no dud") {
  Herd herd = three_does("2026-11-25");
  serve(herd, "Sorrel", "2026-10-10");
  serve(herd, "Vetch", "2026-10-11");
  serve(herd, "Yarrow", "2026-10-12");
  heat(herd, "Sorrel", "2026-10-31");
  heat(herd, "Vetch", "2026-11-01");
  heat(herd, "Yarrow", "2026-11-02");
  CHECK(std::abs(of_alder(herd).probability - 0.660939) < 5.1e-7);  // check_buck_infertile.csv
  scan(herd, "Sorrel", "2026-11-24", PregnancyResult::in_kid);
  InfertileOdds odds = of_alder(herd);
  CHECK(odds.served == 3);
  CHECK(odds.returned == 2);
  CHECK(odds.probability == 0.0);
  CHECK_FALSE(odds.call_fallback);
  REQUIRE(odds.proved_in_kid.size() == 1);
  CHECK(odds.proved_in_kid.front() == animal(herd, "Sorrel"));

  serve(herd, "Sorrel", "2026-10-31", "Birch");  // then it may be Birch's, and she was back
  odds = of_alder(herd);
  CHECK(odds.proved_in_kid.empty());
  CHECK(std::abs(odds.probability - 0.660939) < 5.1e-7);
}

TEST_CASE("a kidding to that service proves it, by its sire or by its day") {
  Herd herd = three_does("2027-03-08");
  for (const char* doe : does) serve(herd, doe, "2026-10-10");
  scan(herd, "Vetch", "2026-12-24", PregnancyResult::empty);
  scan(herd, "Yarrow", "2026-12-24", PregnancyResult::empty);
  SUBCASE("sire recorded") {
    kids(herd, "Sorrel", "2027-03-05", "Alder");
  }
  SUBCASE("by its day") {
    kids(herd, "Sorrel", "2027-03-05");
  }
  SUBCASE("a kid of hers by him") {
    herd = [] {
      Herd with_kid = herd_of({{"Alder", "", "", Sex::buck},
                               {"Sorrel"},
                               {"Vetch"},
                               {"Yarrow"},
                               {"Kid", "Alder", "Sorrel", Sex::doe, date("2027-03-05")}});
      with_kid.as_of = date("2027-03-08").earliest();
      return with_kid;
    }();
    for (const char* doe : does) serve(herd, doe, "2026-10-10");
    scan(herd, "Vetch", "2026-12-24", PregnancyResult::empty);
    scan(herd, "Yarrow", "2026-12-24", PregnancyResult::empty);
  }
  const InfertileOdds odds = of_alder(herd);
  CHECK(odds.served == 3);
  CHECK(odds.returned == 2);
  CHECK(odds.proved_in_kid.size() == 1);
  CHECK(odds.probability == 0.0);
}

TEST_CASE("a kidding to another proves nothing of him") {
  Herd herd = three_does("2027-03-08");
  for (const char* doe : does) serve(herd, doe, "2026-10-10");
  scan(herd, "Vetch", "2026-12-24", PregnancyResult::empty);
  scan(herd, "Yarrow", "2026-12-24", PregnancyResult::empty);
  scan(herd, "Sorrel", "2026-12-24", PregnancyResult::in_kid);
  kids(herd, "Sorrel", "2027-03-05", "Birch");
  const InfertileOdds odds = of_alder(herd);
  CHECK(odds.served == 2);
  CHECK(odds.probability == doctest::Approx(dud(1 - c, 2)).epsilon(1e-12));
}

TEST_CASE("pens: found empty, the chance that a fertile buck leaves her open over the whole stay") {
  Herd herd = three_does("2026-11-25");
  for (const char* doe : does) {
    pen(herd, doe, "2026-08-10", "2026-09-20");
    scan(herd, doe, "2026-11-20", PregnancyResult::empty);
  }
  const InfertileOdds odds = of_alder(herd);
  CHECK(odds.served == 3);
  CHECK(odds.returned == 3);
  const double open = open_after(herd, "2026-08-10", "2026-09-20");
  CHECK(open == doctest::Approx(0.3245614035).epsilon(1e-9));  // enumerated in Python too
  CHECK(odds.probability == doctest::Approx(dud(open)).epsilon(1e-12));
  CHECK(odds.probability < 0.661);  // half of the does do not cycle in August: his fault the less
}

TEST_CASE("pens: a check tells of the days up to 20 before it") {
  Herd herd = three_does("2026-12-10");
  for (const char* doe : does) {
    pen(herd, doe, "2026-10-03", "");
    scan(herd, doe, "2026-11-24", PregnancyResult::empty);
  }
  const double open = open_after(herd, "2026-10-03", "2026-11-04");
  CHECK(of_alder(herd).probability == doctest::Approx(dud(open)).epsilon(1e-12));
  CHECK(of_alder(herd).returned == 3);
}

TEST_CASE("pens: a heat more than a cycle into the stay or after it") {
  Herd herd = three_does("2026-11-30");
  const char* day = nullptr;
  double open = 1.0;
  std::uint32_t served = 3;
  const double once = b + (1 - b) * (1 - can_c), twice = b + (1 - b) * std::pow(1 - can_c, 2);
  SUBCASE("day 15: her first heat with him, too early to tell") {
    day = "2026-10-16";
    served = 0;
  }
  SUBCASE("day 24: one heat failed") {
    day = "2026-10-25";
    open = once;
  }
  SUBCASE("day 50, nine days after he left: two failed") {
    day = "2026-11-20";
    open = twice;
  }
  for (const char* doe : does) {
    pen(herd, doe, "2026-10-01", "2026-11-11");
    heat(herd, doe, day);
  }
  if (served == 0) herd.as_of = date("2026-10-20").earliest();
  const InfertileOdds odds = of_alder(herd);
  CHECK(odds.served == served);
  CHECK(odds.returned == served);
  CHECK(odds.probability == doctest::Approx(dud(open)).epsilon(1e-12));
}

TEST_CASE("pens: in kid to him alone, and not seen back after the stay") {
  Herd herd = three_does("2026-12-10");
  for (const char* doe : does) pen(herd, doe, "2026-10-01", "2026-11-11");
  const double settles = 1 - open_after(herd, "2026-10-01", "2026-11-11");
  const double e = 0.8 * (19 * 0.97 + 2 * 0.95) / 21;  // 12 November to 2 December
  const double q = 1 - e, seen_quiet = settles + (1 - settles) * q;
  InfertileOdds odds = of_alder(herd);
  CHECK(odds.served == 3);
  CHECK(odds.returned == 0);
  const double so = f * q * q * q, not_so = (1 - f) * std::pow(seen_quiet, 3);
  CHECK(odds.probability == doctest::Approx(so / (so + not_so)).epsilon(1e-12));
  scan(herd, "Vetch", "2026-12-09", PregnancyResult::in_kid);
  CHECK(of_alder(herd).probability == 0.0);
  pen(herd, "Vetch", "2026-11-01", "2026-11-11", "Birch");
  CHECK(of_alder(herd).proved_in_kid.empty());
}

TEST_CASE("back twice: two heats of his failed; does that never settle are no fault of his") {
  Herd herd = three_does("2026-11-25");
  for (const char* doe : does) {
    serve(herd, doe, "2026-10-10");
    serve(herd, doe, "2026-10-31");
    heat(herd, doe, "2026-11-21");
  }
  const InfertileOdds odds = of_alder(herd);
  CHECK(odds.returned == 3);
  CHECK(odds.probability ==
        doctest::Approx(dud(b + (1 - b) * std::pow(1 - can_c, 2))).epsilon(1e-12));
}

TEST_CASE("a service seen in a stay: her heat is known from there on") {
  Herd herd = three_does("2026-11-25");
  for (const char* doe : does) {
    pen(herd, doe, "2026-10-01", "2026-10-11");
    serve(herd, doe, "2026-10-08");
    scan(herd, doe, "2026-11-20", PregnancyResult::empty);
  }
  // the stay after it ends before she can be in heat again: cycles of under 4 days do not exist
  CHECK(of_alder(herd).probability == doctest::Approx(dud(1 - c)).epsilon(1e-9));
}
