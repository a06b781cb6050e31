// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include <doewright/pedigree/pedigree_builder.hpp>

using namespace doewright;

namespace {

using Rows = std::vector<std::vector<std::string>>;  // id, sire, dam

Row line(std::uint32_t number) {
  return {Table::animals, number};
}

void add_rows(PedigreeBuilder& builder, const Rows& rows) {
  std::uint32_t number = 2;
  for (const auto& row : rows) builder.add(row[0], row[1], row[2], line(number++));
}

BuiltPedigree built_from(const Rows& rows) {
  PedigreeBuilder builder;
  add_rows(builder, rows);
  return std::move(builder).build();
}

std::vector<Finding> loops(const BuiltPedigree& built) {
  std::vector<Finding> result;
  for (const Finding& finding : built.findings) {
    if (finding.code == "loop") result.push_back(finding);
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

TEST_CASE("an animal that is its own parent") {
  const BuiltPedigree built = built_from({{"A", "A", "B"}, {"B", "", ""}, {"C", "C", "C"}});
  REQUIRE(built.findings.size() == 2);
  const Finding& sire = built.findings[0];
  CHECK(sire.code == "own-parent");
  CHECK(ids_of(built, sire) == "A");
  CHECK(sire.rows == std::vector<Row>{line(2)});
  REQUIRE(sire.cuts.size() == 1);
  CHECK(sire.cuts[0].role == ParentColumn::sire);
  CHECK(sire.cuts[0].kid == sire.cuts[0].parent);
  CHECK(sire.cuts[0].from == line(2));
  CHECK(built.findings[1].cuts_in_all == 2);  // C is named in both columns
  const Animal a = built.ids.find("A").value();
  CHECK_FALSE(built.pedigree.sire(a));
  CHECK(built.pedigree.dam(a) == built.ids.find("B"));
}

TEST_CASE("two animals that are parents of each other") {
  const BuiltPedigree built = built_from({{"X", "", ""}, {"A", "B", "X"}, {"B", "", "A"}});
  const auto found = loops(built);
  REQUIRE(found.size() == 1);
  CHECK(ids_of(built, found[0]) == "A B");
  CHECK(found[0].animals_in_all == 2);
  CHECK(found[0].rows == std::vector<Row>{line(3), line(4)});
  REQUIRE(found[0].cuts.size() == 1);
  // A was looked at first, so it is B's dam that closes the loop.
  CHECK(built.ids[found[0].cuts[0].kid] == "B");
  CHECK(built.ids[found[0].cuts[0].parent] == "A");
  CHECK(found[0].cuts[0].role == ParentColumn::dam);
  CHECK(found[0].cuts[0].from == line(4));
  CHECK_FALSE(built.pedigree.dam(built.ids.find("B").value()));
  CHECK(built.pedigree.sire(built.ids.find("A").value()) == built.ids.find("B"));
}

TEST_CASE("of a long loop twelve animals are spelled out") {
  Rows rows;
  for (int i = 0; i < 20; ++i) {
    rows.push_back({"g" + std::to_string(i), "g" + std::to_string((i + 1) % 20), ""});
  }
  const BuiltPedigree built = built_from(rows);
  const auto found = loops(built);
  REQUIRE(found.size() == 1);
  CHECK(found[0].animals_in_all == 20);
  CHECK(ids_of(built, found[0]) == "g0 g1 g2 g3 g4 g5 g6 g7 g8 g9 g10 g11");
  CHECK(found[0].rows.size() == 12);
  CHECK(found[0].cuts_in_all == 1);
}

TEST_CASE("every knot is named, with the shortest loop in it") {
  // A knot of five with a loop of three in it, and one of two; D is a kid of the first, outside of
  // it.
  const BuiltPedigree built = built_from({{"A", "B", ""},
                                          {"B", "C", ""},
                                          {"C", "D1", "A"},
                                          {"D1", "E", ""},
                                          {"E", "A", ""},
                                          {"D", "A", "Q"},
                                          {"P", "", "Q"},
                                          {"Q", "P", ""}});
  const auto found = loops(built);
  REQUIRE(found.size() == 2);
  CHECK(ids_of(built, found[0]) == "A B C");
  CHECK(ids_of(built, found[1]) == "P Q");
  CHECK(found[0].cuts_in_all == 2);
  CHECK(found[1].cuts_in_all == 1);
  CHECK(built.pedigree.sire(built.ids.find("D").value()) == built.ids.find("A"));
}

TEST_CASE("a loop through a possible sire") {
  PedigreeBuilder builder;
  add_rows(builder, {{"K", "", "D"}, {"D", "", ""}, {"B", "K", ""}, {"C", "", ""}});
  const Row entry{Table::possible_sires, 2};
  const std::vector<NamedChance> bucks = {{"B", 0.6}, {"C", 0.4}};
  builder.add_possible_sires("K", "", bucks, entry);
  const BuiltPedigree built = std::move(builder).build();
  const auto found = loops(built);
  REQUIRE(found.size() == 1);
  CHECK(ids_of(built, found[0]) == "K B");
  REQUIRE(found[0].cuts.size() == 1);
  CHECK(found[0].cuts[0].role == ParentColumn::sire);  // of B, whom K reached first
  CHECK(built.ids[found[0].cuts[0].kid] == "B");
  CHECK(built.pedigree.possible_sires(built.ids.find("K").value()).size() == 2);
}

TEST_CASE("a possible sire that closes a loop loses his chance to nobody") {
  PedigreeBuilder builder;
  add_rows(builder, {{"B", "K", ""}, {"K", "", "D"}, {"D", "", ""}, {"C", "", ""}});
  const Row entry{Table::possible_sires, 2};
  const std::vector<NamedChance> bucks = {{"B", 0.6}, {"C", 0.4}};
  builder.add_possible_sires("K", "", bucks, entry);
  const BuiltPedigree built = std::move(builder).build();
  const auto found = loops(built);
  REQUIRE(found.size() == 1);
  REQUIRE(found[0].cuts.size() == 1);
  CHECK(found[0].cuts[0].role == ParentColumn::possible_sire);
  CHECK(found[0].cuts[0].from == entry);
  const auto left = built.pedigree.possible_sires(built.ids.find("K").value());
  REQUIRE(left.size() == 1);
  CHECK(left[0].sire == built.ids.find("C"));
  CHECK(left[0].probability == 0.4);
}

TEST_CASE("a loop as long as the book, in both orders of rows") {
#ifdef NDEBUG
  constexpr std::uint32_t generations = 1'000'000;
#else
  constexpr std::uint32_t generations = 200'000;
#endif
  for (const bool kids_first : {false, true}) {
    CAPTURE(kids_first);
    PedigreeBuilder builder;
    for (std::uint32_t k = 0; k < generations; ++k) {
      const std::uint32_t i = kids_first ? generations - 1 - k : k;
      builder.add("g" + std::to_string(i),
                  "g" + std::to_string((i + generations - 1) % generations), "");
    }
    const BuiltPedigree built = std::move(builder).build();
    const auto found = loops(built);
    REQUIRE(found.size() == 1);
    CHECK(found[0].animals_in_all == generations);
    CHECK(found[0].animals.size() == 12);
    CHECK(found[0].cuts_in_all == 1);
  }
}

namespace {

/// Parents of animals 0 .. n - 1, in any order; -1 is unknown.
struct Parents {
  std::vector<int> sire, dam;

  bool reaches(int from, int to) const {  // by one step or more
    std::set<int> seen;
    std::vector<int> open = {from};
    while (!open.empty()) {
      const auto kid = static_cast<std::size_t>(open.back());
      open.pop_back();
      for (const int parent : {sire[kid], dam[kid]}) {
        if (parent == to) return true;
        if (parent >= 0 && seen.insert(parent).second) open.push_back(parent);
      }
    }
    return false;
  }

  /// Length of the shortest loop through an animal, by steps from it; 0: none.
  int shortest_loop(int start) const {
    std::set<int> now = {start}, seen;
    for (int length = 1; !now.empty(); ++length) {
      std::set<int> next;
      for (const int kid : now) {
        const auto k = static_cast<std::size_t>(kid);
        for (const int parent : {sire[k], dam[k]}) {
          if (parent == start) return length;
          if (parent >= 0 && seen.insert(parent).second) next.insert(parent);
        }
      }
      now = std::move(next);
    }
    return 0;
  }

  bool has_loop() const {
    for (int i = 0; i < static_cast<int>(sire.size()); ++i) {
      if (reaches(i, i)) return true;
    }
    return false;
  }
};

}  // namespace

TEST_CASE("knots, shortest loops and cuts against the definitions, on random books") {
  constexpr unsigned seed = 99;
  CAPTURE(seed);
  std::mt19937 random(seed);
  const auto name = [](int i) { return i < 0 ? std::string() : "g" + std::to_string(i); };
  int books_with_loops = 0;
  for (int round = 0; round < 300; ++round) {
    CAPTURE(round);
    const int n = 2 + static_cast<int>(random() % 14);
    Parents book;
    Rows rows;
    for (int i = 0; i < n; ++i) {
      const auto some = [&] {
        return random() % 2 == 0 ? -1 : static_cast<int>(random() % static_cast<unsigned>(n));
      };
      int sire = some(), dam = some();
      if (sire == i) sire = -1;
      if (dam == i || dam == sire) dam = -1;
      book.sire.push_back(sire);
      book.dam.push_back(dam);
      rows.push_back({name(i), name(sire), name(dam)});
    }
    const BuiltPedigree built = built_from(rows);
    const auto number = [&](Animal animal) {
      return std::stoi(std::string(built.ids[animal]).substr(1));
    };

    std::set<std::set<int>> knots;
    for (int i = 0; i < n; ++i) {
      if (!book.reaches(i, i)) continue;
      std::set<int> knot = {i};
      for (int j = 0; j < n; ++j) {
        if (book.reaches(i, j) && book.reaches(j, i)) knot.insert(j);
      }
      knots.insert(knot);
    }
    const auto found = loops(built);
    REQUIRE(found.size() == knots.size());
    books_with_loops += found.empty() ? 0 : 1;

    Parents mended = book;
    std::set<std::set<int>> named;
    for (const Finding& loop : found) {
      const int first = number(loop.animals[0]);
      for (const auto& knot : knots) {
        if (!knot.contains(first)) continue;
        named.insert(knot);
        int shortest = n + 1;
        for (const int i : knot) shortest = std::min(shortest, book.shortest_loop(i));
        CHECK(static_cast<int>(loop.animals_in_all) == shortest);
      }
      if (loop.animals_in_all == loop.animals.size()) {
        for (std::size_t k = 0; k < loop.animals.size(); ++k) {
          const auto kid = static_cast<std::size_t>(number(loop.animals[k]));
          const int parent = number(loop.animals[(k + 1) % loop.animals.size()]);
          CHECK((book.sire[kid] == parent || book.dam[kid] == parent));
        }
      }
      REQUIRE(loop.cuts.size() == loop.cuts_in_all);
      for (const CutParent& cut : loop.cuts) {
        auto& column = cut.role == ParentColumn::sire ? mended.sire : mended.dam;
        int& parent = column[static_cast<std::size_t>(number(cut.kid))];
        CHECK(parent == number(cut.parent));
        parent = -1;
      }
    }
    CHECK(named == knots);
    CHECK_FALSE(mended.has_loop());
    for (int i = 0; i < n; ++i) {  // the pedigree is the mended book, and every cut was needed
      const auto k = static_cast<std::size_t>(i);
      const Animal animal = built.ids.find(name(i)).value();
      const auto sire = built.pedigree.sire(animal);
      const auto dam = built.pedigree.dam(animal);
      CHECK((sire ? number(*sire) : -1) == mended.sire[k]);
      CHECK((dam ? number(*dam) : -1) == mended.dam[k]);
      for (auto column : {&Parents::sire, &Parents::dam}) {
        if ((mended.*column)[k] == (book.*column)[k]) continue;
        Parents put_back = mended;
        (put_back.*column)[k] = (book.*column)[k];
        CHECK(put_back.has_loop());
      }
    }
  }
  CHECK(books_with_loops > 100);
}

TEST_CASE("a giant knot of many loops is named in bounded time") {
  constexpr int n = 20000;
  PedigreeBuilder builder;
  constexpr unsigned seed = 5;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int i = 0; i < n; ++i) {
    builder.add("g" + std::to_string(i), "g" + std::to_string((i + 1) % n),
                "g" + std::to_string((i + 2 + static_cast<int>(random() % (n - 3))) % n));
  }
  const BuiltPedigree built = std::move(builder).build();
  const auto found = loops(built);
  REQUIRE(found.size() == 1);
  CHECK(found[0].animals_in_all <= 4);  // that many chords leave no knot without a short loop
  CHECK(found[0].cuts.size() == 12);
  CHECK(found[0].cuts_in_all > 1000);
}
