// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <doewright/herd/herd.hpp>

#include <array>
#include <cstddef>
#include <random>
#include <string>

#include "tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

double share_of(const std::vector<BreedShare>& shares, std::uint16_t breed) {
  double sum = 0.0;
  for (const BreedShare& share : shares) {
    if (share.breed == breed) sum += share.share;
  }
  return sum;
}

}  // namespace

TEST_CASE("Breed shares: as recorded, else the mean of the parents, else of the one known") {
  Herd herd = herd_of({{"BOER"},
                       {"NUB"},
                       {"BLANK"},
                       {"F1", "BOER", "NUB"},
                       {"BACK", "BOER", "F1"},
                       {"HALF", "BLANK", "F1"},
                       {"ONE", "", "F1"},
                       {"OWN", "BOER", "NUB"}});
  herd.animals.breed_names = {"Boer", "Nubian"};
  breed(herd, "BOER", {{0, 1.0}});
  breed(herd, "NUB", {{1, 1.0}});
  breed(herd, "OWN", {{1, 0.25}, {0, 0.75}});
  const auto shares = breed_shares(herd);
  const auto boer = [&](std::string_view id) {
    return share_of(shares[animal(herd, id).position], 0);
  };
  CHECK(boer("F1") == 0.5);
  CHECK(boer("BACK") == 0.75);
  CHECK(boer("HALF") == 0.5);
  CHECK(boer("ONE") == 0.5);
  CHECK(boer("OWN") == 0.75);
  CHECK(shares[animal(herd, "OWN").position].front().breed == 0);
  CHECK(shares[animal(herd, "BLANK").position].empty());
}

TEST_CASE(
    "An uncertain sire gives breed by his chances; the buck not on the list is like the kid") {
  // Two Boer and Nubian bucks, 1/2 and 1/4, a Nubian dam. With x the kid's Boer share:
  // x = 1/2 (1/2 * 1 + 1/4 * 0 + 1/4 x), so x = (1/4) / (7/8) = 2/7.
  Herd herd = herd_of({{"A"}, {"B"}, {"D"}, {"K", "", "D"}}, {{"K", "A", 0.5}, {"K", "B", 0.25}});
  herd.animals.breed_names = {"Boer", "Nubian"};
  breed(herd, "A", {{0, 1.0}});
  breed(herd, "B", {{1, 1.0}});
  breed(herd, "D", {{1, 1.0}});
  const auto shares = breed_shares(herd);
  CHECK(share_of(shares[animal(herd, "K").position], 0) == doctest::Approx(2.0 / 7).epsilon(1e-14));
  CHECK(share_of(shares[animal(herd, "K").position], 1) == doctest::Approx(5.0 / 7).epsilon(1e-14));
}

TEST_CASE("Breed shares agree with the definition, one animal at a time, on random pedigrees") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    CAPTURE(seed);
    std::mt19937 random(seed);
    const std::size_t n = 60;
    std::vector<std::uint32_t> sires(n, Pedigree::none), dams(n, Pedigree::none);
    for (std::uint32_t i = 2; i < n; ++i) {
      if (random() % 4 != 0) sires[i] = static_cast<std::uint32_t>(random() % i);
      if (random() % 4 != 0) dams[i] = static_cast<std::uint32_t>(random() % i);
      if (sires[i] == dams[i]) dams[i] = Pedigree::none;
    }
    Herd herd;
    herd.pedigree = Pedigree(sires, dams);
    herd.animals.breed_names = {"a", "b", "c"};
    herd.animals.breed_mixes = {{}, {{0, 1.0}}, {{1, 1.0}}, {{2, 0.5}, {0, 0.5}}};
    for (std::size_t i = 0; i < n; ++i) {
      herd.animals.breed_mix.push_back(random() % 3 == 0 ? random() % 4 : 0);
    }
    const auto shares = breed_shares(herd);
    std::vector<std::array<double, 3>> slow(n, {0.0, 0.0, 0.0});
    for (std::size_t i = 0; i < n; ++i) {
      const auto known = [&](std::uint32_t p) {
        return p != Pedigree::none && slow[p][0] + slow[p][1] + slow[p][2] > 0.5;
      };
      for (std::size_t b = 0; b < 3; ++b) {
        if (const auto own = herd.animals.breed_mix[i]; own != 0) {
          slow[i][b] = share_of(herd.animals.breed_mixes[own], static_cast<std::uint16_t>(b));
        } else if (known(sires[i]) && known(dams[i])) {
          slow[i][b] = (slow[sires[i]][b] + slow[dams[i]][b]) / 2;
        } else if (known(sires[i]) || known(dams[i])) {
          slow[i][b] = slow[known(sires[i]) ? sires[i] : dams[i]][b];
        }
        CHECK(share_of(shares[i], static_cast<std::uint16_t>(b)) ==
              doctest::Approx(slow[i][b]).epsilon(1e-12));
      }
    }
  }
}

TEST_CASE("A value by breed is the mean over the shares; a breed not named is `other`") {
  const ByBreed values{.other = 0.02, .named = {{"nubian", 0.06}}};
  const std::vector<std::string> names = {"Boer", "Nubian"};
  CHECK(by_breed(values, {}, names) == 0.02);
  CHECK(by_breed(values, {{0, 1.0}}, names) == 0.02);
  CHECK(by_breed(values, {{1, 1.0}}, names) == 0.06);
  CHECK(by_breed(values, {{0, 0.75}, {1, 0.25}}, names) == doctest::Approx(0.03).epsilon(1e-14));
}
