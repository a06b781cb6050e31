// SPDX-License-Identifier: MIT
#include <doewright/pairing/pedigree_report.hpp>

#include <algorithm>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>

#include "pedigree_chart.hpp"

namespace doewright {

namespace {

double places_not_recorded(const PedigreeReport& report) {
  double blank = 0.0;
  for (const PedigreePlace& place : report.places) {
    double filled = 0.0;
    for (const SireChance& each : place.held) filled += each.probability;
    blank += std::max(0.0, 1.0 - filled);
  }
  return blank < 1e-9 ? 0.0 : blank;
}

/// Is there a dated test of this disease at an age at which it tells something?
bool has_test_that_tells(const PedigreeReport& report, std::string_view disease) {
  const std::string wanted = lower_ascii(trimmed(disease));
  return std::any_of(report.tests.begin(), report.tests.end(), [&](const PedigreeTest& test) {
    return !test.fault && test.age == SampleAge::told && lower_ascii(trimmed(test.what)) == wanted;
  });
}

}  // namespace

std::vector<PedigreeNotKnown> gaps_of(const Herd& herd, const PedigreeReport& report) {
  std::vector<PedigreeNotKnown> gaps;
  const auto add = [&](PedigreeGap gap) -> PedigreeNotKnown& {
    gaps.emplace_back().gap = gap;
    return gaps.back();
  };
  const std::size_t i = report.animal.position;
  if (!herd.animals.born[i].to_the_day()) add(PedigreeGap::birth_day);
  const auto sires = herd.pedigree.possible_sires(report.animal);
  if (sires.empty()) add(PedigreeGap::sire);
  if (!sires.empty() && !herd.pedigree.sire(report.animal)) add(PedigreeGap::sire_unsure);
  if (!herd.pedigree.dam(report.animal)) add(PedigreeGap::dam);
  if (const double blank = places_not_recorded(report); blank > 0.0) {
    add(PedigreeGap::places).count = blank;
  }
  if (herd.animals.horns[i] == Horns::unknown) add(PedigreeGap::horns);

  PedigreeNotKnown looks{.gap = PedigreeGap::looks, .count = 0.0, .faults = {}, .diseases = {}};
  const Sex sex = sex_or_use(herd, report.animal);
  const auto has_gene_test = [&](FaultIndex fault) {
    return std::any_of(report.tests.begin(), report.tests.end(),
                       [&](const PedigreeTest& test) { return test.fault == fault; });
  };
  for (const PedigreeFault& fault : report.faults) {
    if (has_gene_test(fault.fault)) continue;
    // Never looked at is one thing; a sex that cannot show it is another.
    if (fault.own.look == Look::not_looked && is_scored(herd.faults[fault.fault], sex)) {
      looks.faults.push_back(fault.fault);
    }
  }
  if (!looks.faults.empty()) gaps.push_back(std::move(looks));

  PedigreeNotKnown tests{
      .gap = PedigreeGap::health_tests, .count = 0.0, .faults = {}, .diseases = {}};
  for (const std::string& disease : herd.season.papers.required) {
    if (!has_test_that_tells(report, disease)) tests.diseases.push_back(disease);
  }
  if (!tests.diseases.empty()) gaps.push_back(std::move(tests));

  const bool own_record =
      std::any_of(report.records.begin(), report.records.end(),
                  [&](const PedigreeRecord& each) { return each.animal == report.animal; });
  if (!own_record && report.kiddings.empty()) add(PedigreeGap::records);
  return gaps;
}

PedigreeReport pedigree_report(const Herd& herd, const Kinship& kinship, Animal animal,
                               int generations) {
  if (animal.position >= herd.pedigree.size()) {
    throw UsageError("pedigree_report: there is no such animal");
  }
  if (generations < chart_generations_least || generations > chart_generations_most) {
    throw UsageError("pedigree_report: the chart has 3, 4 or 5 generations");
  }
  if (kinship.pedigree().size() != herd.pedigree.size()) {
    throw UsageError("pedigree_report: kinship is of another pedigree");
  }
  PedigreeReport report;
  report.animal = animal;
  report.chart_generations = generations;
  report.places = chart_places(herd, animal, generations);
  fill_inbreeding(herd, kinship, report);
  fill_facts(herd, report);
  report.not_known = gaps_of(herd, report);
  return report;
}

}  // namespace doewright
