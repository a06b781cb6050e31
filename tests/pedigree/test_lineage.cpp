// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <doewright/pedigree/lineage.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

using namespace doewright;

TEST_CASE("the place of an ancestor in words of s and d") {
  PedigreeBuilder builder;
  builder.add("gs", "", "");
  builder.add("gd", "", "");
  builder.add("s", "gs", "gd");
  builder.add("d", "gs", "");
  builder.add("k", "s", "d");
  const BuiltPedigree built = std::move(builder).build();
  const auto place = [&](const char* of, const char* who) {
    return place_of(built.pedigree, built.ids.find(of).value(), built.ids.find(who).value());
  };
  CHECK(place("k", "k") == "");
  CHECK(place("k", "s") == "s");
  CHECK(place("k", "gd") == "sd");
  CHECK(place("k", "gs") == "ds");  // twice at the same distance: d before s
  CHECK_FALSE(place("s", "k").has_value());
}
