// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <doewright/herdbook/built_in.hpp>

#include "toml_check.hpp"

using namespace doewright;

namespace {

using Rows = std::vector<std::vector<double>>;

template <typename Entry>
const Entry& find(const std::vector<Entry>& entries, std::string_view key) {
  for (const Entry& entry : entries) {
    if (entry.key == key) return entry;
  }
  FAIL("no built-in entry " << key);
  return entries.front();
}

}  // namespace

TEST_CASE("the built-in entries are readable files without a complaint, each with its source") {
  const FaultReading faults(built_in_faults_toml());
  CHECK(faults.only() == "none");
  CHECK(faults.result.size() == 9);
  for (const FaultModel& model : faults.result) {
    CAPTURE(model.key);
    CHECK_FALSE(model.source.empty());
    CHECK(model.assumed);  // in each at least one number is nobody's measurement
  }
  const TraitReading traits(built_in_traits_toml());
  CHECK(traits.only() == "none");
  CHECK(traits.result.size() == 6);
  for (const Trait& trait : traits.result) {
    CAPTURE(trait.key);
    CHECK_FALSE(trait.source.empty());
  }
}

TEST_CASE("built-in faults: what the literature says of them") {
  const auto faults = with_built_in_faults({});
  CHECK(faults.size() == 9);
  for (const FaultModel& model : faults) {
    CHECK(model.built_in);
    CHECK(model.row == Row{});
  }
  // Martin and others 2016, J. Dairy Sci. 99:8891-8900.
  const FaultModel& teats = find(faults, "teats");
  CHECK(teats.heritability == 0.40);
  CHECK(teats.incidence_above[0] == 0.04);
  CHECK(teats.grades.size() == 3);
  CHECK(find(faults, "folded_ears").kind == FaultKind::threshold);
  const FaultModel& ears = find(faults, "short_ears");
  CHECK_FALSE(ears.use);
  CHECK(ears.kind == FaultKind::locus);
  CHECK(ears.grades.size() == 3);
  const FaultModel& topline = find(faults, "topline");
  CHECK(topline.grades == std::vector<std::string>{"roached", "straight", "weak"});
  CHECK(topline.wanted == 1);
  // Pailhoux and others 2001, Nat. Genet. 29:453-458: polled dominant in both sexes, intersex
  // recessive in genetic females.
  const FaultModel& polled = find(faults, "polled");
  CHECK(polled.shown_doe->rows == Rows{{1, 0}, {0, 1}, {0, 1}});
  CHECK(polled.shown_buck->rows == Rows{{1, 0}, {0, 1}, {0, 1}});
  CHECK(polled.cost_keep == std::vector<double>{0, 0});
  const FaultModel& intersex = find(faults, "intersex");
  CHECK(intersex.same_locus_as == "polled");
  CHECK(intersex.shown_doe->rows == Rows{{1, 0}, {1, 0}, {0, 1}});
  CHECK_FALSE(intersex.shown_buck.has_value());
  // Nubian and crosses: 23.9 % carriers and 1.9 % affected, so q = 0.239 / 2 + 0.019.
  const FaultModel& g6s = find(faults, "g6s");
  CHECK(g6s.allele_frequency.named.at("nubian") ==
        doctest::Approx(0.239 / 2 + 0.019).epsilon(0.02));
  CHECK(find(faults, "mannosidosis").lethal_by_days.has_value());
  CHECK(find(faults, "myotonia").kind == FaultKind::locus);
}

TEST_CASE("built-in faults: a record of any age can be believed") {
  // Where detection is 0 an unwanted grade that was found would have no chance at all.
  for (const FaultModel& model : with_built_in_faults({})) {
    CAPTURE(model.key);
    if (!model.detection.empty()) CHECK(model.detection.front().first == 0.0);
    for (const auto& [age, chance] : model.detection) CHECK(chance > 0.0);
  }
}

TEST_CASE("built-in traits") {
  const auto traits = with_built_in_traits({});
  for (const auto* key : {"kids_born", "kids_raised", "help"}) {
    CHECK(find(traits, key).from == RecordsFrom::kiddings);
    CHECK(find(traits, key).shown_by == ShownBy::does);
  }
  CHECK(find(traits, "birth_weight").from == RecordsFrom::records);
  CHECK(find(traits, "weaning_weight").shown_by == ShownBy::both);
  // Meta-analysis of small ruminants: -0.004 and -0.054 kg for 1 % of the kid's F.
  CHECK(find(traits, "birth_weight").per_percent_inbreeding == -0.004);
  CHECK(find(traits, "weaning_weight").per_percent_inbreeding == -0.054);
  CHECK(find(traits, "milk").shown_by == ShownBy::does);
}
