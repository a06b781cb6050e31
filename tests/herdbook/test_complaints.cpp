// SPDX-License-Identifier: MIT
/// Each complaint of INTERFACE section 5 that a CSV table can give: code, severity, line, column.
#include <algorithm>

#include <doctest/doctest.h>

#include "book_in_memory.hpp"

using namespace doewright;
using namespace std::string_view_literals;

namespace {

const std::string two_goats = "id,sex,born\nD1,doe,2020\nB1,buck,2020\n";

/// A text of one table, and everything that must be said of the book.
struct Case {
  Table table;
  std::string_view text;
  Lines expected;
};

/// The codes of `wanted` come from the table under test; all others too, so nothing is left over.
void check_case(const Case& each) {
  CAPTURE(each.text);
  Texts texts = {{Table::animals, two_goats}};
  texts[each.table] = each.text;
  CHECK(all_said(read_book(texts)) == lines(each.expected));
}

}  // namespace

TEST_CASE("a book without a slip says nothing") {
  const HerdBook book = read_book({{Table::animals, two_goats}});
  CHECK(all_said(book) == "");
  REQUIRE(book.herd);
  CHECK(book.herd->pedigree.size() == 2);
}

TEST_CASE("complaints about the file as a whole") {
  const Case cases[] = {
      {Table::animals, "", {"error empty-file animals.csv:0:0"}},
      {Table::heats, "\n", {"error empty-file heats.csv:0:0"}},
      {Table::animals, "A,B\nC,D\n", {"error header-missing animals.csv:1:0"}},
      {Table::heats, "2024,D1\n", {"error header-missing heats.csv:1:0"}},
      {Table::animals, "sire,dam\nA,B\n", {"error column-missing animals.csv:1:0"}},
      {Table::services,
       "doe\nD1\n",
       {"error column-missing services.csv:1:0", "error column-missing services.csv:1:0"}},
      {Table::records, "animal,trait\nD1,milk\n", {"error column-missing records.csv:1:0"}},
      {Table::animals, "id,Sire, S_I_R_E \nA,,\n", {"error column-twice animals.csv:1:9"}},
      {Table::animals, "id,born,birth_date\nA,,\n", {"error column-twice animals.csv:1:9"}},
      {Table::examinations,
       "animal,teats,Teats\nD1,,\n",
       {"error column-twice examinations.csv:1:14"}},
      {Table::animals, "id,colur\nA,red\n", {"warning column-unknown animals.csv:1:4"}},
      {Table::heats, "doe,date\n", {"warning rows-none heats.csv:0:0"}},
      {Table::animals, "id,sire,dam\n", {"warning rows-none animals.csv:0:0"}},
      {Table::kiddings, "PK\x03\x04", {"error encoding kiddings.csv:0:0"}},
      {Table::does, "doe,note\nD1,\xE9t\xE9\n", {"error encoding does.csv:2:4"}},
      {Table::does, "doe,note\nD1,\"a\n", {"error quote does.csv:2:4"}},
  };
  for (const Case& each : cases) check_case(each);
}

TEST_CASE(
    "rows that say nothing, and an id that means not known, are said once with their number") {
  const Case cases[] = {
      {Table::examinations,
       "animal,fault,found\nD1,teats,no\nD1,teats,\nB1,teats,\n",
       {"warning cell-blank examinations.csv:3:10"}},
      {Table::examinations, "animal,teats\nD1,\nB1,no\n", {}},  // wide: not looked at
      {Table::gene_tests,
       "animal,fault,result\nD1,mannosidosis,\nB1,mannosidosis,\nD1,mannosidosis,clear\n",
       {"warning cell-blank gene_tests.csv:2:17"}},
      {Table::kid_counts,
       "sire,fault,examined,affected\nB1,teats,,\n",
       {"warning cell-blank kid_counts.csv:2:10"}},
      {Table::records,
       "animal,trait,value\nD1,milk,\nD1,milk,700\n",
       {"warning cell-blank records.csv:2:9"}},
      {Table::records, "animal,trait,value_lb\nD1,milk,\n", {"warning cell-blank records.csv:2:9"}},
      {Table::health_tests,
       "animal,disease,result\nD1,CAE,\n",
       {"warning cell-blank health_tests.csv:2:8"}},
      {Table::animals,
       "id,sire\n?,\nA,?\nunknown,\n",
       {"warning unknown-mark animals.csv:2:1", "warning unknown-mark animals.csv:3:3"}},
  };
  for (const Case& each : cases) check_case(each);
  const HerdBook book = read_book({{Table::animals, "id,sire\n?,\nA,?\nunknown,\n"}});
  CHECK(book.problems.at(0).message.starts_with("2 animals have for an id a mark"));
  REQUIRE(book.herd);
  CHECK(book.herd->pedigree.size() == 3);
}

TEST_CASE("complaints about rows and ids") {
  const Case cases[] = {
      {Table::animals,
       "id,sex\nA\nB,doe,x\nC,doe\n",
       {"error row-short animals.csv:2:0", "error row-long animals.csv:3:0"}},
      {Table::animals, "id,sex\n,doe\n", {"error id-empty animals.csv:2:1"}},
      {Table::heats, "doe,date\n,2024-01-01\n", {"error id-empty heats.csv:2:1"}},
      {Table::heats, "doe,date\n?,2024-01-01\n", {"error id-empty heats.csv:2:1 ?"}},
      {Table::animals,
       "id,sire\nA\x01,\nB,C\xE2\x80\xAE\n",
       {"error id-control animals.csv:2:1", "error id-control animals.csv:3:3 B"}},
      {Table::animals,
       "id,name\nA\0,\nB,x\0y\n"sv,
       {"error id-control animals.csv:2:1", "error encoding animals.csv:3:3 B"}},
      {Table::animals, "id,sex\nA,doe\nA,buck\n", {"error id-twice animals.csv:3:1 A"}},
      {Table::animals, "id,sex\nA,doe\n\"A\", doe\n", {"warning id-twice animals.csv:3:1 A"}},
      {Table::heats,
       "doe,date\nD1,2024-01-01\nD1,2024-01-01\nD1,2024-01-22\n",
       {"warning record-twice heats.csv:3:0"}},
      {Table::does, "doe,kids_for\nD1,keep\nD1,meat\n", {"error id-twice does.csv:3:1 D1"}},
      {Table::sires, "sire,fee\nB1,10\nB1,10\n", {"warning record-twice sires.csv:3:0"}},
      {Table::heats,
       "doe,date\nD9,2024-01-01\nD9,2024-01-22\n",
       {"warning animal-added heats.csv:2:1 D9"}},
      {Table::animals,
       "id,sire,dam\nA,B,C\nD,B,\n",
       {"warning parent-added animals.csv:2:3 B", "warning parent-added animals.csv:2:5 C"}},
      {Table::possible_sires,
       "kid,sire,probability\nD1,B1,0.5\nD1,B7,0.5\n",
       {"warning parent-added possible_sires.csv:3:4 B7"}},
      {Table::possible_sires,
       "kid,sire\nK9,B1\nK9,B2\n",
       {"warning parent-added possible_sires.csv:3:4 B2",
        "warning animal-added possible_sires.csv:2:1 K9"}},
  };
  for (const Case& each : cases) {
    Case sorted = each;
    std::sort(sorted.expected.begin(), sorted.expected.end());
    CAPTURE(each.text);
    Texts texts = {{Table::animals, two_goats}};
    texts[each.table] = each.text;
    Lines found = said(read_book(texts));
    std::sort(found.begin(), found.end());
    CHECK(lines(found) == lines(sorted.expected));
  }
}

TEST_CASE("complaints about the pedigree") {
  const Case cases[] = {
      {Table::animals, "id,sire,dam\nA,,B\nB,,C\nC,,A\nD,,\n", {"error loop animals.csv:2:0 A"}},
      {Table::animals, "id,sire,dam\nA,,A\n", {"error own-parent animals.csv:2:4 A"}},
      {Table::animals, "id,sire,dam\nA,B,B\nB,,\n", {"error same-parent-twice animals.csv:2:5 A"}},
      {Table::animals,
       "id,sire,dam\nX,,\nA,X,\nB,,X\n",
       {"error sex-use animals.csv:2:0 X", "error both-roles animals.csv:2:0 X"}},
      {Table::animals,
       "id,sire,dam\nA,?,-\nB,N/A,\nC,0,unknown\n",
       {"warning unknown-mark animals.csv:2:3"}},
  };
  for (const Case& each : cases) {
    CAPTURE(each.text);
    const Lines found = said(read_book({{Table::animals, std::string(each.text)}}));
    // check() of herd/ may add what it sees of the same animals.
    CHECK(std::find(found.begin(), found.end(), each.expected.back()) != found.end());
  }
}

TEST_CASE("a loop is spelled out with the line of each animal, a long one up to twelve") {
  const HerdBook three =
      read_book({{Table::animals, "id,dam\nHazel,Ivy\nIvy,Juniper\nJuniper,Hazel\n"}});
  REQUIRE_FALSE(three.problems.empty());
  CHECK(three.problems[0].message ==
        "an animal cannot be its own ancestor: Hazel (animals.csv:2) is a kid of Ivy "
        "(animals.csv:3) is a kid of Juniper (animals.csv:4) is a kid of Hazel");
  std::string text = "id,dam\n";
  for (int i = 0; i < 40; ++i) text += fmt::format("G{},G{}\n", i, (i + 1) % 40);
  const HerdBook forty = read_book({{Table::animals, text}});
  REQUIRE_FALSE(forty.problems.empty());
  CHECK(forty.problems[0].message.find("G11 (animals.csv:13) ... and 28 more") !=
        std::string::npos);
  CHECK(forty.problems[0].message.find("G12") == std::string::npos);
}

TEST_CASE("the number of marks is said") {
  const HerdBook book = read_book({{Table::animals, "id,sire,dam\nA,?,-\nB,N/A,\nC,0,unknown\n"}});
  REQUIRE(book.problems.size() == 1);
  CHECK(book.problems[0].message.starts_with("5 parents"));
  REQUIRE(book.herd);
  CHECK(book.herd->pedigree.size() == 3);
}

TEST_CASE("0 is an animal where a row has that id, wherever the row stands") {
  const HerdBook book = read_book({{Table::animals, "id,dam\nA,0\n0,\nB,0\n"}});
  CHECK(all_said(book) == "");
  REQUIRE(book.herd);
  CHECK(book.herd->pedigree.dam(animal(book, "A")) == animal(book, "0"));
  CHECK(book.herd->pedigree.dam(animal(book, "B")) == animal(book, "0"));
}

TEST_CASE("complaints about single cells") {
  const Case cases[] = {
      {Table::animals, "id,born\nA,2023-02-30\n", {"error date-impossible animals.csv:2:3 A"}},
      {Table::animals, "id,birth\nA,03/04/21\n", {"error date-form animals.csv:2:3 A"}},
      {Table::animals,
       "id,born\nA,2026-09-16\nB,2026-09-15\nC,2026-09\n",
       {"error date-future animals.csv:2:3 A"}},
      {Table::animals, "id,left\nA,2027\n", {"error date-future animals.csv:2:3 A"}},
      {Table::heats, "doe,date\nD1,2026-10\n", {"error date-future heats.csv:2:4 D1"}},
      {Table::services, "doe,sire,from,to,how\nD1,B1,2026-09-01,2026-10-01,pen\n", {}},
      {Table::services,
       "doe,sire,from,to,how\nD1,B1,2026-09-01,2026-10-01,visit\n",
       {"error date-future services.csv:2:18 D1"}},
      {Table::services,
       "doe,sire,from,to\nD1,B1,2026-09-01,2026-08-01\n",
       {"error date-impossible services.csv:2:18 D1"}},
      {Table::does, "doe,weighed\nD1,2027-01-01\n", {}},
      {Table::sires, "sire,from,to\nB1,2027-01-01,2027-02-01\n", {}},
      {Table::heats, "doe,date\nD1,\n", {"error date-form heats.csv:2:4 D1"}},
      {Table::records,
       "animal,trait,value\nD1,weaning_weight,\"17,5\"\n",
       {"error number-form records.csv:2:19 D1"}},
      {Table::records,
       "animal,trait,value\nD1,weaning_weight,nan\n",
       {"error number-form records.csv:2:19 D1"}},
      {Table::records,
       "animal,trait,value\nD1,weaning_weight,1e999\n",
       {"error number-form records.csv:2:19 D1"}},
      {Table::records,
       "animal,trait,value\nD1,weaning_weigth,17\n",
       {"error trait-unknown records.csv:2:4 D1"}},
      {Table::does, "doe,weight_kg\nD1,-4\n", {"error negative does.csv:2:4 D1"}},
      {Table::sires,
       "sire,fee,straws\nB1,-1,2.5\n",
       {"error negative sires.csv:2:4 B1", "error number-form sires.csv:2:7 B1"}},
      {Table::sires, "sire,conception\nB1,60\n", {"error number-form sires.csv:2:4 B1"}},
      {Table::sires, "sire,served,settled\nB1,3,5\n", {"error number-form sires.csv:2:6 B1"}},
      {Table::does, "doe,condition\nD1,6\n", {"error number-form does.csv:2:4 D1"}},
      {Table::animals, "id,sex\nA,dow\n", {"error word-unknown animals.csv:2:3 A"}},
      {Table::animals,
       "id,horns,left_why\nA,none,eaten\n",
       {"error word-unknown animals.csv:2:3 A", "error word-unknown animals.csv:2:8 A"}},
      {Table::services,
       "doe,sire,from,how\nD1,B1,2026-01-01,field\n",
       {"error word-unknown services.csv:2:18 D1"}},
      {Table::animals,
       "id,breed\nA,boer:3/4 nubian:3/4\nB,boer:3/4:\nC,boer:x\n",
       {"error number-form animals.csv:2:3 A", "error number-form animals.csv:3:3 B",
        "error number-form animals.csv:4:3 C"}},
      {Table::examinations,
       "animal,fault,found\nD1,teat,no\nD1,teats,bad\nD1,teats,\n",
       {"error fault-unknown examinations.csv:2:4 D1",
        "error grade-unknown examinations.csv:3:10 D1",
        "warning cell-blank examinations.csv:4:10"}},
      {Table::examinations,
       "animal,teats,ears\nD1,no,no\n",
       {"error fault-unknown examinations.csv:1:14"}},
      {Table::examinations,
       "animal,fault,found,teats\nD1,teats,no,no\n",
       {"error table-shape examinations.csv:1:0"}},
      {Table::examinations, "animal,date\nD1,2024\n", {"error table-shape examinations.csv:1:0"}},
      {Table::examinations, "animal,fault\nD1,teats\n", {"error table-shape examinations.csv:1:0"}},
      {Table::examinations,
       "animal,teats,age\nD1,no,weening\nD1,no,-3\nD1,no,2.5\n",
       {"error word-unknown examinations.csv:2:7 D1", "error negative examinations.csv:3:7 D1",
        "error number-form examinations.csv:4:7 D1"}},
      {Table::gene_tests,
       "animal,fault,result\nD1,teats,clear\nD1,mannosidosis,free\n",
       {"error test-for-threshold gene_tests.csv:2:4 D1",
        "error word-unknown gene_tests.csv:3:17 D1"}},
      {Table::kid_counts,
       "sire,fault,examined,affected\nB1,teats,3,5\nB1,teats,4,\n",
       {"error number-form kid_counts.csv:2:12 B1", "error number-form kid_counts.csv:3:12 B1"}},
      {Table::kiddings,
       "doe,date,kids_born,kids_alive\nD1,2024-01-01,1,2\n",
       {"error number-form kiddings.csv:2:17 D1"}},
      {Table::kiddings,
       "doe,date,sire\nD1,2024-01-01,?\n",
       {"warning unknown-mark kiddings.csv:2:15"}},
      {Table::possible_sires,
       "kid,sire,probability\nD1,B1,0.8\nD1,B2,0.7\n",
       {"warning chance-sum possible_sires.csv:2:1 D1",
        "warning parent-added possible_sires.csv:3:4 B2"}},
      {Table::possible_sires,
       "kid,sire,probability\nD1,B1,-0.8\n",
       {"error negative possible_sires.csv:2:7 D1"}},
      {Table::possible_sires,
       "kid,sire,probability\nD1,B1,0.2\nD1,B1,0.3\n",
       {"error id-twice possible_sires.csv:3:4 D1"}},
      {Table::possible_sires,
       "kid,sire,probability\nD1,B1,0.8\nD1,?,0.2\n",
       {"warning unknown-mark possible_sires.csv:3:4"}},
      {Table::does, "doe\nB1\n", {"error sex-use does.csv:2:1 B1"}},
      {Table::sires, "sire\nD1\n", {"error sex-use sires.csv:2:1 D1"}},
  };
  for (const Case& each : cases) check_case(each);
}

TEST_CASE("a certain sire and a list: an error that names both lines") {
  const HerdBook book = read_book({{Table::animals, "id,sire\nA,B\nB,\nC,\n"},
                                   {Table::possible_sires, "kid,sire\nA,B\nA,C\n"}});
  REQUIRE(all_said(book) == lines({"error sire-and-possible animals.csv:2:0 A"}));
  CHECK(book.problems[0].message.find("animals.csv:2") != std::string::npos);
  CHECK(book.problems[0].message.find("possible_sires.csv:2") != std::string::npos);
}

TEST_CASE("remedies name the nearest word, key, column and id, and the number with a point") {
  const auto remedy_of = [](Table table, std::string_view text) {
    Texts texts = {{Table::animals, two_goats}};
    texts[table] = text;
    const HerdBook book = read_book(texts);
    REQUIRE_FALSE(book.problems.empty());
    return book.problems[0].remedy;
  };
  CHECK(remedy_of(Table::animals, "id,sex\nA,wheter\n") == "did you mean 'wether'?");
  CHECK(remedy_of(Table::animals, "id,colur\nA,red\n") == "did you mean 'colour'?");
  CHECK(remedy_of(Table::examinations, "animal,fault,found\nD1,teets,no\n") ==
        "did you mean 'teats'?");
  CHECK(remedy_of(Table::examinations, "animal,teets\nD1,no\n") == "did you mean 'teats'?");
  CHECK(remedy_of(Table::examinations, "animal,teats,nota\nD1,no,\n") == "did you mean 'note'?");
  CHECK(remedy_of(Table::does, "doe,weight_kg\nD1,\"41,5\"\n") == "write 41.5, with a point");
  CHECK(remedy_of(Table::animals, "id,dam\nBramble,\nA,Brambel\n")
            .starts_with("did you mean 'Bramble'?"));
  // Ids that differ in their digits are neighbours in the barn, not slips of the pen.
  CHECK(remedy_of(Table::animals, "id,dam\nC-12,\nA,C-13\n").find("did you mean") ==
        std::string::npos);
}

TEST_CASE("a parent without a row that is nearly another id is a question too") {
  ReadOptions options;
  options.questions = true;
  const HerdBook book = read_book({{Table::animals, "id,dam\nBramble,\nA,Brambel\n"}}, options);
  CHECK(all_said(book) == lines({"question id-near animals.csv:3:3 Brambel",
                                 "warning parent-added animals.csv:3:3 Brambel"}));
}

TEST_CASE("every problem of every file comes in one go, by file, line, column and code") {
  const HerdBook book = read_book({{Table::animals, "id,sex,born\nA,dow,03/04/21\nA,x,\n"},
                                   {Table::heats, "doe,date\nD7,2024-02-30\n"},
                                   {Table::sires, "sire,fee\nS7,x\n"},
                                   {Table::season, "currency = 3\n"}});
  CHECK_FALSE(book.herd);
  CHECK(all_said(book) ==
        lines({"error word-unknown animals.csv:2:3 A", "error date-form animals.csv:2:7 A",
               "error id-twice animals.csv:3:1 A", "error word-unknown animals.csv:3:3 A",
               "warning animal-added heats.csv:2:1 D7", "error date-impossible heats.csv:2:4 D7",
               "warning animal-added sires.csv:2:1 S7", "error number-form sires.csv:2:4 S7",
               "error key-form season.toml:1:12"}));
  CHECK(book.errors_total == 7);
  CHECK(book.warnings_total == 2);
}

TEST_CASE("where animals.csv cannot be read, the other files are still looked through") {
  const HerdBook book =
      read_book({{Table::animals, ""}, {Table::heats, "doe,date\nD1,2024-02-30\n"}});
  CHECK(all_said(book) ==
        lines({"error empty-file animals.csv:0:0", "error date-impossible heats.csv:2:4 D1"}));
}

TEST_CASE("ten thousand of a code and file are kept, all are counted") {
  std::string text = "id,dam\n";
  for (int i = 0; i < 12'000; ++i) text += fmt::format("K{},D{}\n", i, i);
  const HerdBook added = read_book({{Table::animals, text}});
  CHECK(added.problems.size() == 10'000);
  CHECK(added.warnings_total == 12'000);
  CHECK(short_form(added.problems.back()) == "warning parent-added animals.csv:10001:7 D9999");

  text = "id,sex\n";
  for (int i = 0; i < 12'000; ++i) text += fmt::format("K{},x\n", i);
  const HerdBook words = read_book({{Table::animals, text}});
  CHECK(words.problems.size() == 10'000);
  CHECK(words.errors_total == 12'000);
}
