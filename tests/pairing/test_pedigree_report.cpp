// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <map>
#include <random>
#include <string>

#include <doctest/doctest.h>

#include <doewright/core/errors.hpp>
#include <doewright/pairing/pedigree_report.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "herd/tiny_herd.hpp"
#include "kinship/reference_case.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

PedigreeReport report_of(const Herd& herd, std::string_view id, int generations = 4) {
  return pedigree_report(herd, Kinship(herd.pedigree, unknown_parents(herd)), animal(herd, id),
                         generations);
}

const PedigreePlace& place(const PedigreeReport& report, std::string_view path) {
  for (const PedigreePlace& each : report.places) {
    if (each.place == path) return each;
  }
  FAIL("no such place");
  return report.places.front();
}

/// A herd of a pedigree alone.
Herd herd_of_pedigree(const BuiltPedigree& built) {
  Herd herd = herd_of({});
  herd.pedigree = built.pedigree;
  herd.ids = built.ids;
  const std::size_t n = herd.pedigree.size();
  herd.animals.line.assign(n, 0);
  herd.animals.sex.resize(n);
  herd.animals.born.resize(n);
  herd.animals.horns.resize(n);
  herd.animals.gone.resize(n);
  herd.animals.left.resize(n);
  herd.animals.left_why.resize(n);
  herd.animals.breed_mix.resize(n);
  herd.animals.owner.resize(n);
  return herd;
}

/// What a buyer does with the printed chart: of every way up the sire's half and every way up the
/// dam's half that end in one animal and share no other, halve once for each animal on it.
double from_the_chart(const PedigreeReport& report,
                      std::map<Animal, std::size_t>* deepest = nullptr) {
  std::map<std::string, Animal> at;
  for (const PedigreePlace& each : report.places) {
    if (!each.held.empty()) at[each.place] = each.held.front().sire;
  }
  std::map<Animal, double> own;
  for (const PedigreeSharedAncestor& each : report.shared) {
    own[each.ancestor.value()] = each.own_inbreeding;
  }
  const auto share_nobody = [&](const std::string& p, const std::string& q) {
    for (std::size_t i = 1; i <= p.size(); ++i) {
      for (std::size_t j = 1; j <= q.size(); ++j) {
        if (i == p.size() && j == q.size()) continue;
        if (at.at(p.substr(0, i)) == at.at(q.substr(0, j))) return false;
      }
    }
    return true;
  };
  double f = 0.0;
  for (const auto& [p, who] : at) {
    for (const auto& [q, also] : at) {
      if (p.front() != 's' || q.front() != 'd' || who != also || !share_nobody(p, q)) continue;
      if (deepest != nullptr) {
        std::size_t& depth = (*deepest)[who];
        depth = std::max({depth, p.size(), q.size()});
      }
      f += std::pow(0.5, static_cast<double>(p.size() + q.size() - 1)) * (1.0 + own.at(who));
    }
  }
  return f;
}

}  // namespace

TEST_CASE("Roan Gauntlet: two ancestors make the F, and a short chart says which lies deeper") {
  // Wright (1922), Coefficients of inbreeding and relationship, American Naturalist 56:330-338
  // (figures from memory, the arithmetic checked: tests/reference/pedigree/wright-roan-gauntlet).
  const BuiltPedigree built = read_pedigree(std::string(DOEWRIGHT_SOURCE_DIR) +
                                            "/tests/reference/pedigree/wright-roan-gauntlet");
  const Herd herd = herd_of_pedigree(built);
  const PedigreeReport four = report_of(herd, "Roan Gauntlet", 4);
  CHECK(four.inbreeding == doctest::Approx(9.0 / 64).epsilon(1e-12));
  REQUIRE(four.shared.size() == 2);
  CHECK(four.shared[0].ancestor == animal(herd, "Champion of England"));
  CHECK(four.shared[0].contribution == doctest::Approx(1.0 / 8).epsilon(1e-12));
  CHECK(four.shared[1].ancestor == animal(herd, "Lord Raglan"));
  CHECK(four.shared[1].contribution == doctest::Approx(1.0 / 64).epsilon(1e-12));
  CHECK(from_the_chart(four) == doctest::Approx(9.0 / 64).epsilon(1e-12));
  CHECK_FALSE(four.shared[1].beyond_chart);

  const PedigreeReport three = report_of(herd, "Roan Gauntlet", 3);
  CHECK_FALSE(three.shared[0].beyond_chart);
  CHECK(three.shared[1].beyond_chart);
  CHECK(three.shared[1].deepest == 4);
}

TEST_CASE("a buyer can work F out again from a chart that is deep enough: 200 random pedigrees") {
  std::mt19937 random(20261126);
  int inbred = 0;
  for (int round = 0; round < 200; ++round) {
    CAPTURE(round);
    // Six layers, few animals each, so that ancestors repeat; nobody has more than five
    // generations.
    PedigreeBuilder builder;
    const auto name = [](int layer, unsigned k, char sex) {
      return std::string(1, sex) + std::to_string(layer) + std::to_string(k);
    };
    for (int layer = 0; layer < 6; ++layer) {
      for (unsigned k = 0; k < 2; ++k) {
        for (const char sex : {'b', 'd'}) {
          const auto parent = [&](char of) {
            if (layer == 0 || random() % 8 == 0) return std::string();
            // Some lines skip a layer, so that an ancestor lies deeper on one side than on the
            // other.
            const int back = layer > 1 && random() % 3 == 0 ? 2 : 1;
            return name(layer - back, random() % 2, of);
          };
          const std::string sire = parent('b'), dam = parent('d');
          builder.add(name(layer, k, sex), sire, dam);
        }
      }
    }
    const Herd herd = herd_of_pedigree(std::move(builder).build());
    const PedigreeReport report = report_of(herd, "d50", 5);
    if (report.inbreeding > 0.0) ++inbred;
    std::map<Animal, std::size_t> deepest;
    CHECK(from_the_chart(report, &deepest) == doctest::Approx(report.inbreeding).epsilon(1e-10));
    double sum = 0.0;
    for (const PedigreeSharedAncestor& each : report.shared) {
      sum += each.contribution;
      CHECK_FALSE(each.beyond_chart);
      CHECK(each.deepest == deepest[each.ancestor.value()]);
    }
    CHECK(sum == doctest::Approx(report.inbreeding).epsilon(1e-10));
  }
  CHECK(inbred > 100);  // so that the rounds above say something
}

TEST_CASE("two possible sires stand in one place with their chances, and F is told for each") {
  // Henderson (1988), J. Anim. Sci. 66:1614: the expectation over the bucks. Larch and the dam have
  // Rowan for sire (half sibs, F = 1/8); Alder is a stranger.
  const Herd herd = herd_of(
      {{"Rowan"}, {"Alder"}, {"Larch", "Rowan", ""}, {"Hazel", "Rowan", ""}, {"Ivy", "", "Hazel"}},
      {{"Ivy", "Larch", 0.7}, {"Ivy", "Alder", 0.2}});
  const PedigreeReport report = report_of(herd, "Ivy", 3);
  CHECK(report.inbreeding == doctest::Approx(0.7 / 8).epsilon(1e-12));
  REQUIRE(report.if_sire.size() == 2);
  CHECK(report.if_sire[0].inbreeding == doctest::Approx(1.0 / 8).epsilon(1e-12));
  CHECK(report.if_sire[1].inbreeding == 0.0);
  CHECK_FALSE(report.readings.has_value());
  const PedigreePlace& sire = place(report, "s");
  REQUIRE(sire.held.size() == 2);
  CHECK(sire.held[0].sire == animal(herd, "Larch"));
  CHECK(sire.held[0].probability == doctest::Approx(0.7));
  REQUIRE(place(report, "ss").held.size() == 1);
  CHECK(place(report, "ss").held[0].probability == doctest::Approx(0.7));
  REQUIRE(report.shared.size() == 1);
  CHECK(report.shared[0].contribution == doctest::Approx(0.7 / 8).epsilon(1e-12));
}

TEST_CASE("every place is there, known or not, sire before dam") {
  const Herd herd = herd_of({{"Oak"}, {"Ivy", "Oak", ""}});
  const PedigreeReport report = report_of(herd, "Ivy", 3);
  REQUIRE(report.places.size() == 14);
  std::string order;
  for (const PedigreePlace& each : report.places) order += each.place + " ";
  CHECK(order == "s d ss sd ds dd sss ssd sds sdd dss dsd dds ddd ");
  CHECK(place(report, "d").held.empty());
  CHECK(report.completeness == 0.0);  // MacCluer: one side is blank
  CHECK(report.known.places[0] == 1.0);
  CHECK(report_of(herd, "Ivy", 5).places.size() == 62);
}

TEST_CASE("looks are three states, counted for full and half sibs apart") {
  Herd herd = herd_of({{"Oak", "", "", Sex::buck},
                       {"Ash", "", "", Sex::buck},
                       {"Ivy", "", "", Sex::doe},
                       {"Fern", "", "", Sex::doe},
                       {"Hazel", "Oak", "Ivy", Sex::doe},
                       {"Rue", "Oak", "Ivy", Sex::doe},
                       {"Sage", "Oak", "Fern", Sex::doe},
                       {"Dill", "Ash", "Ivy", Sex::doe},
                       {"Mint", "Oak", "", Sex::doe}});
  FaultModel teats;
  teats.key = "teats";
  herd.faults = {teats, teats};
  herd.faults[1].key = "never looked for";
  const auto look = [&](const char* id, std::uint8_t grade, Found found = Found::grade) {
    herd.examinations.push_back({.animal = animal(herd, id),
                                 .fault = 0,
                                 .found = found,
                                 .grade = grade,
                                 .date = {},
                                 .age_days = 0,
                                 .by = {},
                                 .note = {},
                                 .row = {Table::examinations, 2}});
  };
  look("Rue", 1);
  look("Sage", 0);
  look("Dill", 0, Found::removed);
  look("Ivy", 0);
  const PedigreeReport report = report_of(herd, "Hazel");
  REQUIRE(report.faults.size() == 1);  // what nobody in the herd ever looked for is no row
  const PedigreeFault& entry = report.faults.front();
  CHECK(entry.own.look == Look::not_looked);
  CHECK(entry.sire.look == Look::not_looked);
  CHECK(entry.dam.look == Look::clear);
  CHECK(entry.full_sibs.animals == 1);
  CHECK(entry.full_sibs.found == 1);
  CHECK(entry.half_sibs.animals == 3);  // Sage and Mint by the sire, Dill by the dam
  CHECK(entry.half_sibs.examined == 2);
  CHECK(entry.half_sibs.found == 1);  // removed is found
  bool said = false;
  for (const PedigreeNotKnown& gap : report.not_known) said |= gap.gap == PedigreeGap::looks;
  CHECK(said);
}

TEST_CASE("a blood sample under six months of age is too young to tell; a gene test is not") {
  // Antibodies drunk with the colostrum: common practice, no source.
  Herd herd = herd_of({{"Ivy", "", "", Sex::doe, date("2026-01-10")}});
  herd.season.papers.required = {"CAE"};
  FaultModel gene;
  gene.key = "g6s";
  gene.kind = FaultKind::locus;
  herd.faults = {gene};
  const auto blood = [&](const char* day) {
    herd.health_tests = {{.animal = animal(herd, "Ivy"),
                          .disease = "CAE",
                          .result = "negative",
                          .date = date(day),
                          .laboratory = {},
                          .row = {}}};
    return report_of(herd, "Ivy").tests.back();
  };
  CHECK(blood("2026-07-09").age == SampleAge::too_young);
  CHECK(blood("2026-07-09").months == 5);
  CHECK(blood("2026-07-10").age == SampleAge::told);
  CHECK(blood("2026").age == SampleAge::not_known);
  const auto untold = [&] {
    for (const PedigreeNotKnown& gap : report_of(herd, "Ivy").not_known) {
      if (gap.gap == PedigreeGap::health_tests) return true;
    }
    return false;
  };
  blood("2026-07-09");
  CHECK(untold());
  blood("2026-07-10");
  CHECK_FALSE(untold());
  herd.gene_tests = {{.animal = animal(herd, "Ivy"),
                      .fault = 0,
                      .copies = 1,
                      .date = date("2026-02-01"),
                      .laboratory = {},
                      .row = {}}};
  CHECK(report_of(herd, "Ivy").tests.front().age == SampleAge::told);
  CHECK(report_of(herd, "Ivy").tests.front().result == "carrier");
}

TEST_CASE("a record stands beside mates of its group, sex and parity, each mate counted once") {
  Herd herd = herd_of({{"Ivy", "", "", Sex::doe, date("2024")},
                       {"Rue", "", "", Sex::doe, date("2024")},
                       {"Sage", "", "", Sex::doe, date("2024")},
                       {"Oak", "", "", Sex::buck, date("2024")},
                       {"Dill", "", "", Sex::doe, date("2023")}});
  Trait weight;
  weight.key = "weight";
  weight.fixed = {"sex"};
  herd.traits = {weight};
  const auto record = [&](const char* id, double value, std::string group = "") {
    herd.records.push_back({.animal = animal(herd, id),
                            .trait = 0,
                            .value = value,
                            .date = {},
                            .group = std::move(group),
                            .parity = {},
                            .age_days = {},
                            .row = {}});
  };
  record("Ivy", 20.0);
  record("Rue", 10.0);
  record("Rue", 14.0);
  record("Sage", 18.0);
  record("Oak", 99.0);        // another sex
  record("Dill", 99.0);       // another year
  record("Sage", 99.0, "x");  // another group
  const PedigreeReport report = report_of(herd, "Ivy");
  REQUIRE(report.records.size() == 1);
  CHECK(report.records[0].mates == 2);
  CHECK(report.records[0].mates_mean == doctest::Approx(15.0));  // (12 + 18) / 2
}

TEST_CASE("another number of generations, or no such animal, is the caller's mistake") {
  const Herd herd = herd_of({{"Oak"}});
  const Kinship kinship(herd.pedigree);
  CHECK_THROWS_AS(pedigree_report(herd, kinship, Animal{0}, 2), UsageError);
  CHECK_THROWS_AS(pedigree_report(herd, kinship, Animal{0}, 6), UsageError);
  CHECK_THROWS_AS(pedigree_report(herd, kinship, Animal{1}, 4), UsageError);
}
