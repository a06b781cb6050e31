// SPDX-License-Identifier: MIT
/// Slips by which something could be lost without a word: rows inside a cell, marks that name
/// nobody, parents of a later day, a folder whose animals.csv is nearly called so.
#include <doctest/doctest.h>

#include "book_folder.hpp"
#include "book_in_memory.hpp"

using namespace doewright;

TEST_CASE("a quotation mark that swallows rows is legal CSV, and said all the same") {
  const std::string rows = "G1,doe,\nG2,doe,\nG3,buck,\n";
  const HerdBook book =
      read_book({{Table::animals, "id,sex,note\nA,doe,\"big\n" + rows + "B,doe,\"\nC,buck,\n"}});
  CHECK(all_said(book) == "warning rows-in-cell animals.csv:2:7");
  REQUIRE(book.herd);
  CHECK(book.herd->pedigree.size() == 2);
  REQUIRE(book.problems.size() == 1);
  CHECK(book.problems[0].message.find("line 6 and holds 3 lines") != std::string::npos);
}

TEST_CASE("a cell of several lines is no matter, nor is a table of two columns") {
  CHECK(all_said(read_book(
            {{Table::animals, "id,sex,note\nA,doe,\"big\r\nand, so to speak\r\nbold\"\r\n"}})) ==
        "");
  CHECK(all_said(read_book(
            {{Table::animals, "id,note\nA,\"big, grey\ncalm, kind\neats, sleeps\"\n"}})) == "");
  // The last line of a cell holds its end and is no row inside it.
  CHECK(all_said(read_book({{Table::animals, "id,sex,note\nA,doe,\"x\na,b,c\"\n"}})) == "");
}

TEST_CASE("a mark for 'not known' never becomes one shared kid") {
  const HerdBook book = read_book(
      {{Table::animals, "id\nB\nC\n"}, {Table::possible_sires, "kid,sire\n?,B\nunknown,C\n"}});
  CHECK(all_said(book) == lines({"error id-empty possible_sires.csv:2:1 ?",
                                 "error id-empty possible_sires.csv:3:1 unknown"}));
  ReadOptions options;
  options.set_aside = true;
  const HerdBook aside = read_book(
      {{Table::animals, "id\nB\nC\n"}, {Table::possible_sires, "kid,sire\n?,B\n?,C\n"}}, options);
  REQUIRE(aside.herd);
  CHECK(aside.herd->pedigree.size() == 2);
  CHECK(aside.herd->possible_sires.empty());
}

TEST_CASE("a service of which doe and sire are blank: both are said") {
  CHECK(all_said(read_book(
            {{Table::animals, "id\nD\n"}, {Table::services, "doe,sire,from\n,,2025-09-01\n"}})) ==
        lines({"error id-empty services.csv:2:1", "error id-empty services.csv:2:2"}));
}

TEST_CASE("a parent whose own row is of a later day is not said to have no row") {
  ReadOptions options;
  options.as_of = date_of(2024, 1, 1);
  const HerdBook book =
      read_book({{Table::animals, "id,dam,born\nK,D,\nD,,2024-06-01\n"}}, options);
  CHECK(all_said(book) ==
        lines({"warning date-future animals.csv:0:0", "warning parent-added animals.csv:2:3 D"}));
  REQUIRE(book.problems.size() == 2);
  CHECK(book.problems[1].message ==
        "'D', a parent of K, is born after the day this is worked out "
        "for");
}

TEST_CASE("a folder without animals.csv: what may have been meant is named") {
  const auto refusal_of = [](std::string_view file) {
    try {
      BookFolder().with(file, "id\nA\n").read();
    } catch (const NotFound& error) {
      return std::string(error.what());
    }
    return std::string("read");
  };
  CHECK(refusal_of("animals.csv") == "read");
  CHECK(refusal_of("Animals.CSV").ends_with("did you mean 'Animals.CSV'? give it that name"));
  CHECK(refusal_of("animal.csv").ends_with("did you mean 'animal.csv'? give it that name"));
  CHECK(refusal_of("goats.csv").find("did you mean") == std::string::npos);
}
