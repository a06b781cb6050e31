// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <limits>
#include <string>
#include <utility>
#include <vector>

#include <doewright/core/errors.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

using namespace doewright;

namespace {

constexpr auto blank = std::nullopt;

Row entry(std::uint32_t number) {
  return {Table::possible_sires, number};
}

struct Book {
  PedigreeBuilder builder;
  BuiltPedigree built;

  Book() {
    for (const char* id : {"A", "B", "C", "D", "E"}) builder.add(id, "", "");
  }
  void kid(std::string_view id, std::string_view dam, std::string_view sire = "") {
    builder.add(id, sire, dam, {Table::animals, 10});
  }
  void list(std::string_view id, const std::vector<NamedChance>& sires, std::uint32_t line = 2,
            std::string_view litter = "") {
    builder.add_possible_sires(id, litter, sires, entry(line));
  }
  void build() { built = std::move(builder).build(); }

  Animal at(std::string_view id) const { return built.ids.find(id).value(); }

  /// "A:0.5 B:0.25"
  std::string chances(std::string_view id) const {
    std::string text;
    for (const SireChance& chance : built.pedigree.possible_sires(at(id))) {
      if (!text.empty()) text += ' ';
      text += std::string(built.ids[chance.sire]) + ':' +
              std::to_string(chance.probability).substr(0, 6);
    }
    return text;
  }
  std::uint32_t sire_slot(std::string_view id) const {
    return built.pedigree.sire_slots()[at(id).position];
  }
  const Finding* finding(std::string_view code) const {
    for (const Finding& f : built.findings) {
      if (f.code == code) return &f;
    }
    return nullptr;
  }
};

}  // namespace

TEST_CASE("blank chances share what is left") {
  Book book;
  for (const char* id : {"K1", "K2", "K3", "K4", "K5"}) book.kid(id, "D");
  book.list("K1", {{"A", blank}, {"B", blank}});
  book.list("K2", {{"A", 0.5}, {"B", blank}, {"C", blank}});
  book.list("K3", {{"B", 0.25}, {"A", 0.5}});                 // a quarter is not in the book
  book.list("K4", {{"A", 0.25}, {"", blank}, {"B", blank}});  // so is half of what is left here
  book.list("K5", {{"A", 0.5}, {"B", 0.5}, {"C", blank}});    // nothing is left for C
  book.build();
  CHECK(book.chances("K1") == "A:0.5000 B:0.5000");
  CHECK(book.chances("K2") == "A:0.5000 B:0.2500 C:0.2500");
  CHECK(book.chances("K3") == "A:0.5000 B:0.2500");
  CHECK(book.chances("K4") == "A:0.2500 B:0.3750");
  CHECK(book.chances("K5") == "A:0.5000 B:0.5000");
  CHECK(book.built.pedigree.stand_ins() == 5);
  CHECK(book.built.findings.empty());
}

TEST_CASE("a second call adds to the list, a buck named twice gets both chances") {
  Book book;
  book.kid("K", "D");
  book.list("K", {{"A", 0.2}, {"B", 0.3}});
  book.list("K", {{"A", 0.4}});
  book.build();
  CHECK(book.chances("K") == "A:0.6000 B:0.3000");
}

TEST_CASE("a list that comes to one buck is no stand-in") {
  Book book;
  for (const char* id : {"K1", "K2", "K3", "K4", "K5"}) book.kid(id, "D");
  book.list("K1", {{"A", blank}});
  book.list("K2", {{"A", 1.0}, {"B", 0.0}});
  book.list("K3", {{"A", 0.5}, {"A", 0.5}});
  book.list("K4", {{"A", 0.9}});
  book.list("K5", {{"", 1.0}});
  book.build();
  for (const char* id : {"K1", "K2", "K3"})
    CHECK(book.built.pedigree.sire(book.at(id)) == book.at("A"));
  CHECK_FALSE(book.built.pedigree.sire(book.at("K4")));
  CHECK(book.chances("K4") == "A:0.9000");
  CHECK(book.sire_slot("K5") == Pedigree::none);
  CHECK(book.built.pedigree.stand_ins() == 1);
}

TEST_CASE("a sum above 1 is rescaled and named") {
  Book book;
  book.kid("K", "D");
  book.list("K", {{"A", 0.9}, {"B", 0.6}, {"C", blank}}, 7);
  book.build();
  CHECK(book.chances("K") == "A:0.6000 B:0.4000");
  const Finding* sum = book.finding("chance-sum");
  REQUIRE(sum != nullptr);
  CHECK(sum->animals == std::vector<Animal>{book.at("K")});
  CHECK(sum->rows == std::vector<Row>{entry(7)});
}

TEST_CASE("tenths that add up to 1 but for rounding are no complaint") {
  Book book;
  book.kid("K", "D");
  book.list("K", {{"A", 0.7}, {"B", 0.1}, {"C", 0.2}});
  book.build();
  CHECK(book.built.findings.empty());
}

TEST_CASE("a certain sire stands against a list") {
  Book book;
  book.kid("K", "D", "A");
  book.list("K", {{"A", 0.5}, {"New", 0.5}}, 4);
  book.build();
  CHECK(book.built.pedigree.sire(book.at("K")) == book.at("A"));
  CHECK(book.built.pedigree.stand_ins() == 0);
  const Finding* both = book.finding("sire-and-possible");
  REQUIRE(both != nullptr);
  CHECK(both->animals == std::vector<Animal>{book.at("K")});
  CHECK(both->rows == std::vector<Row>{{Table::animals, 10}, entry(4)});
  const Finding* added = book.finding("parent-added");  // he is in the book all the same
  REQUIRE(added != nullptr);
  CHECK(added->animals == std::vector<Animal>{book.at("New"), book.at("K")});
}

TEST_CASE("litter mates share one stand-in") {
  Book book;
  for (const char* id : {"K1", "K2", "K3", "K4", "K5"}) book.kid(id, "D");
  book.kid("K6", "E");
  book.list("K1", {{"A", 0.5}, {"B", 0.5}}, 2, "spring");
  book.list("K2", {{"B", 0.5}, {"A", 0.5}}, 3, "spring");  // the same list in another order
  book.list("K3", {{"A", 0.4}, {"B", 0.6}}, 4, "autumn");  // another litter
  book.list("K4", {{"A", 0.5}, {"B", 0.5}}, 5);            // no litter
  book.list("K5", {{"A", 0.5}, {"B", 0.5}}, 6);
  book.list("K6", {{"A", 0.5}, {"B", 0.5}}, 7, "spring");  // another dam, the same entry
  book.build();
  CHECK(book.built.findings.empty());
  CHECK(book.built.pedigree.stand_ins() == 4);
  CHECK(book.sire_slot("K1") == book.sire_slot("K2"));
  CHECK(book.sire_slot("K1") == book.sire_slot("K6"));
  for (const auto& [a, b] : std::vector<std::pair<const char*, const char*>>{
           {"K1", "K3"}, {"K1", "K4"}, {"K4", "K5"}}) {
    CHECK(book.sire_slot(a) != book.sire_slot(b));
  }
}

TEST_CASE("litter mates with different lists have a stand-in each, and that is said") {
  Book book;
  book.kid("K1", "D");
  book.kid("K2", "D");
  book.kid("K3", "D");
  book.list("K1", {{"A", 0.5}, {"B", 0.5}}, 2, "spring");
  book.list("K2", {{"A", 0.5}, {"C", 0.5}}, 3, "spring");
  book.list("K3", {{"A", 0.5}, {"B", 0.5}}, 4, "spring");
  book.build();
  CHECK(book.built.pedigree.stand_ins() == 2);
  CHECK(book.sire_slot("K1") == book.sire_slot("K3"));
  REQUIRE(book.built.findings.size() == 1);
  CHECK(book.built.findings[0].code == "litter-lists");
}

TEST_CASE(
    "stand-ins are older than their kids and younger than their bucks, in any order of rows") {
  PedigreeBuilder builder;
  builder.add("K2", "", "D");
  builder.add("K1", "", "D");
  builder.add("B", "C", "");
  builder.add("C", "", "");
  const std::vector<NamedChance> bucks = {{"B", blank}, {"New", blank}};
  builder.add_possible_sires("K1", "1", bucks, entry(2));
  builder.add_possible_sires("K2", "1", bucks, entry(3));
  builder.add_possible_sires("K3", "", bucks, entry(4));
  const BuiltPedigree built = std::move(builder).build();
  CHECK(built.pedigree.stand_ins() == 2);
  for (std::uint32_t i = 0; i < built.pedigree.size(); ++i) {
    for (const SireChance& chance : built.pedigree.possible_sires(Animal{i})) {
      CHECK(chance.sire < Animal{i});
    }
  }
  CHECK(built.ids.find("K2") < built.ids.find("K1"));  // parents first, else the order of the rows
  std::vector<std::string> codes;
  for (const Finding& finding : built.findings) codes.emplace_back(finding.code);
  // New, D and the kid that has a list only.
  CHECK(codes == std::vector<std::string>{"parent-added", "parent-added", "kid-added"});
  CHECK(built.findings[2].rows == std::vector<Row>{entry(4)});
}

TEST_CASE("a possible sire who is the kid, the dam, or a dam elsewhere") {
  Book book;
  book.kid("K", "D");
  book.list("K", {{"K", 0.25}, {"D", 0.25}, {"A", 0.5}}, 3);
  book.kid("L", "A");
  book.build();
  CHECK(book.chances("K") == "A:0.5000");
  const Finding* own = book.finding("own-parent");
  REQUIRE(own != nullptr);
  CHECK(own->rows == std::vector<Row>{entry(3)});
  CHECK(own->cuts[0].role == ParentColumn::possible_sire);
  const Finding* twice = book.finding("same-parent-twice");
  REQUIRE(twice != nullptr);
  CHECK(twice->animals == std::vector<Animal>{book.at("K"), book.at("D")});
  CHECK(twice->rows == std::vector<Row>{{Table::animals, 10}, entry(3)});
  CHECK(twice->cuts[0].role == ParentColumn::possible_sire);
  const Finding* roles = book.finding("both-roles");
  REQUIRE(roles != nullptr);
  CHECK(roles->animals == std::vector<Animal>{book.at("A"), book.at("K"), book.at("L")});
}

TEST_CASE("an entry's own row is kept") {
  Book book;
  book.kid("K", "D");
  book.list("K", {{"A", 0.5, entry(8)}, {"Y", 0.5, entry(9)}}, 3);
  book.build();
  const Finding* added = book.finding("parent-added");
  REQUIRE(added != nullptr);
  CHECK(added->rows == std::vector<Row>{entry(9)});
}

TEST_CASE("chances that are no chances are the caller's mistake") {
  Book book;
  CHECK_THROWS_AS(book.list("K", {{"A", -0.1}}), UsageError);
  CHECK_THROWS_AS(book.list("K", {{"A", std::numeric_limits<double>::quiet_NaN()}}), UsageError);
  CHECK_THROWS_AS(book.list("K", {{"A", std::numeric_limits<double>::infinity()}}), UsageError);
}
