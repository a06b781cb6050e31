// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "toml_check.hpp"

using namespace doewright;

TEST_CASE("the manual's entry of traits.toml, key by key") {
  const TraitReading reading(R"([weaning_weight]
unit = "kg"
mean = 18.0
heritability = 0.20
phenotypic_sd = 3.0
repeatability = 0.20
litter_share = 0.10
maternal_heritability = 0.09
direct_maternal_correlation = -0.15
fixed = ["sex", "group"]
shown_by = "both"
value_keep = 0.5
value_meat = 4.0
per_percent_inbreeding = -0.054
correlations = { birth_weight = 0.5 }
from = "records"
name = "weight at weaning"
source = "Assumed"
)");
  CHECK(reading.only() == "none");
  REQUIRE(reading.result.size() == 1);
  const Trait& trait = reading.result[0];
  CHECK(trait.key == "weaning_weight");
  CHECK(trait.name == "weight at weaning");
  CHECK(trait.unit == "kg");
  CHECK(trait.mean == 18.0);
  CHECK(trait.heritability == 0.20);
  CHECK(trait.phenotypic_sd == 3.0);
  CHECK(trait.repeatability == 0.20);
  CHECK(trait.litter_share == 0.10);
  CHECK(trait.maternal_heritability == 0.09);
  CHECK(trait.direct_maternal_correlation == -0.15);
  CHECK(trait.fixed == std::vector<std::string>{"sex", "group"});
  CHECK(trait.shown_by == ShownBy::both);
  CHECK(trait.value_keep == 0.5);
  CHECK(trait.value_meat == 4.0);
  CHECK(trait.per_percent_inbreeding == -0.054);
  CHECK(trait.correlations == std::map<std::string, double>{{"birth_weight", 0.5}});
  CHECK(trait.from == RecordsFrom::records);
  CHECK(trait.assumed);
  CHECK_FALSE(trait.built_in);
  CHECK(trait.row == Row{Table::traits, 1});
}

TEST_CASE("defaults of a trait of one's own") {
  const TraitReading reading("[x]\nheritability=0.3\nphenotypic_sd=2");
  CHECK(reading.only() == "none");
  REQUIRE(reading.result.size() == 1);
  const Trait& trait = reading.result[0];
  CHECK(trait.name == "x");
  CHECK(trait.unit.empty());
  CHECK_FALSE(trait.mean.has_value());
  CHECK_FALSE(trait.repeatability.has_value());
  CHECK(trait.litter_share == 0);
  CHECK(trait.maternal_heritability == 0);
  CHECK(trait.fixed.empty());
  CHECK(trait.shown_by == ShownBy::both);
  CHECK(trait.value_keep == 0);
  CHECK(trait.value_meat == 0);
  CHECK(trait.per_percent_inbreeding == 0);
  CHECK(trait.correlations.empty());
  CHECK(trait.from == RecordsFrom::records);
  CHECK(trait.use);
  CHECK_FALSE(trait.assumed);
}

TEST_CASE("kidding traits, does only, and switching off") {
  const TraitReading reading(
      "[kids_born]\nheritability=0.1\nphenotypic_sd=0.6\nfrom='kiddings'\nshown_by='does'\n"
      "[milk]\nuse=false");
  CHECK(reading.only() == "none");
  const auto all = with_built_in_traits(reading.result);
  CHECK(all.size() == with_built_in_traits({}).size());
  CHECK(all[0].from == RecordsFrom::kiddings);
  CHECK(all[0].shown_by == ShownBy::does);
  CHECK_FALSE(all[1].use);
  CHECK(all[1].heritability == 0.33);
  CHECK(all[2].built_in);
}

TEST_CASE("a slip in traits.toml is named at its place") {
  constexpr std::string_view head = "[x]\nheritability=0.3\nphenotypic_sd=2\n";
  const auto after = [&](std::string_view text) {
    return TraitReading(fmt::format("{}{}", head, text)).only();
  };
  CHECK(TraitReading("[x]\nphenotypic_sd=2").only() == "key-form 1:1");
  CHECK(TraitReading("[x]\nheritability=0.3").only() == "key-form 1:1");
  CHECK(TraitReading("[x]\nheritability=0\nphenotypic_sd=2").only() == "key-form 2:14");
  CHECK(TraitReading("[x]\nheritability=0.3\nphenotypic_sd=0").only() == "key-form 3:15");
  CHECK(TraitReading("[x]\nheritability='a'\nphenotypic_sd=1").only() == "key-form 2:14");
  CHECK(TraitReading("x = 1").only() == "key-form 1:5");
  CHECK(TraitReading("[Milk]\nheritability=0.3\nphenotypic_sd=2").only() == "key-form 1:2");
  CHECK(after("unit=3") == "key-form 4:6");
  CHECK(after("mean=nan") == "key-form 4:6");
  CHECK(after("fixed=['sexes']") == "key-form 4:7");
  CHECK(after("fixed=['sex','sex']") == "key-form 4:7");
  CHECK(after("fixed='sex'") == "key-form 4:7");
  CHECK(after("shown_by='doe'") == "key-form 4:10");
  CHECK(after("from='kiddings'") == "key-form 4:6");
  CHECK(after("from='kidding'") == "key-form 4:6");
  CHECK(after("value_keep='4'") == "key-form 4:12");
  CHECK(after("repeatability=0.2") == "key-form 4:15");
  CHECK(after("litter_share=1.0") == "key-form 4:14");
  CHECK(after("direct_maternal_correlation=0.1") == "key-unknown 4:1 (warning)");
  CHECK(after("maternal_heritability=0.1\ndirect_maternal_correlation=1") == "key-form 5:29");
  CHECK(after("correlations=0.5") == "key-form 4:14");
  CHECK(after("correlations={x=0.5}") == "key-form 4:17");
  CHECK(after("correlations={milk=1.0}") == "key-form 4:20");
  CHECK(after("correlations={milc=0.5}") == "key-form 4:14");
  CHECK(after("value_kep=4") == "key-unknown 4:1 (warning)");
}

TEST_CASE("what is left for chance must be more than nothing") {
  // 1 - h2 - m2 - r_am sqrt(h2 m2) - (r - h2) - litter share: DEFINITIONS 6, with 0.5 + 0.25 +
  // 0.25.
  constexpr std::string_view head = "[x]\nheritability=0.5\nphenotypic_sd=2\n";
  const auto after = [&](std::string_view text) {
    return TraitReading(fmt::format("{}{}", head, text)).only();
  };
  CHECK(after("repeatability=0.75\nlitter_share=0.25") == "key-form 2:14");
  CHECK(after("repeatability=0.75\nlitter_share=0.24") == "none");
  CHECK(after("maternal_heritability=0.5") == "key-form 2:14");
  CHECK(after("maternal_heritability=0.5\ndirect_maternal_correlation=-0.1") == "none");
  CHECK(after("maternal_heritability=0.4\ndirect_maternal_correlation=0.5") == "key-form 2:14");
}

TEST_CASE("correlations must agree with each other") {
  const auto three = [](double ab, double bc, double ac) {
    return TraitReading(
               fmt::format("[a]\nheritability=0.3\nphenotypic_sd=2\ncorrelations={{b={},c={}}}\n"
                           "[b]\nheritability=0.3\nphenotypic_sd=2\ncorrelations={{c={}}}\n"
                           "[c]\nheritability=0.3\nphenotypic_sd=2\n",
                           ab, ac, bc))
        .only();
  };
  // 1 + 2abc - a^2 - b^2 - c^2 is 0.028 for .9, .9, .7 and -0.162 for .9, .9, .5.
  CHECK(three(0.9, 0.9, 0.7) == "none");
  CHECK(three(0.9, 0.9, 0.5) == "key-form 4:14");
  CHECK(TraitReading("[a]\nheritability=0.3\nphenotypic_sd=2\ncorrelations={b=0.5}\n"
                     "[b]\nheritability=0.3\nphenotypic_sd=2\ncorrelations={a=0.4}\n")
            .only() == "key-form 8:14");
}

TEST_CASE("a broken trait is not computed with, but its key stays known") {
  const TraitReading own("[x]\nheritability=0.3");
  REQUIRE(own.result.size() == 1);
  CHECK_FALSE(own.result[0].use);
  const auto all =
      with_built_in_traits(TraitReading("[milk]\nheritability=2\nphenotypic_sd=1").result);
  CHECK(all.back().key == "milk");
  CHECK(all.back().built_in);
}
