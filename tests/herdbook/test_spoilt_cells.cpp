// SPDX-License-Identifier: MIT
/// A good book on disk, written in every manner RFC 4180 allows, in which one cell is spoilt: that
/// cell and nothing else must be complained of, with its code, line, column and animal. The places
/// come from the writer, not from the reader.
#include <map>
#include <optional>
#include <random>

#include <doctest/doctest.h>

#include <fmt/format.h>

#include "book_folder.hpp"
#include "book_in_memory.hpp"
#include "written_table.hpp"

using namespace doewright;

namespace {

using Book = std::map<std::string, CellRows>;

/// Every table and every column, each cell of it used. Wren is named in animals.csv only.
const Book good_book = {
    {"animals.csv",
     {{"id", "sire", "dam", "sex", "born", "name", "breed", "horns", "litter", "left", "left_why",
       "owner", "breeder", "tags", "registration", "also", "colour", "note"},
      {"Wren", "Öre; Ö, 1", "007", "doe", "2023-03-01", "Wren", "boer", "horned", "w", "2025-01",
       "sold", "Elm", "Elm", "t-1", "r-1", "the small one", "grey", "two\nlines, \"and\" more"},
      {"Öre; Ö, 1", "", "", "buck", "2019-02", "", "boer:3/4 nubian:1/4", "polled", "", "", "", "",
       "", "", "", "", "", ""},
      {"007", "", "", "doe", "2020", "", "", "", "", "", "", "", "", "", "", "", "", ""},
      {"山羊", "", "007", "buck", "2024-03-01", "", "", "", "", "", "", "", "", "", "", "", "",
       ""}}},
    {"possible_sires.csv",
     {{"kid", "sire", "probability", "litter"},
      {"山羊", "Öre; Ö, 1", "0.25", "x"},
      {"山羊", "?", "0.75", "x"}}},
    {"examinations.csv",
     {{"animal", "fault", "found", "date", "age", "by", "note"},
      {"007", "teats", "minor", "2021-01-05", "kidding", "Elm", "left, \"double\""},
      {"Öre; Ö, 1", "mannosidosis", "no", "2021", "400", "", ""}}},
    {"kid_counts.csv",
     {{"sire", "fault", "examined", "affected", "dam", "sex", "date", "word", "source"},
      {"Öre; Ö, 1", "teats", "12", "3", "", "buck", "2022-05", "told", "letter; 2022"}}},
    {"gene_tests.csv",
     {{"animal", "fault", "result", "date", "laboratory"},
      {"007", "mannosidosis", "carrier", "2021-06-01", "L"}}},
    {"records.csv",
     {{"animal", "trait", "value", "date", "group", "parity", "age_days"},
      {"007", "weaning_weight", "17.5", "2020-12-01", "g, 1", "1", "90"}}},
    {"health_tests.csv",
     {{"animal", "disease", "result", "date", "laboratory"},
      {"007", "CAE", "negative", "2026-01-01", "L"}}},
    {"heats.csv", {{"doe", "date"}, {"007", "2025-09-01"}}},
    {"services.csv",
     {{"doe", "sire", "from", "to", "how"},
      {"007", "Öre; Ö, 1", "2025-09-22", "2025-09-23", "visit"}}},
    {"pregnancy_checks.csv",
     {{"doe", "date", "result", "how", "kids", "days"},
      {"007", "2025-11-22", "in kid", "scan", "2", "60"}}},
    {"kiddings.csv",
     {{"doe", "date", "kids_born", "kids_alive", "kids_raised", "help", "sire", "note"},
      {"007", "2022-03-01", "2", "2", "1", "none", "Öre; Ö, 1", "at \"night\""}}},
    {"does.csv",
     {{"doe", "kids_for", "weight_kg", "weighed", "grown_weight_kg", "condition", "decision",
       "sire", "not_sires", "note"},
      {"007", "keep", "55.5", "2026-09-01", "60", "3.5", "go", "Öre; Ö, 1", "山羊", ""}}},
    {"sires.csv",
     {{"sire", "terms", "from", "to", "most_does", "fee", "fee_per_doe", "cost_per_day", "haul",
       "tests_cost", "value_if_lost", "straws", "semen", "served", "settled", "conception", "owner",
       "note"},
      {"Öre; Ö, 1", "hired", "2026-10-01", "2026-11-15", "20", "100", "5", "1.5", "30", "40", "500",
       "3", "frozen", "20", "17", "0.8", "Elm", "calm; big"}}},
};

struct Spoil {
  std::string file, column, text, code;
};

/// In the first row of the table.
const std::vector<Spoil> spoils = {
    {"animals.csv", "id", "", "id-empty"},
    {"animals.csv", "id", "W\x01ren", "id-control"},
    {"animals.csv", "id", "Wren\xE2\x80\xAE", "id-control"},
    {"animals.csv", "id", "W\nren", "id-control"},
    {"animals.csv", "sire", "O\x1B[2J", "id-control"},
    {"animals.csv", "dam", "\xE2\x81\xA6", "id-control"},
    {"animals.csv", "sex", "dow", "word-unknown"},
    {"animals.csv", "born", "2023-02-29", "date-impossible"},
    {"animals.csv", "born", "2023-13", "date-impossible"},
    {"animals.csv", "born", "03/04/21", "date-form"},
    {"animals.csv", "born", "1.3.2023", "date-form"},
    {"animals.csv", "born", "soon", "date-form"},
    {"animals.csv", "breed", "boer:3/4", "number-form"},
    {"animals.csv", "horns", "some", "word-unknown"},
    {"animals.csv", "left", "2025-00", "date-impossible"},
    {"animals.csv", "left", "2026-09-16", "date-future"},
    {"animals.csv", "left_why", "eaten", "word-unknown"},
    {"possible_sires.csv", "kid", "", "id-empty"},
    {"possible_sires.csv", "sire", "\x7F", "id-control"},
    {"possible_sires.csv", "probability", "-0.25", "negative"},
    {"possible_sires.csv", "probability", "0,25", "number-form"},
    {"possible_sires.csv", "probability", "half", "number-form"},
    {"examinations.csv", "animal", "", "id-empty"},
    {"examinations.csv", "animal", "?", "id-empty"},
    {"examinations.csv", "fault", "teat", "fault-unknown"},
    {"examinations.csv", "fault", "", "fault-unknown"},
    {"examinations.csv", "found", "bad", "grade-unknown"},
    {"examinations.csv", "date", "2021-01-32", "date-impossible"},
    {"examinations.csv", "date", "2026-10", "date-future"},
    {"examinations.csv", "age", "weening", "word-unknown"},
    {"examinations.csv", "age", "-1", "negative"},
    {"examinations.csv", "age", "2.5", "number-form"},
    {"kid_counts.csv", "sire", "", "id-empty"},
    {"kid_counts.csv", "fault", "teet", "fault-unknown"},
    {"kid_counts.csv", "examined", "-12", "negative"},
    {"kid_counts.csv", "examined", "1e99", "number-form"},
    {"kid_counts.csv", "affected", "13", "number-form"},
    {"kid_counts.csv", "affected", "3.5", "number-form"},
    {"kid_counts.csv", "affected", "", "number-form"},
    {"kid_counts.csv", "sex", "wether", "word-unknown"},
    {"kid_counts.csv", "date", "2027", "date-future"},
    {"kid_counts.csv", "word", "heard", "word-unknown"},
    {"gene_tests.csv", "animal", "", "id-empty"},
    {"gene_tests.csv", "fault", "teats", "test-for-threshold"},
    {"gene_tests.csv", "fault", "manosidosis", "fault-unknown"},
    {"gene_tests.csv", "result", "free", "word-unknown"},
    {"gene_tests.csv", "result", "3", "word-unknown"},
    {"gene_tests.csv", "date", "06/21", "date-form"},
    {"records.csv", "animal", "\x02", "id-control"},
    {"records.csv", "value", "17,5", "number-form"},
    {"records.csv", "value", "nan", "number-form"},
    {"records.csv", "value", "-inf", "number-form"},
    {"records.csv", "value", "1e309", "number-form"},
    {"records.csv", "value", "17.5 kg", "number-form"},
    {"records.csv", "date", "2027-01-01", "date-future"},
    {"records.csv", "parity", "-1", "negative"},
    {"records.csv", "age_days", "90.5", "number-form"},
    {"health_tests.csv", "animal", "", "id-empty"},
    {"health_tests.csv", "date", "2026-02-30", "date-impossible"},
    {"heats.csv", "doe", "-", "id-empty"},
    {"heats.csv", "date", "", "date-form"},
    {"heats.csv", "date", "2026-09-16", "date-future"},
    {"services.csv", "doe", "", "id-empty"},
    {"services.csv", "sire", "", "id-empty"},
    {"services.csv", "from", "", "date-form"},
    {"services.csv", "from", "2026-12-01", "date-future"},
    {"services.csv", "to", "2026-12-01", "date-future"},
    {"services.csv", "to", "2025-09-21", "date-impossible"},
    {"services.csv", "how", "field", "word-unknown"},
    {"pregnancy_checks.csv", "doe", "", "id-empty"},
    {"pregnancy_checks.csv", "date", "x", "date-form"},
    {"pregnancy_checks.csv", "result", "pregnant", "word-unknown"},
    {"pregnancy_checks.csv", "how", "eye", "word-unknown"},
    {"pregnancy_checks.csv", "kids", "-2", "negative"},
    {"pregnancy_checks.csv", "days", "two", "number-form"},
    {"kiddings.csv", "doe", "", "id-empty"},
    {"kiddings.csv", "date", "", "date-form"},
    {"kiddings.csv", "kids_born", "-2", "negative"},
    {"kiddings.csv", "kids_alive", "3", "number-form"},
    {"kiddings.csv", "kids_raised", "1.5", "number-form"},
    {"kiddings.csv", "help", "lots", "word-unknown"},
    {"does.csv", "doe", "", "id-empty"},
    {"does.csv", "kids_for", "milk", "word-unknown"},
    {"does.csv", "weight_kg", "-1", "negative"},
    {"does.csv", "weight_kg", "55,5", "number-form"},
    {"does.csv", "weighed", "1/9/26", "date-form"},
    {"does.csv", "grown_weight_kg", "big", "number-form"},
    {"does.csv", "condition", "6", "number-form"},
    {"does.csv", "decision", "perhaps", "word-unknown"},
    {"sires.csv", "sire", "", "id-empty"},
    {"sires.csv", "terms", "lent", "word-unknown"},
    {"sires.csv", "from", "10/2026", "date-form"},
    {"sires.csv", "to", "2026-09-30", "date-impossible"},
    {"sires.csv", "most_does", "1.5", "number-form"},
    {"sires.csv", "fee", "-100", "negative"},
    {"sires.csv", "fee_per_doe", "-5", "negative"},
    {"sires.csv", "cost_per_day", "1,5", "number-form"},
    {"sires.csv", "haul", "-30", "negative"},
    {"sires.csv", "tests_cost", "-4e1", "negative"},
    {"sires.csv", "value_if_lost", "-0.01", "negative"},
    {"sires.csv", "straws", "-3", "negative"},
    {"sires.csv", "semen", "warm", "word-unknown"},
    {"sires.csv", "served", "16", "number-form"},
    {"sires.csv", "settled", "-17", "negative"},
    {"sires.csv", "conception", "80", "number-form"},
};

std::size_t column_of(const CellRows& rows, const std::string& name) {
  const auto found = std::find(rows[0].begin(), rows[0].end(), name);
  REQUIRE(found != rows[0].end());
  return static_cast<std::size_t>(found - rows[0].begin());
}

/// Columns that name the animal a row is about: when such a cell is spoilt, no animal is named,
/// unless the mark itself is what was written.
bool is_subject(const std::string& column) {
  return column == "id" || column == "kid" || column == "animal" || column == "doe";
}

/// A count that is in order alone: the complaint stands where the second of the two is.
std::string place_of(const Spoil& spoil) {
  return spoil.column == "served" ? "settled" : spoil.column;
}

/// Of a spoilt mark "not known" the complaint names what stands there.
std::string animal_of(const Spoil& spoil, const CellRows& rows) {
  if (spoil.text == "?" || spoil.text == "-") return spoil.text;
  const bool subject = is_subject(spoil.column) || rows[0][0] == spoil.column;
  return subject ? "" : rows[1][0];
}

class SpoiltBook {
 public:
  /// Lays the good book out, each table in a manner of its own.
  explicit SpoiltBook(std::mt19937& random) : random_(random) {
    for (const auto& [file, rows] : good_book) write(file, rows);
  }

  WrittenTable write(const std::string& file, const CellRows& rows) {
    const Manner manner = Manner::any(random_);
    WrittenTable table = TableWriter(manner, random_).write(rows);
    folder_.with(file, table.text);
    return table;
  }
  void mend(const std::string& file) { write(file, good_book.at(file)); }
  const BookFolder& folder() const { return folder_; }

 private:
  std::mt19937& random_;
  BookFolder folder_;
};

/// What is said without the one mark that the good book holds.
std::string said_of(const HerdBook& book) {
  Lines lines_said;
  for (const Problem& problem : book.problems) {
    if (problem.code != "unknown-mark") lines_said.push_back(short_form(problem));
  }
  return lines(lines_said);
}

}  // namespace

TEST_CASE("the book that is spoilt below has no slip itself, however it is written") {
  const unsigned seed = 20260916;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 50; ++round) {
    CAPTURE(round);
    const HerdBook book = SpoiltBook(random).folder().read();
    REQUIRE(said_of(book) == "");
    REQUIRE(book.herd);
    CHECK(book.problems.size() == 1);
    CHECK(book.herd->pedigree.size() == 4);
    CHECK(book.herd->animals.note[animal(book, "Wren")] == "two\nlines, \"and\" more");
    CHECK(book.herd->examinations.size() == 2);
    CHECK(book.herd->kid_counts.at(0).source == "letter; 2022");
    CHECK(book.herd->records.at(0).value == 17.5);
    CHECK(book.herd->sires.at(0).conception == 0.8);
  }
}

TEST_CASE("one cell spoilt: it is named by code, line, column and animal, and nothing else is") {
  const unsigned seed = 20260917;
  CAPTURE(seed);
  std::mt19937 random(seed);
  SpoiltBook book(random);
  for (const Spoil& spoil : spoils) {
    for (int round = 0; round < 5; ++round) {
      CAPTURE(spoil.file);
      CAPTURE(spoil.column);
      CAPTURE(spoil.text);
      CAPTURE(round);
      CellRows rows = good_book.at(spoil.file);
      rows[1][column_of(rows, spoil.column)] = spoil.text;
      const WrittenTable table = book.write(spoil.file, rows);
      const WrittenPlace place = table.places[1][column_of(rows, place_of(spoil))];
      std::string expected =
          fmt::format("error {} {}:{}:{}", spoil.code, spoil.file, place.line, place.column);
      if (const std::string who = animal_of(spoil, good_book.at(spoil.file)); !who.empty()) {
        expected += " " + who;
      }
      const HerdBook stopped = book.folder().read();
      CHECK(said_of(stopped) == expected);
      CHECK_FALSE(stopped.herd);
      CHECK(stopped.errors_total == 1);

      ReadOptions options;
      options.set_aside = true;
      const HerdBook aside = book.folder().read(options);
      CHECK(said_of(aside) == expected);
      REQUIRE(aside.herd);
      CHECK(aside.set_aside == 1);
    }
    book.mend(spoil.file);
  }
}

TEST_CASE("a field too few or too many: the row is named, without a column and an animal") {
  const unsigned seed = 20260918;
  CAPTURE(seed);
  std::mt19937 random(seed);
  SpoiltBook book(random);
  for (const auto& [file, good_rows] : good_book) {
    for (const bool is_short : {true, false}) {
      CAPTURE(file);
      CAPTURE(is_short);
      CellRows rows = good_rows;
      CellRows::value_type extra(rows[0].size() + (is_short ? 0 : 1), "x");
      if (is_short) extra.pop_back();
      rows.push_back(extra);
      const WrittenTable table = book.write(file, rows);
      CHECK(said_of(book.folder().read()) == fmt::format("error row-{} {}:{}:0",
                                                         is_short ? "short" : "long", file,
                                                         table.begins.back().line));
    }
    book.mend(file);
  }
}

TEST_CASE("every row of a side table twice: read once, with a warning at the second") {
  const unsigned seed = 20260919;
  CAPTURE(seed);
  std::mt19937 random(seed);
  SpoiltBook book(random);
  for (const auto& [file, good_rows] : good_book) {
    CAPTURE(file);
    const bool is_animals = file == "animals.csv";
    CellRows rows = good_rows;
    rows.push_back(good_rows[1]);
    const WrittenTable table = book.write(file, rows);
    const WrittenPlace place = table.places.back()[0];
    const HerdBook twice = book.folder().read();
    CHECK(said_of(twice) ==
          (is_animals
               ? fmt::format("warning id-twice {}:{}:{} Wren", file, place.line, place.column)
               : fmt::format("warning record-twice {}:{}:0", file, place.line)));
    REQUIRE(twice.herd);
    CHECK(twice.herd->kid_counts.size() == 1);
    CHECK(twice.herd->records.size() == 1);
    book.mend(file);
  }
}
