// SPDX-License-Identifier: MIT
/// What is read from animals.csv.
#include <doctest/doctest.h>

#include "book_in_memory.hpp"

using namespace doewright;

namespace {

HerdBook read_animals(std::string text) {
  return read_book({{Table::animals, std::move(text)}});
}

}  // namespace

TEST_CASE("every column of an animal") {
  const HerdBook book = read_animals(
      "id,sire,dam,sex,born,name,breed,horns,litter,left,left_why,owner,breeder,tags,registration,"
      "also,colour,note\n"
      "D1,B1,D0,F,2022-03-07,Hazel,Boer,Horned,L1,2024-05,sold,own,Ash Farm,ZZ 1,R-1,Hazy; Haz,red,"
      "\"says \"\"baa\"\"\"\n"
      "B1,,,buck,2020,,,polled,,,,,,,,,,\n"
      "D0,,,doe,,,,,,,died,Elm Farm,,,,,,\n");
  CHECK(all_said(book) == "");
  REQUIRE(book.herd);
  const Herd& herd = *book.herd;
  const AnimalFacts& facts = herd.animals;
  const Animal doe = animal(book, "D1"), buck = animal(book, "B1"), dam = animal(book, "D0");
  CHECK(herd.pedigree.sire(doe) == buck);
  CHECK(herd.pedigree.dam(doe) == dam);
  CHECK(facts.line[doe.position] == 2);
  CHECK(facts.line[buck.position] == 3);
  CHECK(facts.sex[doe.position] == Sex::doe);
  CHECK(facts.sex[buck.position] == Sex::buck);
  CHECK(to_text(facts.born[doe.position]) == "2022-03-07");
  CHECK(to_text(facts.born[buck.position]) == "2020");
  CHECK_FALSE(facts.born[dam.position].known());
  CHECK(facts.horns[doe.position] == Horns::horned);
  CHECK(facts.horns[buck.position] == Horns::polled);
  CHECK(facts.horns[dam.position] == Horns::unknown);
  CHECK(facts.gone[doe.position]);
  CHECK_FALSE(facts.gone[buck.position]);
  CHECK(facts.gone[dam.position]);  // died, nobody knows when
  CHECK(to_text(facts.left[doe.position]) == "2024-05");
  CHECK(facts.left_why[doe.position] == LeftWhy::sold);
  CHECK(facts.left_why[dam.position] == LeftWhy::died);
  CHECK(facts.owners[facts.owner[doe.position]] == "own");
  CHECK(facts.owners[facts.owner[buck.position]] == "");
  CHECK(facts.owners[facts.owner[dam.position]] == "Elm Farm");
  CHECK(facts.name[doe] == "Hazel");
  CHECK(facts.name[buck] == "");
  CHECK(facts.litter[doe] == "L1");
  CHECK(facts.breeder[doe] == "Ash Farm");
  CHECK(facts.tags[doe] == "ZZ 1");
  CHECK(facts.registration[doe] == "R-1");
  CHECK(facts.also[doe] == "Hazy; Haz");
  CHECK(facts.colour[doe] == "red");
  CHECK(facts.note[doe] == "says \"baa\"");
}

TEST_CASE("sexes and header names in all their spellings") {
  const HerdBook book = read_animals(
      " ID ,S_E_X,Birth Date\nA,m,2020\nB,MALE,\nC,f,\nD,Female,\nE,wether,\nF,Intersex,\nG,,\n");
  CHECK(all_said(book) == "");
  REQUIRE(book.herd);
  const auto sex = [&](std::string_view id) {
    return std::string(word(book.herd->animals.sex[animal(book, id).position]));
  };
  CHECK(sex("A") + sex("B") + sex("C") + sex("D") == "buckbuckdoedoe");
  CHECK(sex("E") + sex("F") + sex("G") == "wetherintersex");
  CHECK(book.herd->animals.born[animal(book, "A").position].year() == 2020);
}

TEST_CASE("breeds: a name, shares as fractions and decimals, names with blanks, other case") {
  const HerdBook book = read_animals(
      "id,breed\nA,Boer\nB,boer:3/4 nubian:1/4\nC,Nigerian Dwarf:0.5 BOER:0.5\n"
      "D,a:0.33 b:0.33 c:0.33\nE,\nF,nigerian dwarf\n");
  CHECK(all_said(book) == "");
  REQUIRE(book.herd);
  const AnimalFacts& facts = book.herd->animals;
  const auto mix = [&](std::string_view id) {
    std::string text;
    double sum = 0.0;
    for (const BreedShare& each : facts.breed_mixes[facts.breed_mix[animal(book, id).position]]) {
      text += fmt::format("{}:{:.4f} ", facts.breed_names[each.breed], each.share);
      sum += each.share;
    }
    if (!text.empty()) CHECK(sum == doctest::Approx(1.0).epsilon(1e-12));
    return text;
  };
  CHECK(mix("A") == "Boer:1.0000 ");
  CHECK(mix("B") == "Boer:0.7500 nubian:0.2500 ");
  CHECK(mix("C") == "Nigerian Dwarf:0.5000 Boer:0.5000 ");
  CHECK(mix("D") == "a:0.3333 b:0.3333 c:0.3333 ");
  CHECK(mix("E") == "");
  CHECK(mix("F") == "Nigerian Dwarf:1.0000 ");
}

TEST_CASE("a bad breed is said in every row that has it") {
  const HerdBook book = read_animals("id,breed\nA,boer:2\nB,boer:2\n");
  CHECK(book.errors_total == 2);
}

TEST_CASE("ids are any text, compared byte by byte after trimming") {
  const HerdBook book = read_animals(
      "id,dam\n007, \n7,007\n\"Brämbel, \"\"die\"\" Alte\",7\n  Иволга ,\"Brämbel, \"\"die\"\" "
      "Alte\"\n"
      "ivy,Иволга\nIvy,ivy\n");
  CHECK(all_said(book) == "");
  REQUIRE(book.herd);
  const Pedigree& pedigree = book.herd->pedigree;
  CHECK(pedigree.size() == 6);
  CHECK(pedigree.dam(animal(book, "7")) == animal(book, "007"));
  CHECK(pedigree.dam(animal(book, "Иволга")) == animal(book, "Brämbel, \"die\" Alte"));
  CHECK(pedigree.dam(animal(book, "Ivy")) == animal(book, "ivy"));
}

TEST_CASE("of two rows of one id the first counts, in every column") {
  ReadOptions options;
  options.set_aside = true;
  const HerdBook book = read_book(
      {{Table::animals,
        "id,sire,sex,born,name,breed\nA,,doe,2020,,\nA,B,buck,2021,Hazel,boer\nB,,,,,\n"}},
      options);
  REQUIRE(book.herd);
  CHECK(book.set_aside == 1);
  const Animal a = animal(book, "A");
  CHECK_FALSE(book.herd->pedigree.sire(a));
  CHECK(book.herd->animals.sex[a.position] == Sex::doe);
  CHECK(book.herd->animals.born[a.position].year() == 2020);
  CHECK(book.herd->animals.name[a] == "");
  CHECK(book.herd->animals.breed_mix[a.position] == 0);
  CHECK(book.herd->animals.line[a.position] == 2);
}

TEST_CASE("semicolons, tabs, CRLF and a byte-order mark make no difference") {
  for (const std::string_view text :
       {"id,sire,sex\nA,B,doe\nB,,buck\n", "id;sire;sex\r\nA;B;doe\r\nB;;buck\r\n",
        "\xEF\xBB\xBFid\tsire\tsex\nA\tB\tdoe\nB\t\tbuck",
        "sex,id,sire\n\"doe\",\"A\",B\nbuck,B,\n"}) {
    CAPTURE(text);
    const HerdBook book = read_animals(std::string(text));
    CHECK(all_said(book) == "");
    REQUIRE(book.herd);
    CHECK(book.herd->pedigree.sire(animal(book, "A")) == animal(book, "B"));
    CHECK(book.herd->animals.sex[animal(book, "B").position] == Sex::buck);
  }
}
