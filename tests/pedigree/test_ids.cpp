// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <string>
#include <unordered_map>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

using namespace doewright;

TEST_CASE("ids are any text, compared byte for byte") {
  const std::vector<std::string> ids = {"007",
                                        "7",
                                        "07",
                                        "Clover",
                                        "clover",
                                        "Clover 2",
                                        "Clover  2",
                                        "a,b",
                                        "say \"hi\"",
                                        "'quoted'",
                                        "Brämbel",
                                        "Bra\xCC\x88mbel",  // composed and not: two ids
                                        "山羊",
                                        "коза",
                                        "🐐",
                                        "=1+1",
                                        "-",
                                        "\xFF\xFE",
                                        std::string("a\0b", 3),
                                        std::string("a"),
                                        std::string(127, 'x'),
                                        std::string(128, 'x'),
                                        std::string(70000, 'y')};
  PedigreeBuilder builder;
  for (const std::string& id : ids) builder.add(id, "", "");
  const BuiltPedigree built = std::move(builder).build();
  CHECK(built.findings.empty());
  CHECK(built.ids.size() == ids.size());
  for (std::uint32_t i = 0; i < ids.size(); ++i) {
    CHECK(built.ids[Animal{i}] == ids[i]);
    CHECK(built.ids.find(ids[i]) == Animal{i});
  }
  CHECK_FALSE(built.ids.find("Clover 3"));
  CHECK_FALSE(built.ids.find(""));
}

TEST_CASE("many ids against a map of the standard library") {
  std::unordered_map<std::string, std::uint32_t> map;
  PedigreeBuilder builder;
  for (std::uint32_t i = 0; i < 50000; ++i) {
    // Ids that differ in few digits, and such as are reached by more than one i.
    const std::string id = "DE-" + std::to_string((i * 7919u) % 30011u) + (i % 3 == 0 ? "" : "/x");
    const auto [entry, is_new] = map.emplace(id, static_cast<std::uint32_t>(map.size()));
    CHECK(builder.mention(id) == is_new);
  }
  const BuiltPedigree built = std::move(builder).build();
  REQUIRE(built.ids.size() == map.size());
  for (const auto& [id, position] : map) {
    REQUIRE(built.ids.find(id) == Animal{position});
    REQUIRE(built.ids[Animal{position}] == id);
  }
}

TEST_CASE("no ids, and ids that are not there") {
  const Ids ids;
  CHECK(ids.size() == 0);
  CHECK_FALSE(ids.find("Clover"));
  CHECK_THROWS_AS(ids[Animal{0}], UsageError);
}
