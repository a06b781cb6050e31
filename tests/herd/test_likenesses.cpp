// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <doewright/herd/herd.hpp>

#include <algorithm>

#include "tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

using Lines = std::vector<std::string>;

Lines asked(const Herd& herd) {
  Lines lines = told(likenesses(herd));
  std::sort(lines.begin(), lines.end());
  return lines;
}

}  // namespace

TEST_CASE("id-near: case, blanks, punctuation and accents apart; digits keep their borders") {
  const Herd herd = herd_of({{"Br\xC3\xA4mbel  2"},
                             {"brambel-2"},
                             {"brambel 3"},
                             {"1-12"},
                             {"11-2"},
                             {"112"},
                             {"1/12"},
                             {"007"},
                             {"7"}});
  CHECK(asked(herd) == Lines{"id-near animals.csv:3 brambel-2", "id-near animals.csv:8 1/12"});
  const auto questions = likenesses(herd);
  for (const Problem& question : questions) CHECK(question.severity == Severity::question);
  REQUIRE(questions.size() == 2);
  const auto first = std::find_if(questions.begin(), questions.end(),
                                  [](const Problem& p) { return p.line == 3; });
  CHECK(first->message.find("Br\xC3\xA4mbel  2") != std::string::npos);
  CHECK(first->message.find("(line 2)") != std::string::npos);
}

TEST_CASE("name-shared: a tag, registration or other name that is another animal's, too") {
  Herd herd = herd_of({{"A"}, {"B"}, {"C"}, {"D"}, {"E"}, {"F"}});
  write(herd.animals.tags, herd, {{"A", "UK 123; left 9"}, {"B", "uk-123"}, {"D", "D"}});
  write(herd.animals.registration, herd, {{"C", "R-77"}, {"E", ""}});
  write(herd.animals.also, herd, {{"D", "Old Meg ;R-77"}, {"F", "a"}});
  CHECK(asked(herd) == Lines{"name-shared animals.csv:3 B",    // tag of A
                             "name-shared animals.csv:5 D",    // registration of C
                             "name-shared animals.csv:7 F"});  // id of A
}

TEST_CASE("name-shared: the same call name or the same words within one animal are no question") {
  Herd herd = herd_of({{"A"}, {"B"}});
  write(herd.animals.name, herd, {{"A", "Hazel"}, {"B", "Hazel"}});
  write(herd.animals.tags, herd, {{"A", "A"}});
  write(herd.animals.also, herd, {{"A", "Hazel;Hazel"}});
  CHECK(asked(herd) == Lines{});
}

TEST_CASE("A tag that many animals have is one question each, not one a pair") {
  Herd herd = herd_of({{"A"}, {"B"}, {"C"}, {"D"}, {"E"}});
  write(herd.animals.tags, herd,
        {{"A", "none"}, {"B", "none"}, {"C", "None"}, {"D", "none;none"}, {"E", "NONE"}});
  CHECK(asked(herd) == Lines{"name-shared animals.csv:3 B", "name-shared animals.csv:4 C",
                             "name-shared animals.csv:5 D", "name-shared animals.csv:6 E"});
}

TEST_CASE("An id that is another's tag is asked about once, whichever stands first") {
  Herd herd = herd_of({{"A"}, {"X9"}, {"Y8"}, {"B"}});
  write(herd.animals.tags, herd, {{"A", "X9"}, {"B", "y8"}});
  CHECK(asked(herd) == Lines{"name-shared animals.csv:3 X9", "name-shared animals.csv:5 B"});
}

TEST_CASE("born-alike: one day, sex, breed and sire, and no dam; litter mates are no question") {
  Herd herd = herd_of({{"S"},
                       {"D"},
                       {"A", "", "", Sex::doe, date("2022-04-01")},
                       {"B", "", "", Sex::doe, date("2022-04-01")},
                       {"BUCK", "", "", Sex::buck, date("2022-04-01")},
                       {"SIRED", "S", "", Sex::doe, date("2022-04-01")},
                       {"SIRED2", "S", "", Sex::doe, date("2022-04-01")},
                       {"TWIN1", "S", "D", Sex::doe, date("2022-04-01")},
                       {"TWIN2", "S", "D", Sex::doe, date("2022-04-01")},
                       {"TWIN3", "", "D", Sex::doe, date("2022-04-01")},
                       {"TWIN4", "", "D", Sex::doe, date("2022-04-01")},
                       {"MONTH1", "", "", Sex::doe, date("2022-05")},
                       {"MONTH2", "", "", Sex::doe, date("2022-05")},
                       {"BREED", "", "", Sex::doe, date("2022-04-01")},
                       {"BREED2", "", "", Sex::doe, date("2022-04-01")}});
  herd.animals.breed_names = {"Boer"};
  breed(herd, "BREED", {{0, 1.0}});
  breed(herd, "BREED2", {{0, 0.5}, {0, 0.5}});  // the same, written otherwise
  CHECK(asked(herd) == Lines{"born-alike animals.csv:16 BREED2", "born-alike animals.csv:5 B",
                             "born-alike animals.csv:8 SIRED2"});
}
