// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <doewright/core/errors.hpp>
#include <doewright/herd/animal_facts.hpp>
#include <doewright/herd/events.hpp>
#include <doewright/herd/season.hpp>

using namespace doewright;

TEST_CASE("Words are those of the herd book, and unknown is a blank") {
  CHECK(word(Sex::intersex) == "intersex");
  CHECK(word(Sex::unknown) == "");
  CHECK(word(Horns::polled) == "polled");
  CHECK(word(LeftWhy::slaughtered) == "slaughtered");
  CHECK(word(ServiceHow::semen) == "semen");
  CHECK(word(PregnancyResult::in_kid) == "in kid");
  CHECK(word(PregnancyHow::hand) == "hand");
  CHECK(word(KiddingHelp::hard) == "hard");
  CHECK(word(KidsFor::either) == "either");
  CHECK(word(Decision::none) == "");
  CHECK(word(Terms::hired) == "hired");
  CHECK(word(SemenKind::frozen) == "frozen");
  CHECK(word(Verdict::caution) == "caution");
}

TEST_CASE("A text column gives back each text, and nothing for an animal without one") {
  TextColumn column;
  CHECK(column.empty());
  CHECK(column[Animal{3}] == "");
  column.assign({1, 4, 9}, {"Hazel", "", "Bram"});
  CHECK(column[Animal{0}] == "");
  CHECK(column[Animal{1}] == "Hazel");
  CHECK(column[Animal{4}] == "");
  CHECK(column[Animal{9}] == "Bram");
  CHECK(column[Animal{10}] == "");
  column.assign({2}, {column[Animal{9}]});  // a text of the old column itself
  CHECK(column[Animal{2}] == "Bram");
  CHECK(column[Animal{9}] == "");
  CHECK_THROWS_AS(column.assign({3, 3}, {"a", "b"}), UsageError);
  CHECK_THROWS_AS(column.assign({3}, {"a", "b"}), UsageError);
}

TEST_CASE("Kids for either have a fate of their own and the limits of keep") {
  const Season season;
  CHECK(season.fate(KidsFor::keep).doe_kept == 0.8);
  CHECK(season.fate(KidsFor::either).doe_kept == 0.3);
  CHECK(season.fate(KidsFor::meat).doe_kept == 0.0);
  CHECK(&season.inbreeding_limits(KidsFor::either) == &season.limits.keep);
  CHECK(&season.inbreeding_limits(KidsFor::keep) == &season.limits.keep);
  CHECK(&season.inbreeding_limits(KidsFor::meat) == &season.limits.meat);
}
