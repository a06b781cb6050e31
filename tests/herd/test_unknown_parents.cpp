// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <doewright/herd/herd.hpp>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>

#include "tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {
constexpr std::int32_t no_first = std::numeric_limits<std::int32_t>::min();
constexpr std::int32_t no_last = std::numeric_limits<std::int32_t>::max();
std::int32_t day(std::string_view text) {
  return date(text).earliest().day;
}
}  // namespace

TEST_CASE("A book of ids and parents alone fills only what its use shows") {
  const Herd herd = herd_of({{"S"}, {"D"}, {"K", "S", "D"}});
  const UnknownParents unknown = unknown_parents(herd);
  CHECK(unknown.unknown_kinship == 0.0625);
  CHECK(unknown.breed_inbreeding == 0.02);
  CHECK(unknown.breed_inbreeding_of.empty());
  CHECK(unknown.birth_year.empty());
  CHECK(unknown.breed_class.empty());
  CHECK(unknown.conceived_first.empty());
  CHECK(unknown.conceived_last.empty());
  CHECK(unknown.parent_from.empty());
  CHECK(unknown.parent_to.empty());
  CHECK(unknown.used_as == std::vector<std::uint8_t>{1, 2, 0});
  CHECK(unknown.may_be == std::vector<std::uint8_t>{1, 2, 3});
}

TEST_CASE("Without any parent, date or sex there is nothing to list") {
  const UnknownParents unknown = unknown_parents(herd_of({{"A"}, {"B"}}));
  CHECK(unknown.used_as.empty());
  CHECK(unknown.may_be.empty());
  const Herd nobody;
  CHECK(unknown_parents(nobody).ids.size() == 0);
}

TEST_CASE("Conception is birth - 150 days, and a parent is seven calendar months old") {
  // Outside check, python3: date(2024, 3, 1) - timedelta(150) = 2023-10-03;
  // date(2024, 12, 31) - timedelta(150) = 2024-08-03.
  const Herd herd = herd_of({{"A", "", "", Sex::unknown, date("2024-03-01")},
                             {"B", "", "", Sex::unknown, date("2024")},
                             {"C", "", "", Sex::unknown, {}},
                             {"E", "", "", Sex::unknown, date("2023-07-31")}});
  const UnknownParents unknown = unknown_parents(herd);
  CHECK(unknown.conceived_first[0] == day("2023-10-03"));
  CHECK(unknown.conceived_last[0] == day("2023-10-03"));
  CHECK(unknown.parent_from[0] == day("2024-10-01"));
  CHECK(unknown.conceived_first[1] == day("2023-08-04"));
  CHECK(unknown.conceived_last[1] == day("2024-08-03"));
  CHECK(unknown.parent_from[1] == day("2024-08-01"));  // born on 1 January at the earliest
  CHECK(unknown.conceived_first[2] == no_first);
  CHECK(unknown.conceived_last[2] == no_last);
  CHECK(unknown.parent_from[2] == no_first);
  CHECK(unknown.parent_from[3] == day("2024-02-29"));  // there is no 31 February
}

TEST_CASE("Who left is a parent until the last day it can have left; semen has no end") {
  Herd herd = herd_of({{"DAY"}, {"YEAR"}, {"NODATE"}, {"STRAW"}, {"OFFERED"}, {"HERE"}});
  leaves(herd, "DAY", date("2024-05-06"), LeftWhy::sold);
  leaves(herd, "YEAR", date("2024"), LeftWhy::died);
  leaves(herd, "NODATE", {}, LeftWhy::sold);
  leaves(herd, "STRAW", date("2020-01-01"), LeftWhy::died);
  leaves(herd, "OFFERED", date("2020-01-01"), LeftWhy::died);
  Service service;
  service.doe = animal(herd, "HERE");
  service.sire = animal(herd, "STRAW");
  service.how = ServiceHow::semen;
  herd.services.push_back(service);
  SireOffer offer;
  offer.sire = animal(herd, "OFFERED");
  offer.semen = SemenKind::frozen;
  herd.sires.push_back(offer);
  const UnknownParents unknown = unknown_parents(herd);
  CHECK(unknown.parent_to == std::vector<std::int32_t>{day("2024-05-06"), day("2024-12-31"),
                                                       no_last, no_last, no_last, no_last});
}

TEST_CASE("Sexes: any male may be a sire, intersex neither, unknown what its use shows") {
  Herd herd = herd_of({{"BUCK", "", "", Sex::buck},
                       {"WETHER", "", "", Sex::wether},
                       {"DOE", "", "", Sex::doe},
                       {"IX", "", "", Sex::intersex},
                       {"USED"},
                       {"KIDDED"},
                       {"BLANK", "", "USED"}});
  Kidding kidding;
  kidding.doe = animal(herd, "KIDDED");
  herd.kiddings.push_back(kidding);
  const UnknownParents unknown = unknown_parents(herd);
  CHECK(unknown.may_be == std::vector<std::uint8_t>{1, 1, 2, 0, 2, 2, 3});
  // used_as: of the sex, or has sired or kidded; a wether is not a buck.
  CHECK(unknown.used_as == std::vector<std::uint8_t>{1, 0, 2, 0, 2, 2, 0});
}

TEST_CASE("Inbreeding of the breed stands by animal only where figures by breed are given") {
  Herd herd = herd_of({{"N"}, {"B"}, {"K", "B", "N"}, {"X"}});
  herd.animals.breed_names = {"Nubian", "Boer"};
  breed(herd, "N", {{0, 1.0}});
  breed(herd, "B", {{1, 1.0}});
  CHECK(unknown_parents(herd).breed_inbreeding_of.empty());
  herd.season.breed_inbreeding = {.other = 0.02, .named = {{"nubian", 0.05}}};
  const auto of = unknown_parents(herd).breed_inbreeding_of;
  REQUIRE(of.size() == 4);
  CHECK(of[animal(herd, "N").position] == 0.05);
  CHECK(of[animal(herd, "B").position] == 0.02);
  CHECK(of[animal(herd, "K").position] == doctest::Approx(0.035).epsilon(1e-14));
  CHECK(of[animal(herd, "X").position] == 0.02);
}

TEST_CASE("Ten thousand birth years make classes by year and breed; one less does not") {
  const std::size_t n = 10'001;
  Herd herd;
  herd.pedigree = Pedigree(std::vector<std::uint32_t>(n, Pedigree::none),
                           std::vector<std::uint32_t>(n, Pedigree::none));
  herd.animals.sex.resize(n);
  herd.animals.born.assign(n, date("2021-04"));
  herd.animals.born[7] = {};
  herd.animals.left.resize(n);
  herd.animals.breed_names = {"Toggenburg", "Boer"};
  herd.animals.breed_mixes = {{}, {{0, 1.0}}, {{0, 0.5}, {1, 0.5}}};
  herd.animals.breed_mix.resize(n);
  herd.animals.breed_mix[1] = 1;
  herd.animals.breed_mix[2] = 2;
  const UnknownParents unknown = unknown_parents(herd);
  REQUIRE(unknown.birth_year.size() == n);
  CHECK(unknown.birth_year[0] == 2021);
  CHECK(unknown.birth_year[7] == 0);
  CHECK(unknown.breed_class[0] == 0);
  CHECK(unknown.breed_class[1] == 1);
  CHECK(unknown.breed_class[2] == 2);  // half and half: Boer comes first by name
  herd.animals.born[8] = {};
  CHECK(unknown_parents(herd).birth_year.empty());
  CHECK(unknown_parents(herd).breed_class.empty());
}

TEST_CASE("Ties go by the ids of the book") {
  const Herd herd = herd_of({{"goat-10"}, {"goat-9"}});
  const UnknownParents unknown = unknown_parents(herd);
  REQUIRE(unknown.ids.size() == 2);
  CHECK(unknown.ids[Animal{0}] == "goat-10");
  CHECK(unknown.ids[Animal{1}] == "goat-9");
}
