// SPDX-License-Identifier: MIT
/// The CSV reader. Rules named by number are those of RFC 4180 (2005), section 2; the examples
/// there are copied into the tests.
#include <doctest/doctest.h>

#include <fmt/format.h>

#include "herdbook/complaints.hpp"
#include "herdbook/csv_reader.hpp"

#include "book_in_memory.hpp"

using namespace doewright;

namespace {

using Rows = std::vector<std::vector<std::string>>;

struct Reading {
  explicit Reading(std::string_view text) {
    CsvReader csv(text, "f.csv", &complaints);
    header = csv.header();
    while (csv.next()) {
      std::vector<std::string> row;
      for (std::size_t i = 0; i < csv.header().size(); ++i) {
        row.emplace_back(csv.text(i));
        places.push_back(fmt::format("{}:{}", csv.place(i).line, csv.place(i).column));
      }
      rows.push_back(std::move(row));
    }
    lost = complaints.lost();
    for (const Problem& problem : std::move(complaints).sorted()) {
      slips.push_back(fmt::format("{} {}:{}", problem.code, problem.line, problem.column));
    }
  }
  Complaints complaints;
  std::vector<std::string> header, places, slips;
  Rows rows;
  bool lost = false;
};

}  // namespace

TEST_CASE("RFC 4180, rules 1 to 3: lines, a last line without its end, a header") {
  for (const std::string_view text :
       {"a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx",
        "a,b,c\naaa,bbb,ccc\nzzz,yyy,xxx\n", "a,b,c\raaa,bbb,ccc\rzzz,yyy,xxx"}) {
    CAPTURE(text);
    const Reading csv(text);
    CHECK(csv.header == std::vector<std::string>{"a", "b", "c"});
    CHECK(csv.rows == Rows{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
    CHECK(csv.places[3] == "3:1");
    CHECK(csv.slips.empty());
  }
}

TEST_CASE("RFC 4180, rules 5 to 7: quoted fields, line ends and doubled quotes inside") {
  const Reading csv(
      "a,b,c\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n"
      "\"aaa\",\"b \r\nbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n\"aaa\",\"b\"\"bb\",\"ccc\"");
  CHECK(csv.slips.empty());
  CHECK(csv.rows == Rows{{"aaa", "bbb", "ccc"},
                         {"zzz", "yyy", "xxx"},
                         {"aaa", "b \r\nbb", "ccc"},
                         {"zzz", "yyy", "xxx"},
                         {"aaa", "b\"bb", "ccc"}});
  // The physical line on which the field begins: the third field of the row of line 4 is on line 5.
  CHECK(csv.places[6] == "4:1");
  CHECK(csv.places[8] == "5:5");
  CHECK(csv.places[9] == "6:1");
}

TEST_CASE("quotes: separators inside, empty fields, only quotes, blanks around") {
  const Reading csv("a,b\n\"1,2\",\"\"\n\"\"\"\"\"\",\"x\"\n \"q\" , plain \n");
  CHECK(csv.slips.empty());
  CHECK(csv.rows == Rows{{"1,2", ""}, {"\"\"", "x"}, {"q", "plain"}});
}

TEST_CASE("a slip in the quotes is said once, and the rows behind it are read") {
  SUBCASE("never closed") {
    const Reading csv("a,b\n1,\"open\n2,x\n3,y\n");
    CHECK(csv.slips == std::vector<std::string>{"quote 2:3"});
    CHECK(csv.rows.back() == std::vector<std::string>{"3", "y"});
    CHECK(csv.rows.size() == 3);
    CHECK(csv.lost);
  }
  SUBCASE("text behind the closing quote") {
    const Reading csv("a,b\n\"1\"x,2\n3,4\n");
    CHECK(csv.slips == std::vector<std::string>{"quote 2:1"});
    CHECK(csv.rows.back() == std::vector<std::string>{"3", "4"});
    CHECK(csv.lost);
  }
  SUBCASE("a quote in a field that is not quoted (rule 5)") {
    const Reading csv("a,b\n1,6\" long\n3,4\n");
    CHECK(csv.slips == std::vector<std::string>{"quote 2:3"});
    CHECK(csv.rows.size() == 2);
  }
  SUBCASE("in the header nothing can be read") {
    const Reading csv("a,\"b\n1,2\n");
    CHECK(csv.slips == std::vector<std::string>{"quote 1:3"});
    CHECK(csv.rows.empty());
    CHECK(csv.lost);
  }
}

TEST_CASE("byte-order mark, semicolons, tabs") {
  CHECK(Reading("\xEF\xBB\xBFid;sire\nA;B,C\n").rows == Rows{{"A", "B,C"}});
  CHECK(Reading("id\tsire\nA;1\tB,C\n").rows == Rows{{"A;1", "B,C"}});
  CHECK(Reading("\"id;x;y\",sire\nA,B\n").rows == Rows{{"A", "B"}});  // quoted ones do not count
  CHECK(Reading("id\nA;B\n").rows == Rows{{"A;B"}});
  // The mark takes no column.
  CHECK(Reading("\xEF\xBB\xBFid,sire\nA,B\n").places == std::vector<std::string>{"2:1", "2:3"});
}

TEST_CASE("columns count characters, not bytes") {
  const Reading csv("id,name,born\nA,Brämbel ✓,2024\n");
  CHECK(csv.places == std::vector<std::string>{"2:1", "2:3", "2:13"});
}

TEST_CASE("rows must be as wide as the header; blank lines and blank rows are passed over") {
  const Reading csv("a,b\n\n1\n1,2,3\n1,2,\n,\n  \n4,5\n\n\n");
  CHECK(csv.slips == std::vector<std::string>{"row-short 3:0", "row-long 4:0", "row-long 5:0"});
  CHECK(csv.rows == Rows{{"4", "5"}});
}

TEST_CASE("nameless columns at the right edge are allowed, but nothing is lost in them silently") {
  const Reading fine("a,b,,\n1,2,,\n3,4\n");
  CHECK(fine.slips.empty());
  CHECK(fine.rows == Rows{{"1", "2"}, {"3", "4"}});
  const Reading lost("a,b,,\n1,2,,x\n3,4,y,\n");
  CHECK(lost.slips == std::vector<std::string>{"column-unknown 2:6"});
}

TEST_CASE("an empty file, a header without names") {
  for (const std::string_view text : {"", "\xEF\xBB\xBF", "\n\n", "  \n\t\r\n"}) {
    CHECK(Reading(text).slips == std::vector<std::string>{"empty-file 0:0"});
  }
  CHECK(Reading(",,\nA,B,C\n").slips == std::vector<std::string>{"header-missing 1:0"});
}

TEST_CASE("what is no table of UTF-8 text is named") {
  using namespace std::string_literals;
  for (const std::string& text :
       {"PK\x03\x04 and more"s, "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"s, "%PDF-1.7\n"s, "\x89PNG\r\n"s,
        "\xFF\xD8\xFF\xE0"s, "GIF89a\0\0"s, "\xFF\xFEi\0d\0"s, "i\0d\0,\0s\0"s,
        "  <!DOCTYPE html>\n<html>"s, "{\\rtf1\\ansi}"s}) {
    CAPTURE(text);
    const Reading csv(text);
    CHECK(csv.slips == std::vector<std::string>{"encoding 0:0"});
    CHECK(csv.lost);
  }
  // One byte of Latin-1 where UTF-8 is meant, with its place.
  CHECK(Reading("id,name\nA,ä\nB,Br\xE4mbel\n").slips == std::vector<std::string>{"encoding 3:5"});
  CHECK(Reading("id,name\r\nA,\xC0\xAF\r\n").slips == std::vector<std::string>{"encoding 2:3"});
  // Letters that begin a picture may begin a table.
  CHECK(Reading("BMW,b\n1,2\n").slips.empty());
}

TEST_CASE("a repeated row is told by its cells, not by how they are written") {
  Complaints complaints;
  CsvReader csv("a,b\n1,x\n\"1\", x\n1,y\n", "f.csv", &complaints);
  REQUIRE(csv.next());
  const std::size_t first = csv.row_begin();
  REQUIRE(csv.next());
  CHECK(csv.same_cells_as(first));
  REQUIRE(csv.next());
  CHECK_FALSE(csv.same_cells_as(first));
}
