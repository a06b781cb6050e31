// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <doewright/pairing/keep_reason_codes.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/report/words.hpp>

#include "herd/tiny_herd.hpp"

using namespace doewright;
using namespace doewright::testing;

TEST_CASE("every reason code has a sentence") {
  Herd herd = herd_of(
      {{"sire", "", "", Sex::buck}, {"dam", "", "", Sex::doe}, {"kid", "sire", "dam", Sex::doe}});
  FaultModel fault;
  fault.name = "extra teats";
  herd.faults = {fault};
  Trait trait;
  trait.name = "weaning weight";
  herd.traits = {trait};
  std::vector<std::string_view> codes(reason::all.begin(), reason::all.end());
  codes.insert(codes.end(), reason::all_of_keep.begin(), reason::all_of_keep.end());
  for (const std::string_view code : codes) {
    CAPTURE(code);
    const Reason reason{.code = code,
                        .effect = 0,
                        .animals = {animal(herd, "sire"), animal(herd, "kid"), animal(herd, "dam")},
                        .numbers = {0.0, 1.0, 2.0, 3.0, 0.0, 1.0, 2.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0},
                        .records = {}};
    const std::string text = sentence(herd, reason);
    CHECK_FALSE(text.empty());
    CHECK(text.find("{}") == std::string::npos);
    for (const char* never : {"safe", "clean", "free", "guarantee"})
      CHECK(text.find(never) == std::string::npos);
  }
  CHECK(
      sentence(herd,
               Reason{.code = "no.such", .effect = 0, .animals = {}, .numbers = {}, .records = {}})
          .empty());
}

TEST_CASE("places in a pedigree in the trade's words") {
  CHECK(place_in_words("s") == "sire");
  CHECK(place_in_words("d") == "dam");
  CHECK(place_in_words("sd") == "granddam");
  CHECK(place_in_words("dds") == "great-grandsire");
  CHECK(place_in_words("ssssd").find("5 generations") != std::string::npos);
}

TEST_CASE("days in words") {
  CHECK(day_in_words(date("2026-09-15").earliest()) == "15 September 2026");
}
