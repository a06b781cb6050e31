// SPDX-License-Identifier: MIT
// "Blood tests say little under 6 months of age (antibody from colostrum)": facts of the trade,
// common practice, no source.
#include <doctest/doctest.h>

#include <doewright/pairing/papers.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

Herd tested(std::string_view born, std::string_view sample, std::string result = "negative") {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, born.empty() ? PartialDate{} : date(born)}});
  herd.season.papers.required = {"CAE"};
  herd.health_tests.push_back({.animal = animal(herd, "Alder"),
                               .disease = "cae",
                               .result = std::move(result),
                               .date = sample.empty() ? PartialDate{} : date(sample),
                               .laboratory = {},
                               .row = {Table::health_tests, 2}});
  return herd;
}

PaperState state(const Herd& herd) {
  return papers(herd, animal(herd, "Alder")).front().state;
}

}  // namespace

TEST_CASE("a paper is in order only if dated, negative, young enough and not taken too young") {
  CHECK(state(tested("2023-03-01", "2026-03-01")) == PaperState::in_order);
  CHECK(state(tested("2023-03-01", "2025-09-15")) ==
        PaperState::in_order);  // twelve months to the day
  CHECK(state(tested("2023-03-01", "2025-09-14")) == PaperState::too_old);
  CHECK(state(tested("2026-03-02", "2026-09-01")) == PaperState::too_young);
  CHECK(state(tested("2026-03-01", "2026-09-01")) == PaperState::in_order);
  CHECK(state(tested("2026", "2026-09-01")) == PaperState::age_unknown);
  CHECK(state(tested("", "2026-03-01")) == PaperState::age_unknown);
  CHECK(state(tested("2023-03-01", "")) == PaperState::undated);
  CHECK(state(tested("2023-03-01", "2026-03-01", "positive")) == PaperState::not_negative);
  CHECK(state(tested("2023-03-01", "2026-03-01", "inconclusive")) == PaperState::not_negative);
}

TEST_CASE("the newest test counts, and a disease nobody tested for is missing") {
  Herd herd = tested("2023-03-01", "2026-03-01");
  herd.health_tests.push_back(herd.health_tests.front());
  herd.health_tests.back().date = date("2026-08-01");
  herd.health_tests.back().result = "positive";
  CHECK(state(herd) == PaperState::not_negative);
  herd.season.papers.required = {"CAE", "CL"};
  CHECK(papers(herd, animal(herd, "Alder"))[1].state == PaperState::missing);
}

TEST_CASE("papers are asked of a buck that comes from another herd, not of the own one") {
  Herd herd = tested("2023-03-01", "2026-03-01");
  SireOffer offer;
  offer.sire = animal(herd, "Alder");
  offer.terms = Terms::own;
  CHECK_FALSE(papers_needed(herd, offer));
  for (const Terms terms : {Terms::hired, Terms::visit, Terms::semen}) {
    offer.terms = terms;
    CHECK(papers_needed(herd, offer));
  }
  offer.terms = Terms::own;  // bought for one season: still from elsewhere
  owned_by(herd, "Alder", "Far Croft");
  CHECK(papers_needed(herd, offer));
}

namespace {

void add_test(Herd& herd, std::string_view id, std::string disease, std::string result, std::string_view day) {
  herd.health_tests.push_back({.animal = animal(herd, id),
                               .disease = std::move(disease),
                               .result = std::move(result),
                               .date = day.empty() ? PartialDate{} : date(day),
                               .laboratory = {},
                               .row = {Table::health_tests, std::uint32_t(herd.health_tests.size() + 2)}});
}

}  // namespace

TEST_CASE("every positive on record is found, of diseases that are not asked for too") {
  Herd herd = tested("2023-03-01", "2026-03-01");
  const Animal alder = animal(herd, "Alder");
  CHECK(positives(herd, alder).empty());
  add_test(herd, "Alder", "Johne's", "positive", "2026-07-01");
  add_test(herd, "Alder", "brucellosis", " Inconclusive ", "");
  const auto found = positives(herd, alder);
  REQUIRE(found.size() == 2);
  CHECK(found[0].disease == "Johne's");
  CHECK(found[0].date == date("2026-07-01"));
  CHECK(found[0].stands());
  CHECK(found[1].result == "Inconclusive");
  CHECK_FALSE(found[1].date.known());
  CHECK(state(herd) == PaperState::in_order);  // what is asked for is in order, and that is not all
}

TEST_CASE("the newest result of a disease stands; an older positive is kept with the negative since") {
  Herd herd = tested("2023-03-01", "2026-03-01");  // CAE negative, in small letters
  add_test(herd, "Alder", "CAE", "positive", "2025-03-01");
  add_test(herd, "Alder", "CL", "positive", "2026-08-01");
  add_test(herd, "Alder", "CL", "negative", "2026-02-01");
  const auto found = positives(herd, animal(herd, "Alder"));
  REQUIRE(found.size() == 2);
  CHECK(found[0].disease == "CL");  // what stands comes first
  CHECK(found[0].stands());
  CHECK(found[1].disease == "CAE");
  REQUIRE(found[1].negative_since.has_value());
  CHECK(*found[1].negative_since == date("2026-03-01"));
}
