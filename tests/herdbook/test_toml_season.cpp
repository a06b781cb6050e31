// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "toml_check.hpp"

using namespace doewright;

namespace {

// INTERFACE, section 1: "the numbers shown are the built-in defaults, except kid_from, kid_to,
// pens, max_hired, hire_budget, as_of, keepers_wanted".
constexpr std::string_view printed_defaults = R"(
currency = "EUR"
own_herd = "own"
hemisphere = "north"
breed_inbreeding = 0.02
unknown_kinship = 0.0625
[kid]
value_keep = 250.0
value_meat = 110.0
litter_size = 1.85
litter_size_first = 1.48
survive = 0.90
[fate.keep]
doe_kept = 0.8
buck_kept = 0.0
[fate.either]
doe_kept = 0.3
buck_kept = 0.0
[fate.meat]
doe_kept = 0.0
buck_kept = 0.0
[open]
value = 0.0
[limits]
keep = [0.03125, 0.0625, 0.125]
meat = [0.0625, 0.125, 0.25]
lethal = [0.01, 0.05]
doe_months = [7, 8]
doe_weight_share = [0.65, 0.75]
condition = [2.0, 4.0]
rest_days = 60
[settle]
proven = 0.80
yearling = 0.75
buck_kid = 0.65
semen = 0.45
never = 0.05
infertile_proven = 0.02
infertile_unproven = 0.05
heat_noticed = 0.80
cycling = [0.8, 0.5, 0.2, 0.1, 0.1, 0.1, 0.2, 0.5, 0.85, 0.97, 0.97, 0.95]
[gestation]
unknown = [150, 3.0]
dwarf = [146, 3.0]
breeds.nigerian = "dwarf"
[papers]
required = ["CAE", "CL"]
max_age_months = 12
isolation_days = 30
[risk]
loss_per_month = 0.01
[rules]
polled = "avoid"
)";

void check_same(const Season& a, const Season& b) {
  CHECK(a.currency == b.currency);
  CHECK(a.own_herd == b.own_herd);
  CHECK(a.north == b.north);
  CHECK(a.kid_from == b.kid_from);
  CHECK(a.kid_to == b.kid_to);
  CHECK(a.pens == b.pens);
  CHECK(a.max_hired == b.max_hired);
  CHECK(a.hire_budget == b.hire_budget);
  CHECK(a.as_of == b.as_of);
  CHECK(a.keepers_wanted == b.keepers_wanted);
  CHECK(a.breed_inbreeding.other == b.breed_inbreeding.other);
  CHECK(a.breed_inbreeding.named == b.breed_inbreeding.named);
  CHECK(a.unknown_kinship == b.unknown_kinship);
  CHECK(a.kid.value_keep == b.kid.value_keep);
  CHECK(a.kid.value_meat == b.kid.value_meat);
  CHECK(a.kid.litter_size == b.kid.litter_size);
  CHECK(a.kid.litter_size_first == b.kid.litter_size_first);
  CHECK(a.kid.survive == b.kid.survive);
  for (const KidsFor kids_for : {KidsFor::keep, KidsFor::either, KidsFor::meat}) {
    const auto fate = [&](const Season& s) {
      return kids_for == KidsFor::keep   ? s.fate_keep
             : kids_for == KidsFor::meat ? s.fate_meat
                                         : s.fate_either;
    };
    CHECK(fate(a).doe_kept == fate(b).doe_kept);
    CHECK(fate(a).buck_kept == fate(b).buck_kept);
  }
  CHECK(a.open_value == b.open_value);
  CHECK(a.limits.keep == b.limits.keep);
  CHECK(a.limits.meat == b.limits.meat);
  CHECK(a.limits.lethal == b.limits.lethal);
  CHECK(a.limits.doe_months == b.limits.doe_months);
  CHECK(a.limits.doe_weight_share == b.limits.doe_weight_share);
  CHECK(a.limits.condition == b.limits.condition);
  CHECK(a.limits.rest_days == b.limits.rest_days);
  CHECK(a.settle.proven == b.settle.proven);
  CHECK(a.settle.yearling == b.settle.yearling);
  CHECK(a.settle.buck_kid == b.settle.buck_kid);
  CHECK(a.settle.semen == b.settle.semen);
  CHECK(a.settle.never == b.settle.never);
  CHECK(a.settle.infertile_proven == b.settle.infertile_proven);
  CHECK(a.settle.infertile_unproven == b.settle.infertile_unproven);
  CHECK(a.settle.heat_noticed == b.settle.heat_noticed);
  CHECK(a.settle.cycling == b.settle.cycling);
  REQUIRE(a.gestation.size() == b.gestation.size());
  for (const auto& [name, days] : a.gestation) {
    CHECK(days.mean == b.gestation.at(name).mean);
    CHECK(days.sd == b.gestation.at(name).sd);
  }
  CHECK(a.gestation_class_of_breed == b.gestation_class_of_breed);
  CHECK(a.papers.required == b.papers.required);
  CHECK(a.papers.max_age_months == b.papers.max_age_months);
  CHECK(a.papers.isolation_days == b.papers.isolation_days);
  CHECK(a.loss_per_month == b.loss_per_month);
  CHECK(a.polled_rule == b.polled_rule);
}

}  // namespace

TEST_CASE("an empty season.toml gives the defaults that the manual prints") {
  const SeasonReading empty("");
  const SeasonReading written(printed_defaults);
  CHECK(empty.only() == "none");
  CHECK(written.only() == "none");
  CHECK(empty.result.set.empty());
  CHECK(written.result.set.size() == 41);
  check_same(empty.result, written.result);
  CHECK_FALSE(empty.result.pens.has_value());
  CHECK_FALSE(empty.result.kid_from.has_value());
}

TEST_CASE("every key of season.toml is read, and named in `set`") {
  const SeasonReading reading(R"(
currency = "GBP"
own_herd = "Mill Farm"
hemisphere = "south"
kid_from = 2027-02-01
kid_to = 2027-04-15
pens = 1
max_hired = 2
hire_budget = 600
as_of = 2026-09-15
keepers_wanted = 3
breed_inbreeding.Nubian = 0.04
breed_inbreeding.other = 0.03
unknown_kinship = 0.03
[kid]
value_keep = -1
value_meat = 2
litter_size = 3
litter_size_first = 4
survive = 0.5
[fate.keep]
doe_kept = 0.1
buck_kept = 0.2
[fate.either]
doe_kept = 0.3
buck_kept = 0.4
[fate.meat]
doe_kept = 0.5
buck_kept = 0.6
[open]
value = -7.5
[limits]
keep = [0.01, 0.02, 0.03]
meat = [0.04, 0.05, 0.06]
lethal = [0.07, 0.08]
doe_months = [9, 10]
doe_weight_share = [0.11, 0.12]
condition = [1.5, 4.5]
rest_days = 90
[settle]
proven = 0.21
yearling = 0.22
buck_kid = 0.23
semen = 0.24
never = 0.25
infertile_proven = 0.26
infertile_unproven = 0.27
heat_noticed = 0.28
cycling = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 0.95]
[gestation]
boer = [149, 3.5]
breeds.Boer = "boer"
breeds.kinder = "dwarf"
[papers]
required = ["CAE"]
max_age_months = 6
isolation_days = 21
[risk]
loss_per_month = 0.02
[rules]
polled = "caution"
[find_out]
gene_test = 35.5
kids = 20
papers = 0
)");
  CHECK(reading.only() == "none");
  const Season& s = reading.result;
  CHECK(s.currency == "GBP");
  CHECK(s.own_herd == "Mill Farm");
  CHECK_FALSE(s.north);
  CHECK(s.kid_from == date_of(2027, 2, 1));
  CHECK(s.kid_to == date_of(2027, 4, 15));
  CHECK(s.pens == 1);
  CHECK(s.max_hired == 2);
  CHECK(s.hire_budget == 600.0);
  CHECK(s.as_of == date_of(2026, 9, 15));
  CHECK(s.keepers_wanted == 3);
  CHECK(s.breed_inbreeding.other == 0.03);
  CHECK(s.breed_inbreeding.named == std::map<std::string, double>{{"nubian", 0.04}});
  CHECK(s.unknown_kinship == 0.03);
  CHECK(s.kid.value_keep == -1);
  CHECK(s.kid.value_meat == 2);
  CHECK(s.kid.litter_size == 3);
  CHECK(s.kid.litter_size_first == 4);
  CHECK(s.kid.survive == 0.5);
  CHECK(s.fate_keep.doe_kept == 0.1);
  CHECK(s.fate_keep.buck_kept == 0.2);
  CHECK(s.fate_either.doe_kept == 0.3);
  CHECK(s.fate_either.buck_kept == 0.4);
  CHECK(s.fate_meat.doe_kept == 0.5);
  CHECK(s.fate_meat.buck_kept == 0.6);
  CHECK(s.open_value == -7.5);
  CHECK(s.limits.keep == ThreeLimits{0.01, 0.02, 0.03});
  CHECK(s.limits.meat == ThreeLimits{0.04, 0.05, 0.06});
  CHECK(s.limits.lethal == std::array<double, 2>{0.07, 0.08});
  CHECK(s.limits.doe_months == std::array<double, 2>{9, 10});
  CHECK(s.limits.doe_weight_share == std::array<double, 2>{0.11, 0.12});
  CHECK(s.limits.condition == std::array<double, 2>{1.5, 4.5});
  CHECK(s.limits.rest_days == 90);
  CHECK(s.settle.proven == 0.21);
  CHECK(s.settle.yearling == 0.22);
  CHECK(s.settle.buck_kid == 0.23);
  CHECK(s.settle.semen == 0.24);
  CHECK(s.settle.never == 0.25);
  CHECK(s.settle.infertile_proven == 0.26);
  CHECK(s.settle.infertile_unproven == 0.27);
  CHECK(s.settle.heat_noticed == 0.28);
  CHECK(s.settle.cycling[10] == 1.0);
  CHECK(s.gestation.at("boer").mean == 149);
  CHECK(s.gestation.at("unknown").mean == 150);
  CHECK(s.gestation_class_of_breed.at("boer") == "boer");
  CHECK(s.gestation_class_of_breed.at("kinder") == "dwarf");
  CHECK(s.gestation_class_of_breed.at("nigerian") == "dwarf");
  CHECK(s.papers.required == std::vector<std::string>{"CAE"});
  CHECK(s.papers.max_age_months == 6);
  CHECK(s.papers.isolation_days == 21);
  CHECK(s.loss_per_month == 0.02);
  CHECK(s.polled_rule == Verdict::caution);
  CHECK(s.find_out.gene_test == 35.5);
  CHECK(s.find_out.kids == 20.0);
  CHECK(s.find_out.papers == 0.0);
  CHECK(s.set.size() == 52);
  for (const auto* key :
       {"pens", "breed_inbreeding.Nubian", "kid.value_keep", "fate.keep.doe_kept", "open.value",
        "gestation.boer", "gestation.breeds.Boer", "rules.polled"}) {
    CAPTURE(key);
    CHECK(s.set.contains(key));
  }
}

TEST_CASE("a slip in season.toml is named at its place and leaves the default alone") {
  for (const auto& [text, complaint] : std::initializer_list<Slip>{
           {"currency = 3", "key-form 1:12"},
           {"currency = \" \"", "key-form 1:12"},
           {"own_herd = true", "key-form 1:12"},
           {"hemisphere = \"nord\"", "key-form 1:14"},
           {"hemisphere = 1", "key-form 1:14"},
           {"kid_from = \"2027-02-01\"", "key-form 1:12"},
           {"kid_from = 2027-02-01T10:00:00", "key-form 1:12"},
           {"kid_from = 2027-03-01\nkid_to = 2027-02-01", "key-form 2:10"},
           {"as_of = 2026", "key-form 1:9"},
           {"pens = -1", "key-form 1:8"},
           {"pens = 1.0", "key-form 1:8"},
           {"max_hired = \"2\"", "key-form 1:13"},
           {"hire_budget = -0.5", "key-form 1:15"},
           {"hire_budget = inf", "key-form 1:15"},
           {"hire_budget = nan", "key-form 1:15"},
           {"keepers_wanted = 99999999999", "key-form 1:18"},
           {"breed_inbreeding = 1.0", "key-form 1:20"},
           {"breed_inbreeding.nubian = 2", "key-form 1:27"},
           {"breed_inbreeding = {Nubian = 0.1, nubian = 0.2}", "key-form 1:44"},
           {"unknown_kinship = -0.1", "key-form 1:19"},
           {"kid = 3", "key-form 1:7"},
           {"[kid]\nsurvive = 1.1", "key-form 2:11"},
           {"[kid]\nlitter_size = 0", "key-form 2:15"},
           {"[fate.keep]\ndoe_kept = 2", "key-form 2:12"},
           {"[limits]\nkeep = [0.1, 0.2]", "key-form 2:8"},
           {"[limits]\nkeep = [0.1, 0.3, 0.2]", "key-form 2:8"},
           {"[limits]\nkeep = [0.1, \"x\", 0.2]", "key-form 2:14"},
           {"[limits]\nlethal = 0.01", "key-form 2:10"},
           {"[limits]\ncondition = [0.5, 4]", "key-form 2:14"},
           {"[limits]\nrest_days = -1", "key-form 2:13"},
           {"[settle]\nnever = 1", "key-form 2:9"},
           {"[settle]\ninfertile_proven = 1", "key-form 2:20"},
           {"[settle]\ncycling = [0.5]", "key-form 2:11"},
           {"[gestation]\nboer = [149]", "key-form 2:8"},
           {"[gestation]\nboer = [15, 3]", "key-form 2:8"},
           {"[gestation]\nbreeds.boer = \"dwrf\"", "key-form 2:15"},
           {"[papers]\nrequired = \"CAE\"", "key-form 2:12"},
           {"[papers]\nrequired = [1]", "key-form 2:13"},
           {"[risk]\nloss_per_month = 1.5", "key-form 2:18"},
           {"[find_out]\ngene_test = -1", "key-form 2:13"},
           {"[rules]\npolled = \"go\"", "key-form 2:10"},
           {"[[kid]]\nsurvive = 0.5", "key-form 1:1"},
           {"penz = 1", "key-unknown 1:1 (warning)"},
           {"[kid]\nvalue = 3", "key-unknown 2:1 (warning)"},
           {"[fate.kept]\ndoe_kept = 1", "key-unknown 1:7 (warning)"},
           {"[rules]\npens = 1", "key-unknown 2:1 (warning)"},
       }) {
    CAPTURE(text);
    const SeasonReading reading(text);
    CHECK(reading.only() == complaint);
    CHECK(reading.result.set.empty());
    check_same(reading.result, Season());
  }
}

TEST_CASE("a key under the wrong table is sent home, a misspelt one gets the nearest") {
  const SeasonReading wrong_table("[rules]\npens = 1\nsurvive = 0.8");
  REQUIRE(wrong_table.problems.size() == 2);
  CHECK(wrong_table.problems[0].remedy.find("top of the file") != std::string::npos);
  CHECK(wrong_table.problems[1].remedy.find("under [kid]") != std::string::npos);
  const SeasonReading misspelt("keepers_wantet = 3");
  REQUIRE(misspelt.problems.size() == 1);
  CHECK(misspelt.problems[0].remedy.find("keepers_wanted") != std::string::npos);
  CHECK(misspelt.problems[0].file == "file.toml");
}

TEST_CASE("breed_inbreeding by breed keeps the default for the others") {
  const SeasonReading reading("breed_inbreeding.nubian = 0.05");
  CHECK(reading.only() == "none");
  CHECK(reading.result.breed_inbreeding.other == 0.02);
  CHECK(reading.result.breed_inbreeding.named.at("nubian") == 0.05);
}
