// SPDX-License-Identifier: MIT
/// possible_sires.csv: the chances that are used, and which kids share one draw of the sire
/// (DEFINITIONS 1).
#include <doctest/doctest.h>

#include "book_in_memory.hpp"

using namespace doewright;

namespace {

/// "B1 0.6, B2 0.4" as the pedigree uses it.
std::string chances(const HerdBook& book, std::string_view kid) {
  std::string text;
  for (const SireChance& chance : book.herd->pedigree.possible_sires(animal(book, kid))) {
    text += fmt::format("{}{} {:.4g}", text.empty() ? "" : ", ", book.herd->ids[chance.sire],
                        chance.probability);
  }
  return text;
}

/// Do these kids have one and the same unsure sire?
bool share_a_draw(const HerdBook& book, std::string_view a, std::string_view b) {
  const auto slots = book.herd->pedigree.sire_slots();
  const std::uint32_t of_a = slots[animal(book, a).position],
                      of_b = slots[animal(book, b).position];
  REQUIRE(Pedigree::is_stand_in(of_a));
  REQUIRE(Pedigree::is_stand_in(of_b));
  return of_a == of_b;
}

const std::string bucks = "B1,,,\nB2,,,\nB3,,,\nD1,,,\nD2,,,\n";

/// Kids K1 and K2 of D1, born on these days, both by B1 or B2.
HerdBook two_kids(std::string_view born_1, std::string_view born_2, Texts others = {}) {
  others[Table::animals] =
      fmt::format("id,dam,born,litter\n{}K1,D1,{},\nK2,D1,{},\n", bucks, born_1, born_2);
  others.try_emplace(Table::possible_sires,
                     "kid,sire,probability\nK1,B1,0.6\nK1,B2,0.4\nK2,B2,0.4\nK2,B1,0.6\n");
  HerdBook book = read_book(others);
  REQUIRE(book.herd);
  return book;
}

}  // namespace

TEST_CASE("blank chances share what is left; more than 1 is rescaled; less is left over") {
  const HerdBook book =
      read_book({{Table::animals,
                  "id,dam,born,litter\n" + bucks + "K1,,,\nK2,,,\nK3,,,\nK4,,,\nK5,,,\nK6,,,\n"},
                 {Table::possible_sires,
                  "kid,sire,probability\nK1,B1,0.5\nK1,B2,\nK1,B3,\nK2,B1,1\nK2,B2,0.6\nK3,B1,0.7\n"
                  "K4,B1,\nK5,B1,0.5\nK5,?,\nK6,B1,\nK6,B2,\nK6,unknown,\n"}});
  REQUIRE(book.herd);
  CHECK(chances(book, "K1") == "B1 0.5, B2 0.25, B3 0.25");
  CHECK(chances(book, "K2") == "B1 0.625, B2 0.375");
  CHECK(chances(book, "K3") == "B1 0.7");
  CHECK(chances(book, "K4") == "B1 1");  // he is the sire
  CHECK(book.herd->pedigree.sire(animal(book, "K4")) == animal(book, "B1"));
  CHECK(chances(book, "K5") == "B1 0.5");
  CHECK(chances(book, "K6") == "B1 0.3333, B2 0.3333");
  CHECK(
      all_said(book) ==
      "warning chance-sum possible_sires.csv:5:1 K2\nwarning unknown-mark possible_sires.csv:10:4");

  // Beside the pedigree the rows stand as they are used.
  REQUIRE(book.herd->possible_sires.size() == 10);
  CHECK(book.herd->possible_sires[1].probability == 0.25);
  CHECK(book.herd->possible_sires[1].row == Row{Table::possible_sires, 3});
}

TEST_CASE("kids of one dam born within two days share a draw") {
  CHECK(share_a_draw(two_kids("2024-03-07", "2024-03-07"), "K1", "K2"));
  CHECK(share_a_draw(two_kids("2024-03-07", "2024-03-09"), "K1", "K2"));
  CHECK(share_a_draw(two_kids("2024-03-01", "2024-02-29"), "K1", "K2"));
  CHECK_FALSE(share_a_draw(two_kids("2024-03-07", "2024-03-10"), "K1", "K2"));
  CHECK_FALSE(share_a_draw(two_kids("2024-03-07", "2023-03-07"), "K1", "K2"));
  CHECK_FALSE(share_a_draw(two_kids("2024-03-07", ""), "K1", "K2"));
}

TEST_CASE("births by year only: the same year, if she kidded no more than once in it") {
  CHECK(share_a_draw(two_kids("2024", "2024"), "K1", "K2"));
  CHECK(share_a_draw(two_kids("2024", "2024-03-07"), "K1", "K2"));
  CHECK(share_a_draw(two_kids("2024-03", "2024-03-07"), "K1", "K2"));
  CHECK_FALSE(share_a_draw(two_kids("2024", "2023"), "K1", "K2"));
  CHECK_FALSE(share_a_draw(two_kids("2024-04", "2024-03-07"), "K1", "K2"));
  const auto kiddings = [](std::string_view rows) {
    return Texts{{Table::kiddings, fmt::format("doe,date\n{}", rows)}};
  };
  CHECK(share_a_draw(two_kids("2024", "2024", kiddings("D1,2024-02-01\n")), "K1", "K2"));
  CHECK(share_a_draw(two_kids("2024", "2024", kiddings("D1,2024-02-01\nD1,2024-02-01\n")), "K1",
                     "K2"));
  CHECK_FALSE(
      share_a_draw(two_kids("2024", "2024", kiddings("D1,2024-01\nD1,2024-12-20\n")), "K1", "K2"));
  CHECK(
      share_a_draw(two_kids("2024", "2024", kiddings("D2,2024-01\nD2,2024-12-20\n")), "K1", "K2"));
}

TEST_CASE("a kid that may be of two litters draws for itself") {
  const HerdBook book =
      read_book({{Table::animals,
                  "id,dam,born,litter\n" + bucks +
                      "K1,D1,2024-01-05,\nK2,D1,2024-12-20,\nK3,D1,2024,\nK4,D1,2024-12-21,\n"},
                 {Table::possible_sires,
                  "kid,sire\nK1,B1\nK1,B2\nK2,B1\nK2,B2\nK3,B1\nK3,B2\nK4,B1\nK4,B2\n"}});
  REQUIRE(book.herd);
  CHECK_FALSE(share_a_draw(book, "K1", "K3"));
  CHECK_FALSE(share_a_draw(book, "K2", "K3"));
  CHECK(share_a_draw(book, "K2", "K4"));
}

TEST_CASE("two listed bucks with her within two days of each other: each kid draws for itself") {
  const auto with_services = [](std::string_view rows) {
    const HerdBook book =
        two_kids("2024-03-07", "2024-03-07",
                 {{Table::services, fmt::format("doe,sire,from,to,how\n{}", rows)}});
    return share_a_draw(book, "K1", "K2");
  };
  CHECK_FALSE(with_services("D1,B1,2023-10-08,,seen\nD1,B2,2023-10-10,,seen\n"));
  CHECK(with_services("D1,B1,2023-10-08,,seen\nD1,B2,2023-10-11,,seen\n"));
  CHECK_FALSE(with_services("D1,B2,2023-10-12,,seen\nD1,B1,2023-09-01,2023-10-10,pen\n"));
  CHECK_FALSE(with_services("D1,B1,2022-01-01,,pen\nD1,B2,2023-10-12,,seen\n"));  // still running
  CHECK(with_services("D1,B1,2023-10-08,,seen\nD1,B1,2023-10-09,,seen\n"));       // one buck twice
  CHECK(
      with_services("D1,B1,2023-10-08,,seen\nD1,B3,2023-10-09,,seen\n"));  // B3 is not on the list
  CHECK(with_services("D2,B1,2023-10-08,,seen\nD2,B2,2023-10-09,,seen\n"));  // another doe
  CHECK(with_services("D1,B1,2023-08-01,,seen\nD1,B2,2023-08-01,,seen\n"));  // over 200 days before
  CHECK(with_services("D1,B1,2024-05-01,,seen\nD1,B2,2024-05-01,,seen\n"));  // after the birth
  // A longer stay of the one does not hide that of the other.
  CHECK_FALSE(with_services(
      "D1,B1,2023-10-01,2023-10-20,pen\nD1,B1,2023-10-05,,seen\nD1,B2,2023-10-18,,seen\n"));
}

TEST_CASE("the litter's own entry wins over dates and services") {
  const Texts both_served = {
      {Table::services, "doe,sire,from,to,how\nD1,B1,2023-10-08,,seen\nD1,B2,2023-10-08,,seen\n"}};
  Texts same = both_served;
  same[Table::possible_sires] =
      "kid,sire,probability,litter\nK1,B1,.6,L\nK1,B2,.4,\nK2,B1,.6,L\nK2,B2,.4,L\n";
  CHECK(share_a_draw(two_kids("2024-03-07", "2024-06-07", same), "K1", "K2"));
  CHECK_FALSE(share_a_draw(two_kids("2024-03-07", "2024-03-07",
                                    {{Table::possible_sires,
                                      "kid,sire,probability,litter\nK1,B1,.6,L\nK1,B2,.4,L\n"
                                      "K2,B1,.6,M\nK2,B2,.4,M\n"}}),
                           "K1", "K2"));
}

TEST_CASE("one entry of a litter is one and the same sire, whoever the dams are") {
  const HerdBook book = read_book(
      {{Table::animals, "id,dam,born,litter\n" + bucks +
                            "K1,D1,2024-03-07,7\nK2,D2,2024-03-20,7\nK3,D1,2023-03-07,7\n"
                            "K4,D2,2023-06-07,8\n"},
       {Table::possible_sires,
        "kid,sire,probability,litter\nK1,B1,.6,L\nK1,B2,.4,\nK2,B1,.6,L\nK2,B2,.4,L\n"
        "K3,B1,.6,\nK3,B2,.4,\nK4,B1,.6,\nK4,B2,.4,\n"}});
  REQUIRE(book.herd);
  CHECK(book.warnings_total == 0);
  CHECK(share_a_draw(book, "K1", "K2"));
  CHECK(share_a_draw(book, "K1", "K3"));  // of one litter in animals.csv: K1's entry is its own too
  CHECK_FALSE(share_a_draw(book, "K1", "K4"));
}

TEST_CASE("the column litter of animals.csv makes litter mates") {
  const auto read = [](std::string_view dam, std::string_view litter) {
    HerdBook book =
        read_book({{Table::animals,
                    fmt::format("id,dam,born,litter\n{}K1,D1,2024-03-07,7\nK2,{},2024-06-07,{}\n",
                                bucks, dam, litter)},
                   {Table::possible_sires, "kid,sire\nK1,B1\nK1,B2\nK2,B1\nK2,B2\n"}});
    REQUIRE(book.herd);
    return share_a_draw(book, "K1", "K2");
  };
  CHECK(read("D1", "7"));
  CHECK_FALSE(read("D1", "8"));
  CHECK_FALSE(read("D2", "7"));  // another dam
}

TEST_CASE("litter mates whose lists differ draw each for itself, with a warning") {
  const HerdBook book =
      two_kids("2024-03-07", "2024-03-07",
               {{Table::possible_sires,
                 "kid,sire,probability\nK1,B1,0.6\nK1,B2,0.4\nK2,B1,0.5\nK2,B2,0.5\n"}});
  CHECK_FALSE(share_a_draw(book, "K1", "K2"));
  CHECK(book.warnings_total == 1);
  CHECK(book.problems[0].code == "litter-lists");
}

TEST_CASE("kids without a dam, or by another dam, draw for themselves") {
  const HerdBook book =
      read_book({{Table::animals, "id,dam,born,litter\n" + bucks +
                                      "K1,,2024-03-07,\nK2,,2024-03-07,\nK3,D1,2024-03-07,\n"},
                 {Table::possible_sires, "kid,sire\nK1,B1\nK1,B2\nK2,B1\nK2,B2\nK3,B1\nK3,B2\n"}});
  REQUIRE(book.herd);
  CHECK_FALSE(share_a_draw(book, "K1", "K2"));
  CHECK_FALSE(share_a_draw(book, "K1", "K3"));
}
