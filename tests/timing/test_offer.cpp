// SPDX-License-Identifier: MIT
// Bucks of 6-8 months 8-10 does, yearlings 20-25, grown bucks 30-40 (facts of the trade: Merck
// Veterinary Manual, Breeding, up to 50; University of Maryland budget 2018, 20); the least is
// assumed.
#include <doctest/doctest.h>

#include <doewright/timing/offer.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

Herd buck_born(std::string_view born) {
  Herd herd = herd_of({{"Alder", "", "", Sex::buck, born.empty() ? PartialDate{} : date(born)},
                       {"Sorrel", "", "", Sex::doe, date("2020")}});
  SireOffer offer;
  offer.sire = animal(herd, "Alder");
  offer.from = date("2026-10-01");
  herd.sires = {offer};
  return herd;
}

std::optional<std::uint32_t> most(std::string_view born) {
  const Herd herd = buck_born(born);
  return most_does(herd, herd.sires.front());
}

}  // namespace

TEST_CASE("how many does a buck may have goes by his youngest possible age on his first day") {
  CHECK(most("2025-10-02") == 8);  // a day under twelve months
  CHECK(most("2025-10-01") == 20);
  CHECK(most("2024-10-01") == 30);
  CHECK(most("2024") == 20);  // may be of December
  CHECK(most("") == 20);      // not recorded: as a yearling
}

TEST_CASE("what the keeper wrote wins; straws are counted; a tank without a count has no limit") {
  Herd herd = buck_born("2020");
  SireOffer& offer = herd.sires.front();
  offer.terms = Terms::semen;
  CHECK_FALSE(most_does(herd, offer).has_value());
  offer.straws = 6;
  CHECK(most_does(herd, offer) == 6);
  offer.most_does = 4;
  CHECK(most_does(herd, offer) == 4);
}

TEST_CASE("a blank first day is counted back from the kidding window, else as-of") {
  Herd herd = buck_born("2020");
  SireOffer& offer = herd.sires.front();
  offer.from = {};
  CHECK(first_day_of_stay(herd, offer) == herd.as_of);
  herd.season.kid_from = date("2027-03-01").earliest();
  CHECK(to_text(first_day_of_stay(herd, offer)) == "2026-10-02");  // 150 days before 1 March 2027
}

TEST_CASE("proven is a kid in the book, a possible kid, a kidding, or does settled elsewhere") {
  Herd herd = buck_born("2020");
  SireOffer offer = herd.sires.front();
  CHECK_FALSE(is_proven(herd, Offspring(herd.pedigree), offer));
  offer.settled = 1;
  CHECK(is_proven(herd, Offspring(herd.pedigree), offer));

  const Herd with_kid = herd_of({{"Alder"}, {"kid", "Alder", ""}});
  offer = {};
  offer.sire = animal(with_kid, "Alder");
  CHECK(is_proven(with_kid, Offspring(with_kid.pedigree), offer));
  const Herd perhaps =
      herd_of({{"Alder"}, {"Rowan"}, {"kid"}}, {{"kid", "Alder", 0.5}, {"kid", "Rowan", 0.5}});
  offer.sire = animal(perhaps, "Rowan");
  CHECK(is_proven(perhaps, Offspring(perhaps.pedigree), offer));
}
