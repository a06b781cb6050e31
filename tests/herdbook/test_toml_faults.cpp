// SPDX-License-Identifier: MIT
#include <algorithm>

#include <doctest/doctest.h>

#include "toml_check.hpp"

using namespace doewright;

namespace {

using Rows = std::vector<std::vector<double>>;

FaultModel only_model(std::string_view text) {
  const FaultReading reading(text);
  CAPTURE(text);
  CHECK(reading.only() == "none");
  REQUIRE(reading.result.size() == 1);
  return reading.result[0];
}

const FaultModel& find(const std::vector<FaultModel>& models, std::string_view key) {
  for (const FaultModel& model : models) {
    if (model.key == key) return model;
  }
  FAIL("no such fault: " << key);
  return models.front();
}

}  // namespace

TEST_CASE("the manual's two entries mean what it says beside them") {
  const FaultReading reading(R"([mannosidosis]
name = "beta-mannosidosis"
model = "locus"
inheritance = "autosomal"
allele_frequency = 0.02
grades = ["no", "yes"]
shown.any = [[1, 0], [1, 0], [0, 1]]
test_error = 0.005
detection = [[0, 1.0]]
repeat = "worst"
seen_by = "birth"
lethal_by_days = 30
cost_shown_keep = 60.0
cost_shown_meat = 0.0
cost_carried = 10.0
source = "where the numbers come from; 'assumed' where they are"

[teats]
model = "threshold"
heritability = 0.40
grades = ["no", "minor", "serious"]
wanted = "no"
incidence_above = [0.04, 0.01]
incidence_worth = 50
)");
  CHECK(reading.only() == "none");
  REQUIRE(reading.result.size() == 2);
  const FaultModel& locus = reading.result[0];
  CHECK(locus.key == "mannosidosis");
  CHECK(locus.name == "beta-mannosidosis");
  CHECK(locus.kind == FaultKind::locus);
  CHECK(locus.inheritance == Inheritance::autosomal);
  CHECK(locus.allele_frequency.other == 0.02);
  CHECK(locus.grades == std::vector<std::string>{"no", "yes"});
  CHECK(locus.wanted == 0);
  REQUIRE(locus.shown_doe.has_value());
  REQUIRE(locus.shown_buck.has_value());
  CHECK(locus.shown_doe->rows == Rows{{1, 0}, {1, 0}, {0, 1}});
  CHECK(locus.shown_buck->rows == Rows{{1, 0}, {1, 0}, {0, 1}});
  CHECK(locus.test_error == 0.005);
  CHECK(locus.detection == std::vector<std::pair<double, double>>{{0, 1}});
  CHECK(locus.repeat == Repeat::worst);
  CHECK(locus.seen_by == SeenBy::birth);
  CHECK(locus.lethal_by_days == 30.0);
  CHECK(locus.cost_keep == std::vector<double>{0, 60});
  CHECK(locus.cost_meat == std::vector<double>{0, 0});
  CHECK(locus.cost_carried == 10);
  CHECK(locus.assumed);
  CHECK(locus.use);
  CHECK_FALSE(locus.built_in);
  CHECK(locus.row == Row{Table::faults, 1});

  const FaultModel& threshold = reading.result[1];
  CHECK(threshold.key == "teats");
  CHECK(threshold.name == "teats");
  CHECK(threshold.kind == FaultKind::threshold);
  CHECK(threshold.heritability == 0.40);
  CHECK(threshold.grades == std::vector<std::string>{"no", "minor", "serious"});
  CHECK(threshold.incidence_above == std::vector<double>{0.04, 0.01});
  CHECK(threshold.incidence_above_doe.empty());
  CHECK(threshold.incidence_worth == 50.0);
  CHECK(threshold.cost_keep.empty());
  CHECK(threshold.seen_by == SeenBy::birth);
  CHECK_FALSE(threshold.assumed);
  CHECK(threshold.row == Row{Table::faults, 18});
}

TEST_CASE("defaults of an entry of one's own") {
  const FaultModel model =
      only_model("[x]\nmodel = \"locus\"\nallele_frequency = 0.1\npattern = \"recessive\"");
  CHECK(model.name == "x");
  CHECK(model.grades == std::vector<std::string>{"no", "yes"});
  CHECK(model.wanted == 0);
  CHECK(model.seen_by == SeenBy::birth);
  CHECK(model.repeat == Repeat::worst);
  CHECK(model.test_error == 0.005);
  CHECK(model.detection.empty());
  CHECK_FALSE(model.lethal_by_days.has_value());
  CHECK(model.cost_carried == 0);
  CHECK(model.cost_keep.empty());
  CHECK(model.cost_meat.empty());
  CHECK(model.source.empty());
  const FaultModel many = only_model("[y]\nmodel='threshold'\nheritability=0.3\nincidence=0.04");
  CHECK(many.incidence_above == std::vector<double>{0.04});
  CHECK_FALSE(many.incidence_worth.has_value());
}

TEST_CASE("patterns are short ways to write the chances") {
  const auto doe_rows = [](std::string_view pattern) {
    const FaultModel model =
        only_model(fmt::format("[x]\nmodel = \"locus\"\nallele_frequency = 0.1\n{}", pattern));
    return model.shown_doe->rows;
  };
  CHECK(doe_rows("pattern = 'recessive'") == Rows{{1, 0}, {1, 0}, {0, 1}});
  CHECK(doe_rows("pattern = 'dominant'") == Rows{{1, 0}, {0, 1}, {0, 1}});
  CHECK(doe_rows("pattern = 'incomplete'") == Rows{{1, 0}, {0.5, 0.5}, {0, 1}});
  CHECK(doe_rows("pattern = 'recessive'\npenetrance = 0.75\nphenocopies = 0.25") ==
        Rows{{0.75, 0.25}, {0.75, 0.25}, {0.25, 0.75}});
  CHECK(doe_rows("pattern = 'dominant'\npenetrance = 0.75") ==
        Rows{{1, 0}, {0.25, 0.75}, {0.25, 0.75}});
  CHECK(doe_rows("pattern = 'incomplete'\none_copy = 0.25") == Rows{{1, 0}, {0.75, 0.25}, {0, 1}});
  CHECK(doe_rows("pattern = 'recessive'\ngrades = ['bad', 'good']\nwanted = 'good'") ==
        Rows{{0, 1}, {0, 1}, {1, 0}});
}

TEST_CASE("an x-linked fault: a buck has one copy, which acts like a doe's two") {
  const FaultModel pattern = only_model(
      "[x]\nmodel='locus'\ninheritance='x-linked'\nallele_frequency=0.1\npattern='recessive'");
  CHECK(pattern.shown_doe->rows == Rows{{1, 0}, {1, 0}, {0, 1}});
  CHECK(pattern.shown_buck->rows == Rows{{1, 0}, {0, 1}});
  const FaultModel rows = only_model(
      "[x]\nmodel='locus'\ninheritance='x-linked'\nallele_frequency=0.1\n"
      "shown.doe=[[1,0],[0.5,0.5],[0,1]]\nshown.buck=[[1,0],[0.25,0.75]]");
  CHECK(rows.shown_buck->rows == Rows{{1, 0}, {0.25, 0.75}});
}

TEST_CASE("a sex left out is not scored; a sex beside `any` goes before it") {
  const FaultModel does =
      only_model("[x]\nmodel='locus'\nallele_frequency=0.1\nshown.doe=[[1,0],[1,0],[0,1]]");
  CHECK(does.shown_doe.has_value());
  CHECK_FALSE(does.shown_buck.has_value());
  const FaultModel both = only_model(
      "[x]\nmodel='locus'\nallele_frequency=0.1\nshown.any=[[1,0],[1,0],[0,1]]\n"
      "shown.buck=[[1,0],[0,1],[0,1]]");
  CHECK(both.shown_doe->rows == Rows{{1, 0}, {1, 0}, {0, 1}});
  CHECK(both.shown_buck->rows == Rows{{1, 0}, {0, 1}, {0, 1}});
}

TEST_CASE("frequency by breed, incidence by sex, costs by grade, the middle grade wanted") {
  const FaultModel breeds = only_model(
      "[x]\nmodel='locus'\npattern='recessive'\nallele_frequency.Nubian=0.05\n"
      "allele_frequency.other=0.03");
  CHECK(breeds.allele_frequency.other == 0.03);
  CHECK(breeds.allele_frequency.named == std::map<std::string, double>{{"nubian", 0.05}});

  const FaultModel sexes = only_model(
      "[x]\nmodel='threshold'\nheritability=0.3\ngrades=['no','a','b']\n"
      "incidence_above.any=[0.04,0.01]\nincidence_above.doe=[0.05]\n"
      "incidence_above.buck=[0.03,0.02]\ncost_keep=[0,10,20]\ncost_meat=[0,1,2]");
  CHECK(sexes.incidence_above == std::vector<double>{0.04, 0.01});
  CHECK(sexes.incidence_above_doe == std::vector<double>{0.05});
  CHECK(sexes.incidence_above_buck == std::vector<double>{0.03, 0.02});
  CHECK(sexes.cost_keep == std::vector<double>{0, 10, 20});
  CHECK(sexes.cost_meat == std::vector<double>{0, 1, 2});

  const FaultModel both_whole = only_model(
      "[x]\nmodel='threshold'\nheritability=0.3\nincidence_above.doe=[0.06]\n"
      "incidence_above.buck=[0.02]");
  CHECK(both_whole.incidence_above == std::vector<double>{(0.06 + 0.02) / 2});

  const FaultModel middle = only_model(
      "[x]\nmodel='threshold'\nheritability=0.3\ngrades=['roached','straight','weak']\n"
      "wanted='straight'\nincidence_above=[0.97,0.07]\nseen_by='kidding'\ncost_shown_keep=60\n"
      "repeat='latest'\ndetection=[[0,0.5],[180,1]]");
  CHECK(middle.wanted == 1);
  CHECK(middle.cost_keep == std::vector<double>{60, 0, 60});
  CHECK(middle.cost_meat.empty());
  CHECK(middle.seen_by == SeenBy::kidding);
  CHECK(middle.repeat == Repeat::latest);
  CHECK(middle.detection == std::vector<std::pair<double, double>>{{0, 0.5}, {180, 1}});
}

TEST_CASE("another sign of the same gene takes its frequency") {
  const FaultModel sign =
      only_model("[sign]\nmodel='locus'\nsame_locus_as='polled'\nshown.doe=[[1,0],[1,0],[0,1]]");
  CHECK(sign.same_locus_as == "polled");
  const FaultReading own(
      "[gene]\nmodel='locus'\nallele_frequency=0.1\npattern='dominant'\n"
      "[sign]\nmodel='locus'\nsame_locus_as='gene'\npattern='recessive'\nuse=false");
  CHECK(own.only() == "none");
  CHECK_FALSE(own.result.at(1).use);
}

TEST_CASE("an entry of nothing but `use` switches a built-in one") {
  const FaultReading reading("[teats]\nuse = false\n\n[short_ears]\nuse = true");
  CHECK(reading.only() == "none");
  const auto all = with_built_in_faults(reading.result);
  CHECK(all.size() == with_built_in_faults({}).size());
  CHECK(all[0].key == "teats");
  CHECK_FALSE(all[0].use);
  CHECK_FALSE(all[0].built_in);
  CHECK(all[0].heritability == 0.40);
  CHECK(all[1].key == "short_ears");
  CHECK(all[1].use);
  CHECK(all[1].row == Row{Table::faults, 4});
  CHECK(all[2].built_in);
}

TEST_CASE("own entries come first, built-ins that are not replaced after them") {
  const FaultReading reading(
      "[zeta]\nmodel='threshold'\nheritability=0.3\nincidence=0.1\n"
      "[polled]\nmodel='locus'\nallele_frequency=0.4\npattern='dominant'\ncost_shown_keep=0");
  CHECK(reading.only() == "none");
  const auto all = with_built_in_faults(reading.result);
  CHECK(all.size() == with_built_in_faults({}).size() + 1);
  CHECK(all[0].key == "zeta");
  CHECK(all[1].key == "polled");
  CHECK(all[1].allele_frequency.other == 0.4);
  CHECK(std::count_if(all.begin(), all.end(), [](const auto& m) { return m.key == "polled"; }) ==
        1);
}

TEST_CASE("a broken entry is not computed with, but its key stays known") {
  const FaultReading own("[x]\nmodel='threshold'\nincidence=0.1");
  REQUIRE(own.result.size() == 1);
  CHECK_FALSE(own.result[0].use);
  // In place of a built-in one, that one stands.
  const FaultReading named("[teats]\nmodel='threshold'\nincidence=0.1");
  CHECK(named.only() == "key-form 1:1");
  const auto all = with_built_in_faults(named.result);
  CHECK(find(all, "teats").use);
  CHECK(find(all, "teats").built_in);
}

TEST_CASE("a slip in faults.toml is named at its place") {
  constexpr std::string_view locus = "[x]\nmodel='locus'\nallele_frequency=0.1\n";
  constexpr std::string_view threshold = "[x]\nmodel='threshold'\nheritability=0.3\n";
  const auto after = [](std::string_view head, std::string_view text) {
    return FaultReading(fmt::format("{}{}", head, text)).only();
  };
  CHECK(FaultReading("x = 3").only() == "key-form 1:5");
  CHECK(FaultReading("[[x]]\nmodel = 'locus'").only() == "key-form 1:1");
  CHECK(FaultReading("[x]").only() == "key-form 1:1");
  CHECK(FaultReading("[x]\nuse=false").only() == "key-form 1:1");
  CHECK(FaultReading("[x]\nmodel='loci'").only() == "key-form 2:7");
  CHECK(FaultReading("[date]\nmodel='locus'").only() == "key-form 1:2");
  CHECK(FaultReading("['']\nmodel='locus'").only() == "key-form 1:2");
  CHECK(FaultReading("[Teats]\nmodel='locus'").only() == "key-form 1:2");
  CHECK(FaultReading("[foldedears]\nmodel='locus'").only() == "key-form 1:2");
  CHECK(FaultReading("[teats]\nuse='no'").only() == "key-form 2:5");

  CHECK(FaultReading("[x]\nmodel='locus'\npattern='recessive'").only() == "key-form 1:1");
  CHECK(after(locus, "") == "key-form 1:1");
  CHECK(after(locus, "pattern='reccessive'") == "key-form 4:9");
  CHECK(after(locus, "pattern='recessive'\npenetrance=1.5") == "key-form 5:12");
  CHECK(after(locus, "pattern='recessive'\none_copy=0.5") == "key-unknown 5:1 (warning)");
  CHECK(after(locus, "pattern='recessive'\nshown.any=[[1,0],[1,0],[0,1]]") == "key-form 4:9");
  CHECK(after(locus, "pattern='recessive'\ngrades=['no','a','b']") == "key-form 4:9");
  CHECK(after(locus, "shown=[[1,0],[1,0],[0,1]]") == "key-form 4:7");
  CHECK(after(locus, "shown.any=[[1,0],[1,0]]") == "key-form 4:11");
  CHECK(after(locus, "shown.any=[[1,0],[1,0],[0,0.9]]") == "key-form 4:11");
  CHECK(after(locus, "shown.any=[[1,0],[1,0],[0,1,0]]") == "key-form 4:11");
  CHECK(after(locus, "shown.any=[[1,0],[1,0],[-0.5,1.5]]") == "key-form 4:25");
  CHECK(after(locus, "shown.does=[[1,0],[1,0],[0,1]]") ==
        "key-unknown 4:7 (warning); key-form 4:1");
  CHECK(after(locus, "inheritance='x-linked'\nshown.buck=[[1,0],[1,0],[0,1]]") == "key-form 5:12");
  CHECK(after(locus, "pattern='recessive'\ninheritance='sex'") == "key-form 5:13");
  CHECK(after(locus, "pattern='recessive'\ntest_error=0.6") == "key-form 5:12");
  CHECK(after(locus, "pattern='recessive'\nlethal_by_days=-1") == "key-form 5:16");
  CHECK(after(locus, "pattern='recessive'\ncost_carried=-1") == "key-form 5:14");
  CHECK(after(locus, "pattern='recessive'\nheritability=0.4") == "key-unknown 5:1 (warning)");
  CHECK(after(locus, "pattern='recessive'\nsame_locus_as='polled'") == "key-unknown 3:1 (warning)");
  CHECK(after(locus, "pattern='recessive'\nsourec='x'") == "key-unknown 5:1 (warning)");
  CHECK(after(locus, "shown.any=[[1,0],[1,0],[0,1]]\npenetrance=1") == "key-unknown 5:1 (warning)");
  CHECK(FaultReading("[x]\nmodel='locus'\nallele_frequency=1.5\npattern='dominant'").only() ==
        "key-form 3:18");
  CHECK(
      FaultReading("[x]\nmodel='locus'\nallele_frequency.nubian=0.1\npattern='dominant'").only() ==
      "key-form 3:1");
  CHECK(FaultReading("[x]\nmodel='locus'\nsame_locus_as='poled'\npattern='dominant'").only() ==
        "key-form 3:15");
  CHECK(FaultReading("[x]\nmodel='locus'\nsame_locus_as='x'\npattern='dominant'").only() ==
        "key-form 3:15");
  CHECK(FaultReading("[x]\nmodel='locus'\nsame_locus_as='teats'\npattern='dominant'").only() ==
        "key-form 3:15");
  CHECK(FaultReading("[x]\nmodel='locus'\nsame_locus_as='intersex'\npattern='dominant'").only() ==
        "key-form 3:15");
  CHECK(FaultReading("[polled]\nmodel='threshold'\nheritability=0.3\nincidence=0.2").only() ==
        "key-form 1:1");

  CHECK(FaultReading("[x]\nmodel='threshold'\nincidence=0.1").only() == "key-form 1:1");
  CHECK(FaultReading("[x]\nmodel='threshold'\nheritability=1\nincidence=0.1").only() ==
        "key-form 3:14");
  CHECK(after(threshold, "") == "key-form 1:1");
  CHECK(after(threshold, "incidence=0") == "key-form 4:11");
  CHECK(after(threshold, "incidence=0.1\nincidence_above=[0.1]") == "key-form 4:11");
  CHECK(after(threshold, "incidence=0.1\ngrades=['no','a','b']") == "key-form 4:11");
  CHECK(after(threshold, "incidence_above=0.1") == "key-form 4:17");
  CHECK(after(threshold, "incidence_above=[0.1,0.05]") == "key-form 4:17");
  CHECK(after(threshold, "grades=['no','a','b']\nincidence_above=[0.1,0.2]") == "key-form 5:17");
  CHECK(after(threshold, "incidence_above.doe=[0.1]") == "key-form 4:1");
  CHECK(after(threshold, "incidence_above.any=[0.1]\nincidence_above.buck=[0.2,0.1]") ==
        "key-form 5:22");
  CHECK(after(threshold, "incidence=0.1\nincidence_worth=-1") == "key-form 5:17");
  CHECK(after(threshold, "incidence=0.1\nallele_frequency=0.1") == "key-unknown 5:1 (warning)");
  CHECK(after(threshold, "incidence=0.1\nwanted='maybe'") == "key-form 5:8");
  CHECK(after(threshold, "incidence=0.1\nwanted='yes'") == "key-form 5:8");
  CHECK(after(threshold, "incidence=0.1\ngrades=['no']") == "key-form 5:8");
  CHECK(after(threshold, "incidence=0.1\ngrades=['no','No']") == "key-form 5:8");
  CHECK(after(threshold, "incidence=0.1\ngrades=['no','removed']") == "key-form 5:8");
  CHECK(after(threshold, "incidence=0.1\ngrades=['yes','no']") == "key-form 5:8");
  CHECK(after(threshold, "incidence=0.1\nname=3") == "key-form 5:6");
  CHECK(after(threshold, "incidence=0.1\nname=' '") == "key-form 5:6");
  CHECK(after(threshold, "incidence=0.1\nsource=3") == "key-form 5:8");
  CHECK(after(threshold, "incidence=0.1\nrepeat='best'") == "key-form 5:8");
  CHECK(after(threshold, "incidence=0.1\nseen_by='kiding'\ncost_shown_keep=1") == "key-form 5:9");
  CHECK(after(threshold, "incidence=0.1\nseen_by='kidding'") == "key-form 1:1");
  CHECK(after(threshold, "incidence=0.1\ncost_shown_keep=-1") == "key-form 5:17");
  CHECK(after(threshold, "incidence=0.1\ncost_keep=[0]") == "key-form 5:11");
  CHECK(after(threshold, "incidence=0.1\ncost_keep=[0,1]\ncost_shown_keep=1") == "key-form 6:17");
  CHECK(after(threshold, "incidence=0.1\ncost_meat=[0,-1]") == "key-form 5:14");
  CHECK(after(threshold, "incidence=0.1\ndetection=[[0,2]]") == "key-form 5:11");
  CHECK(after(threshold, "incidence=0.1\ndetection=[[90,1],[0,1]]") == "key-form 5:11");
  CHECK(after(threshold, "incidence=0.1\ndetection=[0,1]") == "key-form 5:12");
}

TEST_CASE("the remedy names the nearest word") {
  const FaultReading reading(
      "[x]\nmodel='threshold'\nheritability=0.3\nincidense=0.1\nseen_by='weanin'");
  std::string remedies;
  for (const Problem& problem : reading.problems) remedies += problem.remedy + "\n";
  CHECK(remedies.find("\"incidence\"") != std::string::npos);
  CHECK(remedies.find("\"weaning\"") != std::string::npos);
}
