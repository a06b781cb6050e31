// SPDX-License-Identifier: MIT
#include <random>

#include <doctest/doctest.h>

#include <doewright/herdbook/built_in.hpp>

#include "toml_check.hpp"

using namespace doewright;

TEST_CASE("what is no TOML is one error, wherever it stands") {
  for (const auto& [text, complaint] : std::initializer_list<Slip>{
           {"pens = 0,5", "toml-form 1:9"},
           {"pens = 1\npens = 2", "toml-form 2:8"},
           {"kid_from = 2027-02-30", "toml-form 1:22"},
           {"currency = \"EUR", "toml-form 1:16"},
           {"[kid\n", "toml-form 1:5"},
           {std::string_view("PK\x03\x04\x14\0\0", 7), "toml-form 1:3"},
           {"\xFF\xFE", "toml-form 1:1"},
           {"zo\xC3\xAB = 1", "toml-form 1:3"},
           {"pens = 1 # gr\xC3\xBC\xC3\x9F\n[\xC3\xA9t\xC3\xA9]", "toml-form 2:2"},
           {"a = \"\xC3\xA9\"\n'\xC3\xA9\\' = {\xC3\xAB = 1}", "toml-form 2:9"},
           {"a = '''\n\xC3\xA9''''\nb.\xC3\xA9 = 1", "toml-form 3:3"},
           {"a = \"\\\"\xC3\xA9\nb\xC3\xA9 = 1", "toml-form 2:2"},
       }) {
    CAPTURE(text);
    CHECK(SeasonReading(text).only() == complaint);
    CHECK(FaultReading(text).only() == complaint);
    CHECK(TraitReading(text).only() == complaint);
  }
}

TEST_CASE("a byte-order mark, CRLF and comments are no trouble; columns count characters") {
  const SeasonReading reading(
      "\xEF\xBB\xBF# Gr\xC3\xBC\xC3\x9F"
      "e\r\npens = 2\r\n\"\xC3\xA9\" = 1\r\nmax_hired = -1\r\n");
  CHECK(reading.only() == "key-form 4:13; key-unknown 3:1 (warning)");
  CHECK(reading.result.pens == 2);
  const SeasonReading accents("[papers]\nrequired = [\"\xC3\xA9\xC3\xA9\", 3]");
  CHECK(accents.only() == "key-form 2:19");
}

TEST_CASE("nothing that nests or grows without end gets past the door") {
  CHECK(SeasonReading("pens = " + std::string(100'000, '[')).problems.size() == 1);
  std::string dots;
  for (int i = 0; i < 100'000; ++i) dots += "a.";
  const SeasonReading deep(dots + "a = 1");
  REQUIRE(deep.problems.size() == 1);
  CHECK(deep.problems[0].code == "toml-form");
  std::string many;
  for (int i = 0; i < 20'000; ++i) many += fmt::format("k{} = 1\n", i);
  CHECK(SeasonReading(many).only() == "toml-form 1:1");
  std::string entries;
  for (int i = 0; i < 2'000; ++i) entries += fmt::format("[k{}]\n", i);
  CHECK(FaultReading(entries).only() == "key-form 0:0");
  CHECK(TraitReading(entries).only() == "key-form 0:0");
}

TEST_CASE("any bytes are read or refused, never worse") {
  std::mt19937 random(20260915);  // engine only: its numbers are the same everywhere
  const std::string_view files[] = {
      built_in_faults_toml(), built_in_traits_toml(),
      "pens = 1\n[kid]\nsurvive = 0.5\n[limits]\nkeep = [0, 0.1, 1]\n"};
  for (int round = 0; round < 300; ++round) {
    std::string text(files[round % 3]);
    const auto changes = 1 + random() % 20;
    for (unsigned i = 0; i < changes; ++i)
      text[random() % text.size()] = static_cast<char>(random());
    if (round % 5 == 0) text.resize(random() % text.size());
    CAPTURE(round);
    const SeasonReading season(text);
    const FaultReading faults(text);
    const TraitReading traits(text);
    for (const Problem& problem : faults.problems) {
      REQUIRE_FALSE(problem.message.empty());
      REQUIRE_FALSE(problem.remedy.empty());
      REQUIRE_FALSE(to_text(problem).empty());
    }
    for (const FaultModel& model : faults.result) REQUIRE(model.wanted < model.grades.size());
  }
}
