// SPDX-License-Identifier: MIT
/// Which kids share one draw of the sire, beside the slow and obvious rule of DEFINITIONS 1: every
/// pair of services, every pair of kids.
#include <algorithm>
#include <random>

#include <doctest/doctest.h>

#include <fmt/format.h>

#include "herdbook/litters.hpp"

using namespace doewright;

namespace {

/// A visit as the services say it; days count from the first of January 2024.
struct Visit {
  int buck, from, to;
};

const Date first_day = *date_of(2024, 1, 1);

std::string day(int number) {
  return to_text(first_day + number);
}

/// Two of the listed bucks within 2 days of each other, both at some time in the 200 days before.
bool two_at_once(const std::vector<Visit>& visits, const std::vector<int>& listed, int born) {
  const auto counts = [&](const Visit& visit) {
    const bool is_listed = std::find(listed.begin(), listed.end(), visit.buck) != listed.end();
    return is_listed && visit.to >= born - 200 && visit.from <= born;
  };
  for (const Visit& a : visits) {
    for (const Visit& b : visits) {
      const bool near = a.from - b.to <= 2 && b.from - a.to <= 2;
      if (a.buck != b.buck && counts(a) && counts(b) && near) return true;
    }
  }
  return false;
}

BookFiles files_with(const std::vector<Visit>& visits, std::mt19937& random) {
  std::string text = "doe,sire,from,to,how\n";
  for (const Visit& visit : visits) {
    const bool one_day = visit.from == visit.to;
    text +=
        fmt::format("D,B{},{},{},{}\n", visit.buck, day(visit.from),
                    one_day && random() % 2 == 0 ? "" : day(visit.to), one_day ? "seen" : "visit");
  }
  BookFiles files;
  files.emplace(Table::services, FileText::of(text));
  return files;
}

}  // namespace

TEST_CASE("two bucks at once: the one pass says what every pair says") {
  const unsigned seed = 20260920;
  CAPTURE(seed);
  std::mt19937 random(seed);
  const auto below = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  int at_once = 0;
  for (int round = 0; round < 4000; ++round) {
    CAPTURE(round);
    std::vector<Visit> visits;
    for (int n = below(7); n > 0; --n) {
      const int from = below(260);
      visits.push_back({below(4), from, from + (below(2) == 0 ? 0 : below(40))});
    }
    std::vector<int> listed = {0, 1, 2, 3};
    std::shuffle(listed.begin(), listed.end(), random);
    listed.resize(2 + random() % 3);
    const int born = 200 + below(60);
    std::vector<std::string> sires;
    for (const int buck : listed) sires.push_back(fmt::format("B{}", buck));
    const PartialDate birth = PartialDate::of(first_day + born);
    const KidsById kids = {{"K1", {"D", "", birth, true}}, {"K2", {"D", "", birth, true}}};
    const auto draws =
        shared_draws({{"K1", "", sires}, {"K2", "", sires}}, kids, files_with(visits, random));
    const bool expected = two_at_once(visits, listed, born);
    CHECK(draws[0] == draws[1]);
    CHECK(draws[0].empty() == expected);
    at_once += expected;
  }
  CHECK(at_once > 400);  // both answers were asked for
  CHECK(at_once < 3600);
}

TEST_CASE("births known to the day: mates are within 2 days of the first of their litter") {
  const unsigned seed = 20260921;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 500; ++round) {
    CAPTURE(round);
    KidsById kids;
    std::vector<ListedKid> listed;
    std::vector<int> births;
    for (std::size_t n = 0; n < 2 + random() % 6; ++n) {
      births.push_back(static_cast<int>(random() % 12));
      const std::string id = fmt::format("K{}", n);
      listed.push_back({id, "", {"B1", "B2"}});
      kids[id] = {"D", "", PartialDate::of(first_day + births.back()), true};
    }
    const auto draws = shared_draws(listed, kids, {});
    // The first birth opens a litter; who comes within 2 days of it belongs to it; and so on.
    std::vector<int> opens = births;
    std::sort(opens.begin(), opens.end());
    std::vector<int> firsts;
    for (const int born : opens) {
      if (firsts.empty() || born - firsts.back() > 2) firsts.push_back(born);
    }
    const auto litter = [&](int born) {
      return std::upper_bound(firsts.begin(), firsts.end(), born) - firsts.begin();
    };
    for (std::size_t a = 0; a < births.size(); ++a) {
      CHECK_FALSE(draws[a].empty());
      for (std::size_t b = 0; b < a; ++b) {
        CHECK((draws[a] == draws[b]) == (litter(births[a]) == litter(births[b])));
      }
    }
  }
}

TEST_CASE("two days are two days: the third is another heat, and another litter") {
  const std::vector<std::string> both = {"B1", "B2"};
  std::mt19937 random(1);
  const auto share = [&](int second_visit, int second_birth) {
    const PartialDate first = PartialDate::of(first_day + 200);
    const PartialDate second = PartialDate::of(first_day + 200 + second_birth);
    const KidsById kids = {{"K1", {"D", "", first, true}}, {"K2", {"D", "", second, true}}};
    const auto draws =
        shared_draws({{"K1", "", both}, {"K2", "", both}}, kids,
                     files_with({{1, 50, 50}, {2, 50 + second_visit, 50 + second_visit}}, random));
    return !draws[0].empty() && draws[0] == draws[1];
  };
  CHECK_FALSE(share(2, 0));
  CHECK(share(3, 0));
  CHECK(share(3, 2));
  CHECK_FALSE(share(3, 3));
}
