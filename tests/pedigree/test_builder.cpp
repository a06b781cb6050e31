// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <map>

#include <doewright/core/errors.hpp>
#include <doewright/pedigree/lineage.hpp>

#include "pedigree/random_pedigree.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

std::map<std::string, std::size_t> codes(const BuiltPedigree& built) {
  std::map<std::string, std::size_t> result;
  for (const Finding& finding : built.findings) ++result[std::string(finding.code)];
  return result;
}

BuiltPedigree from(std::initializer_list<std::array<const char*, 3>> rows) {
  PedigreeBuilder builder;
  std::uint32_t line = 2;
  for (const auto& row : rows) builder.add(row[0], row[1], row[2], {Table::animals, line++});
  return std::move(builder).build();
}

std::string id(const BuiltPedigree& built, std::optional<Animal> animal) {
  return animal ? std::string(built.ids[*animal]) : "";
}

}  // namespace

TEST_CASE("rows in any order build the same parents") {
  for (unsigned seed = 1; seed <= 30; ++seed) {
    CAPTURE(seed);
    const auto rows = random_rows(seed, 150, true);
    const BuiltPedigree built = built_from(rows);
    CHECK(built.findings.empty());
    REQUIRE(built.pedigree.size() == rows.size());
    for (std::size_t r = 0; r < rows.size(); ++r) {
      const Animal animal = built.animal_of_row[r];
      CHECK(built.ids[animal] == rows[r].id);
      CHECK(built.line_of[animal.position] == r + 2);
      CHECK(id(built, built.pedigree.dam(animal)) == rows[r].dam);
      if (rows[r].possible.empty()) CHECK(id(built, built.pedigree.sire(animal)) == rows[r].sire);
    }
  }
}

TEST_CASE("sorted rows keep their order") {
  const BuiltPedigree built = from({{"a", "", ""}, {"b", "", ""}, {"c", "a", "b"}, {"d", "", ""}});
  for (std::uint32_t i = 0; i < 4; ++i) CHECK(built.animal_of_row[i] == Animal{i});
}

TEST_CASE("ids are arbitrary text, compared byte for byte") {
  const BuiltPedigree built =
      from({{"007", "", ""}, {"7", "", ""}, {"a, \"b\"", "007", "7"}, {"Zoë", "", ""}, {"山羊", "007", "Zoë"}, {" x ", "", ""}});
  CHECK(built.findings.empty());
  CHECK(built.ids.find("7") != built.ids.find("007"));
  CHECK(id(built, built.pedigree.dam(built.ids.find("山羊").value())) == "Zoë");
  CHECK_FALSE(built.ids.find("x").has_value());
}

TEST_CASE("a loop is found, named once a knot by a shortest one, and the rest of the pedigree stands") {
  const BuiltPedigree built = from({{"a", "c", ""}, {"b", "a", ""}, {"c", "b", ""},           // a knot of three
                                    {"x", "y", ""}, {"y", "x", ""},                           // another of two
                                    {"self", "self", ""}, {"k", "a", "q"}, {"q", "", ""}});
  CHECK(codes(built) == std::map<std::string, std::size_t>{{"loop", 2}, {"own-parent", 1}});
  for (const Finding& finding : built.findings) {
    if (finding.code != "loop") continue;
    CHECK(finding.animals.size() == finding.animals_in_all);
    CHECK((finding.animals_in_all == 2 || finding.animals_in_all == 3));
  }
  CHECK(id(built, built.pedigree.dam(built.ids.find("k").value())) == "q");
}

TEST_CASE("a loop longer than twelve animals is spelled out in part") {
  PedigreeBuilder builder;
  for (int i = 0; i < 40; ++i) builder.add("n" + std::to_string(i), "n" + std::to_string((i + 1) % 40), "");
  const BuiltPedigree built = std::move(builder).build();
  REQUIRE(codes(built) == std::map<std::string, std::size_t>{{"loop", 1}});
  CHECK(built.findings.front().animals.size() == 12);
  CHECK(built.findings.front().animals_in_all == 40);
}

TEST_CASE("a loop through a possible sire is a loop") {
  PedigreeBuilder builder;
  builder.add("kid", "", "");
  builder.add("buck", "kid", "");
  builder.add("other", "", "");
  const std::array<NamedChance, 2> list = {NamedChance{"buck", 0.5, {}}, NamedChance{"other", 0.5, {}}};
  builder.add_possible_sires("kid", "", list);
  CHECK(codes(std::move(builder).build())["loop"] == 1);
}

TEST_CASE("what is wrong is found all at once") {
  const BuiltPedigree built = from({{"a", "", ""}, {"b", "a", "a"}, {"c", "b", ""}, {"d", "", "b"}, {"a", "", ""},
                                    {"e", "nobody", ""}});
  const auto found = codes(built);
  CHECK(found.at("same-parent-twice") == 1);
  CHECK(found.at("both-roles") == 1);
  CHECK(found.at("id-twice") == 1);
  CHECK(found.at("parent-added") == 1);
}

TEST_CASE("possible sires: shares of what is left, the rest unlisted, one draw a litter, one buck is no doubt") {
  PedigreeBuilder builder;
  for (const char* each : {"a", "b", "c"}) builder.add(each, "", "");
  builder.add("dam", "", "");
  for (const char* each : {"k1", "k2", "k3", "k4", "k5"}) builder.add(each, "", "dam");
  const auto list = [&](const char* kid, const char* litter, std::vector<NamedChance> chances) {
    builder.add_possible_sires(kid, litter, chances);
  };
  list("k1", "L", {{"a", 0.5, {}}, {"b", {}, {}}, {"c", {}, {}}});
  list("k2", "L", {{"a", 0.5, {}}, {"b", {}, {}}, {"c", {}, {}}});
  list("k3", "", {{"a", 0.25, {}}, {"b", 0.25, {}}});
  list("k4", "", {{"a", 1.0, {}}});
  list("k5", "", {{"a", 0.9, {}}, {"b", 0.6, {}}});
  const BuiltPedigree built = std::move(builder).build();
  const auto chances = [&](const char* kid) { return built.pedigree.possible_sires(built.ids.find(kid).value()); };
  const auto slot = [&](const char* kid) { return built.pedigree.sire_slots()[built.ids.find(kid).value().position]; };
  CHECK(chances("k1")[1].probability == doctest::Approx(0.25));
  CHECK(slot("k1") == slot("k2"));
  CHECK(slot("k3") != slot("k1"));
  CHECK(chances("k3").size() == 2);
  CHECK(built.pedigree.sire(built.ids.find("k4").value()) == built.ids.find("a"));
  CHECK(chances("k5")[0].probability == doctest::Approx(0.6));
  CHECK(codes(built)["chance-sum"] == 1);
}

TEST_CASE("a line of any depth builds, kids first or last") {
#ifdef NDEBUG
  constexpr int depth = 1'000'000;
#else
  constexpr int depth = 100'000;
#endif
  for (const bool kids_first : {false, true}) {
    PedigreeBuilder builder;
    for (int i = 0; i < depth; ++i) {
      const int k = kids_first ? depth - 1 - i : i;
      builder.add("n" + std::to_string(k), k == 0 ? "" : "n" + std::to_string(k - 1), "");
    }
    const BuiltPedigree built = std::move(builder).build();
    CHECK(built.findings.empty());
    CHECK(built.ids[Animal{0}] == "n0");
    CHECK(built.ids[Animal{depth - 1}] == "n" + std::to_string(depth - 1));
  }
}

TEST_CASE("the place of an ancestor in words of s and d") {
  const BuiltPedigree built = from({{"gs", "", ""}, {"gd", "", ""}, {"s", "gs", "gd"}, {"d", "gs", ""}, {"k", "s", "d"}});
  const auto place = [&](const char* who) {
    return place_of(built.pedigree, built.ids.find("k").value(), built.ids.find(who).value());
  };
  CHECK(place("k") == "");
  CHECK(place("s") == "s");
  CHECK(place("gd") == "sd");
  CHECK(place("gs") == "ds");  // twice at the same distance: d before s
  CHECK_FALSE(place_of(built.pedigree, built.ids.find("s").value(), built.ids.find("k").value()).has_value());
}
