// SPDX-License-Identifier: MIT
/// How a book is read as a whole: as-of, setting aside, strictness, folders and lone files.
#include <filesystem>
#include <fstream>

#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>

#include "book_in_memory.hpp"

using namespace doewright;
namespace fs = std::filesystem;

namespace {

ReadOptions as_of(int year, unsigned month, unsigned day) {
  ReadOptions options;
  options.as_of = date_of(year, month, day);
  return options;
}

/// A folder that is gone when the test ends.
class Folder {
 public:
  explicit Folder(const std::string& name) : path_(fs::current_path() / name) {
    fs::remove_all(path_);
    fs::create_directories(path_);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() { fs::remove_all(path_); }
  void write(const std::string& name, std::string_view text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
  }
  std::string path() const { return path_.string(); }

 private:
  fs::path path_;
};

}  // namespace

TEST_CASE("as-of by hand: rows of later days are left out, with one warning and their number") {
  const Texts texts = {
      {Table::animals,
       "id,sex,born,dam,left,left_why\nD1,doe,2020,,2024-06-01,sold\nK1,doe,2024-03,D1,,\n"
       "K2,doe,2023-03-01,D1,2023-05,died\nK3,doe,2024-04-01,D1,,\n"},
      {Table::heats, "doe,date\nD1,2023-09-01\nD1,2023-12\nD1,2024-09\nK3,2024-01-01\n"},
      {Table::services,
       "doe,sire,from,to,how\nD1,B1,2023-09-01,2024-02-01,visit\n"
       "D1,B1,2024-09-01,,seen\n"},
      {Table::possible_sires, "kid,sire,probability\nK3,B1,0.5\nK2,B1,0.5\n"}};
  const HerdBook book = read_book(texts, as_of(2023, 12, 15));
  CHECK(all_said(book) ==
        "warning date-future animals.csv:0:0\nwarning parent-added possible_sires.csv:3:4 B1");
  // K1, K3; a heat and one of K3; a service; K3's list.
  CHECK(book.problems[0].message == "6 rows are dated after 2023-12-15 and left out (of all tables together)");
  REQUIRE(book.herd);
  const Herd& herd = *book.herd;
  CHECK(herd.as_of_set);
  CHECK(to_text(herd.as_of) == "2023-12-15");
  CHECK_FALSE(herd.ids.find("K3"));
  CHECK(herd.heats.size() == 2);  // December 2023 has days that were not after it
  REQUIRE(herd.services.size() == 1);
  CHECK(to_text(herd.services[0].to) == "2024-02-01");  // that stay was under way
  const std::size_t doe = animal(book, "D1").position, kid = animal(book, "K2").position;
  CHECK_FALSE(herd.animals.gone[doe]);  // not gone yet
  CHECK_FALSE(herd.animals.left[doe].known());
  CHECK(herd.animals.left_why[doe] == LeftWhy::unknown);
  CHECK(herd.animals.gone[kid]);
}

TEST_CASE("season.toml sets as-of by hand too, and the option wins") {
  const Texts texts = {{Table::animals, "id,born\nA,2020\nB,2025\n"},
                       {Table::season, "as_of = 2022-01-01\n"}};
  const HerdBook book = read_book(texts);
  REQUIRE(book.herd);
  CHECK(book.herd->pedigree.size() == 1);
  CHECK(to_text(book.as_of) == "2022-01-01");
  CHECK(read_book(texts, as_of(2026, 1, 1)).herd->pedigree.size() == 2);
}

TEST_CASE("an error stops everything, unless the record is set aside") {
  const Texts texts = {
      {Table::animals, "id,sex,born,dam\nD1,doe,2020,\nK1,dow,2024-02-30,D1\nK2,doe,2024,K2\n"},
      {Table::heats, "doe,date\nD1,yesterday\nD1,2024-09-01\n"}};
  const HerdBook stopped = read_book(texts);
  CHECK_FALSE(stopped.herd);
  CHECK(stopped.errors_total == 4);
  CHECK(stopped.set_aside == 0);

  ReadOptions options;
  options.set_aside = true;
  const HerdBook book = read_book(texts, options);
  CHECK(book.problems.size() == stopped.problems.size());
  REQUIRE(book.herd);
  CHECK(book.set_aside == 4);
  const std::size_t kid = animal(book, "K1").position;
  CHECK(book.herd->animals.sex[kid] == Sex::unknown);
  CHECK_FALSE(book.herd->animals.born[kid].known());
  CHECK(book.herd->pedigree.dam(animal(book, "K1")) == animal(book, "D1"));
  CHECK_FALSE(book.herd->pedigree.dam(animal(book, "K2")));
  CHECK(book.herd->heats.size() == 1);
}

TEST_CASE("set aside: a date or a sex that cannot be is read as unknown") {
  ReadOptions options;
  options.set_aside = true;
  const HerdBook book = read_book(
      {{Table::animals, "id,sex,born,sire,dam\nD1,buck,2020,,\nK1,doe,2019,,D1\n"}}, options);
  CHECK(book.errors_total == 2);
  REQUIRE(book.herd);
  CHECK(book.herd->animals.sex[animal(book, "D1").position] == Sex::unknown);
  CHECK_FALSE(book.herd->animals.born[animal(book, "K1").position].known());
  CHECK(check(*book.herd).empty());
}

TEST_CASE("what leaves in an unreadable way is still gone") {
  ReadOptions options;
  options.set_aside = true;
  const HerdBook book =
      read_book({{Table::animals, "id,left,left_why\nA,soon,\nB,,eaten\nC,,\n"}}, options);
  REQUIRE(book.herd);
  CHECK(book.herd->animals.gone == std::vector<bool>{true, true, false});
}

TEST_CASE("set aside: a column that is no fault is not read, be it the only one") {
  ReadOptions options;
  options.set_aside = true;
  for (const std::string_view text : {"animal,nose\nA,no\nB,yes\n", "animal,nose,ears\nA,no,\n"}) {
    CAPTURE(text);
    const Texts texts = {{Table::animals, "id\nA\n"}, {Table::examinations, std::string(text)}};
    CHECK_FALSE(read_book(texts).herd);
    const HerdBook book = read_book(texts, options);
    REQUIRE(book.herd);
    CHECK(book.herd->examinations.empty());
    CHECK(book.problems.at(0).code == "fault-unknown");
  }
}

TEST_CASE("a file that cannot be read as a whole cannot be set aside") {
  ReadOptions options;
  options.set_aside = true;
  const std::string goats = "id\nA\n";
  for (const std::string_view text : {"", "doe\nA\n", "doe,date,doe\nA,2024,A\n", "when\n2024\n",
                                      "doe,date\nA,\"2024\n", "doe,date\nA,20\xE9\n"}) {
    CAPTURE(text);
    CHECK_FALSE(
        read_book({{Table::animals, goats}, {Table::heats, std::string(text)}}, options).herd);
  }
  CHECK(read_book({{Table::animals, goats}, {Table::heats, "doe,date\nA\n"}}, options).herd);
}

TEST_CASE("strict: a warning stops everything") {
  ReadOptions options;
  const Texts texts = {{Table::animals, "id,dam\nA,B\n"}};
  CHECK(read_book(texts, options).herd);
  options.strict = true;
  CHECK_FALSE(read_book(texts, options).herd);
  CHECK(read_book({{Table::animals, "id,dam\nA,\n"}}, options).herd);
}

TEST_CASE("a folder: its files by name, what is missing filled where asked") {
  const Folder folder("doewright test book");
  folder.write("animals.csv", "id,sex,born\nD1,doe,2020\nB1,buck,2020\n");
  folder.write("heats.csv", "doe,date\nD1,2026-13-01\n");
  folder.write("exams.txt", "not ours");
  folder.write("kiddings 2024.csv", "a copy\n");
  ReadOptions options;
  options.today = *date_of(2026, 9, 15);
  CHECK(all_said(read_herd_book(folder.path(), options)) ==
        "error date-impossible heats.csv:2:4 D1");

  folder.write("heats.csv", "doe,date\nD1,2026-08-01\n");
  folder.write("examination.csv", "animal,teats\nD1,yes\n");
  options.fill_lists = true;
  const HerdBook book = read_herd_book(folder.path() + "/", options);
  CHECK(all_said(book) ==
        lines({"warning file-unknown examination.csv:0:0", "warning does-default does.csv:0:0",
               "warning sires-default sires.csv:0:0"}));
  CHECK(book.problems[0].remedy == "did you mean 'examinations.csv'?");
  REQUIRE(book.herd);
  CHECK(book.herd->does.size() == 1);
  CHECK(book.herd->sires.size() == 1);
}

TEST_CASE("a lone file has its own name in complaints, those of check() included") {
  const Folder folder("doewright lone file");
  folder.write("my goats.csv", "id,sire,dam,born\nA,B,C,2020\nB,,,2021\nC,,x,03/04/21\n");
  ReadOptions options;
  options.today = *date_of(2026, 9, 15);
  const HerdBook book = read_herd_book(folder.path() + "/my goats.csv", options);
  CHECK(book.errors_total == 2);
  for (const Problem& problem : book.problems) CHECK(problem.file == "my goats.csv");
}

TEST_CASE("what is not there, and what cannot be read") {
  const Folder folder("doewright odd paths");
  ReadOptions options;
  CHECK_THROWS_AS(read_herd_book(folder.path() + "/nothing", options), NotFound);
  CHECK_THROWS_AS(read_herd_book(folder.path(), options), NotFound);  // no animals.csv in it
  fs::create_directory(folder.path() + "/animals.csv");
  CHECK_THROWS_AS(read_herd_book(folder.path(), options), FileError);
  CHECK_THROWS_AS(read_herd_book("", options), NotFound);
}

TEST_CASE("reading stops on request") {
  std::string text = "id,dam\n";
  for (int i = 0; i < 50'000; ++i) text += fmt::format("K{},K{}\n", i + 1, i);
  BookTexts book;
  book.animals = FileText::of(text);
  std::stop_source stop;
  stop.request_stop();
  Run run;
  run.stop = stop.get_token();
  CHECK_THROWS_AS(read_texts(std::move(book), {}, run), Cancelled);
}
