// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "random_pedigree.hpp"

using namespace doewright;
using doewright_test::random_pedigree;

namespace {

using Rows = std::vector<std::vector<std::string>>;  // id, sire, dam

Row line(std::uint32_t number) {
  return {Table::animals, number};
}

BuiltPedigree built_from(const Rows& rows) {
  PedigreeBuilder builder;
  std::uint32_t number = 2;  // line 1 is the header
  for (const auto& row : rows) builder.add(row[0], row[1], row[2], line(number++));
  return std::move(builder).build();
}

std::string order_of(const BuiltPedigree& built) {
  std::string text;
  for (std::uint32_t i = 0; i < built.ids.size(); ++i) {
    if (i > 0) text += ' ';
    text += built.ids[Animal{i}];
  }
  return text;
}

std::string id_of(const BuiltPedigree& built, std::optional<Animal> animal) {
  return animal ? std::string(built.ids[*animal]) : std::string();
}

Animal at(const BuiltPedigree& built, std::string_view id) {
  return built.ids.find(id).value();
}

std::vector<const Finding*> findings(const BuiltPedigree& built, std::string_view code) {
  std::vector<const Finding*> result;
  for (const Finding& finding : built.findings) {
    if (finding.code == code) result.push_back(&finding);
  }
  return result;
}

std::string ids_of(const BuiltPedigree& built, const Finding& finding) {
  std::string text;
  for (const Animal animal : finding.animals) {
    if (!text.empty()) text += ' ';
    text += built.ids[animal];
  }
  return text;
}

}  // namespace

TEST_CASE("nothing added is the empty pedigree") {
  const BuiltPedigree built = PedigreeBuilder().build();
  CHECK(built.pedigree.size() == 0);
  CHECK(built.ids.size() == 0);
  CHECK(built.findings.empty());
}

TEST_CASE("parents first, else the order of the rows") {
  CHECK(order_of(built_from({{"A", "", ""}, {"B", "", ""}, {"C", "A", "B"}})) == "A B C");
  CHECK(order_of(built_from({{"C", "A", "B"}, {"X", "", ""}, {"B", "", ""}, {"A", "", ""}})) ==
        "A B C X");
  // Added parents stand right before the first animal that needs them.
  CHECK(order_of(built_from({{"X", "", ""}, {"C", "A", "B"}, {"D", "A", "E"}})) == "X A B C E D");
}

TEST_CASE("lines and rows lead to the animals and back") {
  const BuiltPedigree built = built_from({{"C", "A", "B"}, {"B", "", ""}, {"D", "A", "C"}});
  CHECK(order_of(built) == "A B C D");
  CHECK(built.line_of == std::vector<std::uint32_t>{0, 3, 2, 4});
  CHECK(built.animal_of_row == std::vector<Animal>{Animal{2}, Animal{1}, Animal{3}});
  const auto added = findings(built, "parent-added");
  REQUIRE(added.size() == 1);
  CHECK(ids_of(built, *added[0]) == "A C");
  CHECK(added[0]->rows == std::vector<Row>{line(2)});
}

TEST_CASE("a pedigree comes out of shuffled rows as it went in") {
  constexpr unsigned seed = 4711;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const Pedigree pedigree =
        random_pedigree(static_cast<std::uint32_t>(1 + random() % 60), random);
    std::vector<std::uint32_t> rows(pedigree.size());
    for (std::uint32_t i = 0; i < rows.size(); ++i) rows[i] = i;
    std::shuffle(rows.begin(), rows.end(), random);
    const auto name = [](std::uint32_t i) { return "goat " + std::to_string(i); };
    const auto name_of = [&](std::optional<Animal> a) { return a ? name(a->position) : ""; };
    PedigreeBuilder builder;
    std::uint32_t number = 2;
    for (const std::uint32_t i : rows) {
      auto dam = pedigree.dam(Animal{i});
      if (dam == pedigree.sire(Animal{i})) dam.reset();  // an error here, tested below
      builder.add(name(i), name_of(pedigree.sire(Animal{i})), name_of(dam), line(number++));
    }
    const BuiltPedigree built = std::move(builder).build();
    REQUIRE(built.pedigree.size() == pedigree.size());
    for (const Finding& finding : built.findings) CHECK(finding.code == "both-roles");
    for (std::uint32_t k = 0; k < rows.size(); ++k) {
      const std::uint32_t i = rows[k];
      const Animal animal = at(built, name(i));
      CHECK(built.animal_of_row[k] == animal);
      CHECK(built.line_of[animal.position] == k + 2);
      const auto sire = pedigree.sire(Animal{i});
      const auto dam = pedigree.dam(Animal{i});
      const std::string dam_name = dam == sire ? std::string() : name_of(dam);
      CHECK(id_of(built, built.pedigree.sire(animal)) == name_of(sire));
      CHECK(id_of(built, built.pedigree.dam(animal)) == dam_name);
      for (const auto parent : {built.pedigree.sire(animal), built.pedigree.dam(animal)}) {
        if (parent) CHECK(*parent < animal);
      }
    }
  }
}

TEST_CASE("the first row of an id counts, and every later one is named") {
  const BuiltPedigree built =
      built_from({{"C", "A", "B"}, {"A", "", ""}, {"B", "", ""}, {"C", "A", "B"}, {"C", "Z", "B"}});
  const auto twice = findings(built, "id-twice");
  REQUIRE(twice.size() == 2);
  CHECK(ids_of(built, *twice[1]) == "C");
  CHECK(twice[0]->rows == std::vector<Row>{line(2), line(5)});
  CHECK(twice[1]->rows == std::vector<Row>{line(2), line(6)});
  CHECK(id_of(built, built.pedigree.sire(at(built, "C"))) == "A");
  CHECK_FALSE(built.ids.find("Z"));  // a parent that only a second row names is nobody's
  CHECK(built.animal_of_row[3] == at(built, "C"));
  CHECK(built.animal_of_row[4] == at(built, "C"));
}

TEST_CASE("one animal as sire and as dam") {
  const BuiltPedigree built =
      built_from({{"A", "", ""}, {"K", "A", ""}, {"B", "", ""}, {"L", "B", "A"}, {"M", "B", "A"}});
  const auto both = findings(built, "both-roles");
  REQUIRE(both.size() == 1);
  CHECK(ids_of(built, *both[0]) == "A K L");
  CHECK(both[0]->rows == std::vector<Row>{line(2), line(3), line(5)});
}

TEST_CASE("one animal as sire and dam of one kid: the dam is left out") {
  const BuiltPedigree built = built_from({{"A", "", ""}, {"K", "A", "A"}});
  const auto twice = findings(built, "same-parent-twice");
  REQUIRE(twice.size() == 1);
  CHECK(built.findings.size() == 1);
  CHECK(ids_of(built, *twice[0]) == "K A");
  CHECK(twice[0]->rows == std::vector<Row>{line(3)});
  REQUIRE(twice[0]->cuts.size() == 1);
  CHECK(twice[0]->cuts[0].role == ParentColumn::dam);
  CHECK(built.pedigree.sire(at(built, "K")) == at(built, "A"));
  CHECK_FALSE(built.pedigree.dam(at(built, "K")));
}

TEST_CASE("an animal mentioned elsewhere stands at the end, without parents") {
  PedigreeBuilder builder;
  CHECK(builder.mention("M"));
  CHECK_FALSE(builder.mention("M"));
  builder.add("K", "S", "");
  CHECK_FALSE(builder.mention("K"));
  CHECK_FALSE(builder.mention("S"));
  const BuiltPedigree built = std::move(builder).build();
  CHECK(order_of(built) == "S K M");
  REQUIRE(built.findings.size() == 1);
  CHECK(built.findings[0].code == "parent-added");
}

TEST_CASE("an animal without an id is the caller's mistake") {
  PedigreeBuilder builder;
  CHECK_THROWS_AS(builder.add("", "A", "B"), UsageError);
  CHECK_THROWS_AS(builder.mention(""), UsageError);
  CHECK_THROWS_AS(builder.add_possible_sires("", "", {}), UsageError);
  CHECK(std::move(builder).build().pedigree.size() == 0);
}

TEST_CASE("a builder is empty after building, and may be used again") {
  PedigreeBuilder builder;
  builder.add("A", "", "");
  CHECK(std::move(builder).build().pedigree.size() == 1);
  builder.add("B", "", "");
  const BuiltPedigree second = std::move(builder).build();
  CHECK(order_of(second) == "B");
}

TEST_CASE("building stops on request and respects the memory limit") {
  std::stop_source source;
  source.request_stop();
  Run stopped;
  stopped.stop = source.get_token();
  PedigreeBuilder one;
  one.add("A", "", "");
  CHECK_THROWS_AS(std::move(one).build(stopped), Cancelled);
  Run small;
  small.memory_limit = 10;
  PedigreeBuilder two;
  two.add("A", "", "");
  CHECK_THROWS_AS(std::move(two).build(small), LimitError);
}

TEST_CASE("a very long line builds in any order of rows") {
#ifdef NDEBUG
  constexpr std::uint32_t generations = 1'000'000;
#else
  constexpr std::uint32_t generations = 200'000;
#endif
  const auto name = [](std::uint32_t i) { return "g" + std::to_string(i); };
  for (const bool kids_first : {false, true}) {
    CAPTURE(kids_first);
    PedigreeBuilder builder;
    for (std::uint32_t k = 0; k < generations; ++k) {
      const std::uint32_t i = kids_first ? generations - 1 - k : k;
      const std::string parent = i == 0 ? "" : name(i - 1);
      builder.add(name(i), i % 2 == 0 ? parent : "", i % 2 == 0 ? "" : parent, line(k + 2));
    }
    const BuiltPedigree built = std::move(builder).build();
    CHECK(built.findings.empty());
    REQUIRE(built.pedigree.size() == generations);
    std::uint32_t wrong = 0;
    for (std::uint32_t i = 0; i < generations; ++i) {
      if (built.ids[Animal{i}] != name(i)) ++wrong;
    }
    CHECK(wrong == 0);
  }
}
