// SPDX-License-Identifier: MIT
// F of kids of parents with one grandsire in common: 1/2^5 by Wright's paths (Butler, Probability
// and its relationship to parts of livestock production: a path of five animals).
#include <doctest/doctest.h>

#include <doewright/herd/alike_names.hpp>
#include <doewright/pairing/one_animal.hpp>
#include <doewright/pairing/reason_codes.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

/// Alder's grandsire is Thor, Tansy's is the same buck under another name.
Herd two_names() {
  Herd herd = herd_of({{"Thor", "", "", Sex::buck},
                       {"Mighty Thor", "", "", Sex::buck},
                       {"Ash", "Thor", "", Sex::buck},
                       {"Elder", "Mighty Thor", "", Sex::buck},
                       {"Alder", "Ash", "", Sex::buck},
                       {"Tansy", "Elder", "", Sex::doe},
                       {"Hazel", "", "", Sex::doe}});
  return herd;
}

}  // namespace

TEST_CASE(
    "one grandsire under two names on the two sides of a pair is asked about, with the F if he is "
    "one") {
  Herd herd = two_names();
  const std::vector<Animal> sires = {animal(herd, "Alder")};
  const std::vector<Animal> does = {animal(herd, "Tansy"), animal(herd, "Hazel")};
  CHECK(ask_if_one_animal(herd, sires, does)(0, 0).empty());
  write(herd.animals.registration, herd, {{"Thor", "R-1"}, {"Mighty Thor", "r 1"}});
  const auto asked = ask_if_one_animal(herd, sires, does);
  REQUIRE(asked(0, 0).size() == 1);
  CHECK(asked(0, 0).front().code == reason::ask_one_animal);
  CHECK(asked(0, 0).front().numbers.front() == doctest::Approx(1.0 / 32.0).epsilon(1e-12));
  CHECK(asked(0, 1).empty());  // nothing of his stands behind Hazel
  CHECK(each_once(asked).size() == 1);
  CHECK(name_in_common(herd, animal(herd, "Thor"), animal(herd, "Mighty Thor")) ==
        "registration R-1");
}

TEST_CASE("both names on one side of a pair are no question of that pair") {
  Herd herd = herd_of({{"Thor", "", "", Sex::buck},
                       {"Mighty Thor", "", "", Sex::buck},
                       {"Alder", "Thor", "Ivy", Sex::buck},
                       {"Ivy", "Mighty Thor", "", Sex::doe},
                       {"Tansy", "", "", Sex::doe}});
  write(herd.animals.registration, herd, {{"Thor", "R-1"}, {"Mighty Thor", "R-1"}});
  const std::vector<Animal> sires = {animal(herd, "Alder")}, does = {animal(herd, "Tansy")};
  CHECK(ask_if_one_animal(herd, sires, does)(0, 0).empty());
}

TEST_CASE("two names of which one is the other's kid are asked about without an F") {
  Herd herd = herd_of({{"Thor", "", "", Sex::buck},
                       {"thor", "Thor", "", Sex::buck},
                       {"Alder", "thor", "", Sex::buck},
                       {"Tansy", "Thor", "", Sex::doe}});
  const std::vector<Animal> sires = {animal(herd, "Alder")}, does = {animal(herd, "Tansy")};
  const auto asked = ask_if_one_animal(herd, sires, does);
  REQUIRE(asked(0, 0).size() == 1);
  CHECK(asked(0, 0).front().numbers.front() < 0.0);
}
