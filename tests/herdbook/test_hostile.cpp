// SPDX-License-Identifier: MIT
/// Any bytes at all end in complaints or in a herd, never in a crash; and big ones end.
#include <random>

#include <doctest/doctest.h>

#include <doewright/core/text.hpp>

#include "book_in_memory.hpp"

using namespace doewright;

namespace {

const Texts good_book = {
    {Table::animals,
     "id,sire,dam,sex,born,name,breed,horns,litter,left,left_why,owner\n"
     "B1,,,buck,2019-02-01,\"Ash, the elder\",boer:3/4 nubian:1/4,horned,,,,\n"
     "B2,,,buck,2020-03,,boer,polled,,,,Elm\nD1,B1,,doe,2021,,,,,,,\nK1,,D1,doe,2023-03-01,,,,,,,\n"
     "K2,,D1,buck,2023-03-02,,,,,2024-01-01,sold,\n"},
    {Table::possible_sires,
     "kid,sire,probability,litter\nK1,B1,0.5,\nK1,B2,,\nK2,B1,0.5,\nK2,B2,,\n"},
    {Table::examinations, "animal,teats,topline,age,date\nD1,no,weak,,2022-01-01\nK1,yes,,90,\n"},
    {Table::kid_counts, "sire,fault,examined,affected,dam,word\nB1,teats,9,1,,told\n"},
    {Table::gene_tests, "animal,fault,result\nB1,mannosidosis,clear\n"},
    {Table::records, "animal,trait,value\nK1,weaning_weight,17.5\n"},
    {Table::health_tests, "animal,disease,result\nB1,CAE,negative\n"},
    {Table::heats, "doe,date\nD1,2022-09-01\n"},
    {Table::services, "doe,sire,from,to,how\nD1,B1,2022-10-02,,seen\nD1,B2,2022-10-03,,seen\n"},
    {Table::pregnancy_checks, "doe,date,result,how\nD1,2022-12-01,in kid,scan\n"},
    {Table::kiddings, "doe,date,kids_born,help\nD1,2023-03-01,2,none\n"},
    {Table::does, "doe,kids_for,weight_lb,not_sires\nD1,keep,120,B1;B2\n"},
    {Table::sires, "sire,terms,fee\nB2,hired,100\n"},
};

/// Reads in every way and looks at every complaint.
void read_any(const Texts& texts) {
  ReadOptions options;
  for (const bool set_aside : {false, true}) {
    options.set_aside = set_aside;
    options.questions = set_aside;
    options.fill_lists = set_aside;
    if (set_aside) options.as_of = *date_of(2023, 1, 1);
    const HerdBook book = read_book(texts, options);
    CHECK((book.herd || book.errors_total > 0));
    for (const Problem& problem : book.problems) {
      CHECK_FALSE(problem.code.empty());
      CHECK_FALSE(has_control(to_text(problem)));
    }
  }
}

}  // namespace

TEST_CASE("the book that is spoilt below has no slip itself") {
  CHECK(all_said(read_book(good_book)) == "");
}

TEST_CASE("every table cut off at every byte") {
  for (const auto& [table, text] : good_book) {
    CAPTURE(file_name(table));
    Texts texts = good_book;
    for (std::size_t size = 0; size < text.size(); ++size) {
      CAPTURE(size);
      texts[table] = text.substr(0, size);
      read_any(texts);
    }
  }
}

TEST_CASE("bytes changed, doubled and left out at random") {
  const unsigned seed = 20260915;
  CAPTURE(seed);
  std::mt19937 random(seed);  // the same numbers everywhere, by the standard
  static constexpr char odd_bytes[] = "\",;\n\r\t\0\xFF\xC3/-. 9aA?";
  const std::string_view odd(odd_bytes, sizeof odd_bytes - 1);
  for (int round = 0; round < 1500; ++round) {
    CAPTURE(round);
    Texts texts = good_book;
    auto spoilt = texts.begin();
    std::advance(spoilt, random() % texts.size());
    std::string& text = spoilt->second;
    for (auto n = 1 + random() % 5; n > 0; --n) {
      if (text.empty()) break;
      const std::size_t at = random() % text.size();
      switch (random() % 4) {
        case 0:
          text[at] = odd[random() % odd.size()];
          break;
        case 1:
          text.insert(at, 1, odd[random() % odd.size()]);
          break;
        case 2:
          text.insert(at, text.substr(random() % text.size(), random() % 30));
          break;
        default:
          text.erase(at, 1 + random() % 3);
          break;
      }
      if (text.empty()) text = "x";
    }
    read_any(texts);
  }
}

TEST_CASE("random bytes behind a good header") {
  const unsigned seed = 7;
  CAPTURE(seed);
  std::mt19937 random(seed);
  for (int round = 0; round < 300; ++round) {
    CAPTURE(round);
    Texts texts = good_book;
    for (auto& [table, text] : texts) {
      text.resize(text.find('\n') + 1);
      for (auto n = random() % 60; n > 0; --n) text += static_cast<char>(random() % 256);
    }
    read_any(texts);
  }
}

TEST_CASE("two hundred thousand rows, and shapes that would take forever in a careless reader") {
  const auto rows = [](std::string text, int count, auto row) {
    for (int i = 0; i < count; ++i) text += row(i);
    return text;
  };
  SUBCASE("a long line of dams, children first") {
    const HerdBook book = read_book(
        {{Table::animals, rows("id,dam\n", 200'000, [](int i) {
            return fmt::format("G{},{}\n", i, i == 199'999 ? "" : fmt::format("G{}", i + 1));
          })}});
    REQUIRE(book.herd);
    CHECK(book.herd->pedigree.size() == 200'000);
  }
  SUBCASE("a quote on every line, and one of them has no partner") {
    CHECK(read_book({{Table::animals, rows("id,note\n", 199'999,
                                           [](int i) { return fmt::format("G{},\"\n", i); })}})
              .errors_total > 0);
  }
  SUBCASE("a header of very many columns") {
    CHECK(read_book(
              {{Table::animals, rows("id", 50'000, [](int i) { return fmt::format(",x{}", i); })}})
              .warnings_total >= 50'000);
  }
  SUBCASE("one id in every row") {
    const HerdBook book =
        read_book({{Table::animals,
                    rows("id,name\n", 50'000, [](int i) { return fmt::format("G,{}\n", i); })}});
    CHECK(book.errors_total == 49'999);
  }
  SUBCASE("one dam with very many kids of uncertain sire") {
    const HerdBook book = read_book(
        {{Table::animals, rows("id,dam,born\nD,,\nB1,,\nB2,,\n", 20'000,
                               [](int i) { return fmt::format("K{},D,{}\n", i, 1900 + i % 120); })},
         {Table::possible_sires, rows("kid,sire\n", 40'000, [](int i) {
            return fmt::format("K{},B{}\n", i / 2, 1 + i % 2);
          })}});
    REQUIRE(book.herd);
    CHECK(book.herd->pedigree.stand_ins() == 120);
  }
  SUBCASE("one doe on very many rows of does.csv") {
    CHECK(read_book({{Table::animals, "id\nD\n"},
                     {Table::does,
                      rows("doe,note\n", 50'000, [](int i) { return fmt::format("D,{}\n", i); })}})
              .errors_total == 49'999);
  }
}
