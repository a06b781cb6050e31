// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <doewright/herd/herd.hpp>

#include "tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

std::vector<std::string> ids_of(const Herd& herd, const std::vector<DoeForward>& does) {
  std::vector<std::string> ids;
  for (const DoeForward& forward : does) ids.emplace_back(herd.ids[forward.doe]);
  return ids;
}

}  // namespace

TEST_CASE("Does by default: alive, of the own herd, of age, by id") {
  // As-of 2026-09-15: seven months before is 2026-02-15.
  Herd herd = herd_of({{"Z", "", "", Sex::doe, date("2020")},
                       {"YOUNG", "", "", Sex::doe, date("2026-02-16")},
                       {"JUST", "", "", Sex::doe, date("2026-02-15")},
                       {"WIDE", "", "", Sex::doe, date("2026-02")},  // may be of the 28th
                       {"NODATE", "", "", Sex::doe, {}},
                       {"SOLD", "", "", Sex::doe, date("2020")},
                       {"OTHERS", "", "", Sex::doe, date("2020")},
                       {"OWNED", "", "", Sex::doe, date("2020")},
                       {"BUCK", "", "", Sex::buck, date("2020")},
                       {"USED", "", "", Sex::unknown, date("2020")},
                       {"KID", "GRANDSIRE", "USED", Sex::unknown, date("2023")},
                       {"KID2", "BUCK", "NAMEONLY", Sex::unknown, date("2023")}});
  leaves(herd, "SOLD", {}, LeftWhy::sold);
  owned_by(herd, "OTHERS", "Fern Hill");
  owned_by(herd, "OWNED", "own");
  CHECK(ids_of(herd, does_by_default(herd)) ==
        std::vector<std::string>{"JUST", "NODATE", "OWNED", "USED", "Z"});

  SUBCASE("a limit with half a month counts it in days") {
    herd.season.limits.doe_months = {7.5, 8.0};  // seven months and 16 days: to 2026-09-30
    CHECK(ids_of(herd, does_by_default(herd)) ==
          std::vector<std::string>{"NODATE", "OWNED", "USED", "Z"});
  }
}

TEST_CASE("Sires by default: every living buck, own terms only for the own herd's") {
  Herd herd = herd_of({{"B2", "", "", Sex::buck, {}},
                       {"B1", "", "", Sex::buck, {}},
                       {"DEAD", "", "", Sex::buck, {}},
                       {"W", "", "", Sex::wether, {}},
                       {"BYUSE", "", "", Sex::unknown, {}},
                       {"K", "BYUSE", "", Sex::unknown, {}},
                       {"L", "NAMEONLY", "", Sex::unknown, {}}});
  leaves(herd, "DEAD", date("2025"), LeftWhy::died);
  owned_by(herd, "B1", "Fern Hill");
  const auto sires = sires_by_default(herd);
  REQUIRE(sires.size() == 3);
  CHECK(herd.ids[sires[0].sire] == "B1");
  CHECK(sires[0].terms == Terms::unknown);
  CHECK(herd.ids[sires[1].sire] == "B2");
  CHECK(sires[1].terms == Terms::own);
  CHECK(herd.ids[sires[2].sire] == "BYUSE");
}

TEST_CASE("The own herd: owner blank or its own name, and still there") {
  Herd herd = herd_of({{"A"}, {"B"}, {"C"}, {"D"}});
  herd.season.own_herd = "Alder Croft";
  owned_by(herd, "B", "Alder Croft");
  owned_by(herd, "C", "own");
  leaves(herd, "D", date("2025"), LeftWhy::sold);
  CHECK(in_own_herd(herd, animal(herd, "A")));
  CHECK(in_own_herd(herd, animal(herd, "B")));
  CHECK_FALSE(in_own_herd(herd, animal(herd, "C")));
  CHECK_FALSE(in_own_herd(herd, animal(herd, "D")));
}

TEST_CASE("Use shows the sex where none is recorded, and nothing where it is used as both") {
  Herd herd = herd_of({{"S"},
                       {"D"},
                       {"P"},
                       {"W", "", "", Sex::wether},
                       {"SERVED"},
                       {"SERVER"},
                       {"NONE"},
                       {"K", "S", "D"},
                       {"L", "W", "D"},
                       {"M", "", "D"}},
                      {{"M", "P", 0.5}});
  Service service;
  service.doe = animal(herd, "SERVED");
  service.sire = animal(herd, "SERVER");
  herd.services.push_back(service);
  service.doe = animal(herd, "SERVER");
  service.sire = animal(herd, "S");
  const auto sex = [&](std::string_view id) { return sex_or_use(herd, animal(herd, id)); };
  CHECK(sex("S") == Sex::buck);
  CHECK(sex("P") == Sex::buck);
  CHECK(sex("D") == Sex::doe);
  CHECK(sex("W") == Sex::wether);
  CHECK(sex("SERVED") == Sex::doe);
  CHECK(sex("SERVER") == Sex::buck);
  CHECK(sex("NONE") == Sex::unknown);
  herd.services.push_back(service);
  CHECK(sex("SERVER") == Sex::unknown);
  const std::vector<Sex> all = sexes_or_uses(herd);
  for (std::uint32_t i = 0; i < all.size(); ++i) CHECK(all[i] == sex_or_use(herd, Animal{i}));
}

TEST_CASE("An animal is shown by its name and id, once if they are the same") {
  Herd herd = herd_of({{"D-07"}, {"Hazel"}, {"D-08"}});
  write(herd.animals.name, herd, {{"D-07", "Hazel"}, {"Hazel", "Hazel"}});
  CHECK(display_name(herd, animal(herd, "D-07")) == "Hazel (D-07)");
  CHECK(display_name(herd, animal(herd, "Hazel")) == "Hazel");
  CHECK(display_name(herd, animal(herd, "D-08")) == "D-08");
}
