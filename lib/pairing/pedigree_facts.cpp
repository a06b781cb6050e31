// SPDX-License-Identifier: MIT
#include <algorithm>
#include <map>

#include <doewright/core/text.hpp>

#include "pedigree_chart.hpp"

namespace doewright {

namespace {

constexpr int days_of_services = 200;  ///< Longer than any gestation: an older service is history.

void count_look(const LookedAt& look, LookCount& count) {
  ++count.animals;
  if (look.look == Look::not_looked) return;
  ++count.examined;
  if (look.look == Look::found) ++count.found;
  count.rows.insert(count.rows.end(), look.rows.begin(), look.rows.end());
}

/// Full and half sibs by certain parents, in pedigree order.
struct SibsInBook {
  std::vector<Animal> full, half;
};

SibsInBook sibs_in_book(const Pedigree& pedigree, const Offspring& offspring, Animal animal) {
  SibsInBook sibs;
  const auto sire = pedigree.sire(animal), dam = pedigree.dam(animal);
  const auto add = [&](std::optional<Animal> parent) {
    if (!parent) return;
    for (const Animal kid : offspring.of(*parent)) {
      if (kid == animal) continue;
      const bool same_sire = sire && pedigree.sire(kid) == sire;
      const bool same_dam = dam && pedigree.dam(kid) == dam;
      if (same_sire && same_dam) {
        if (parent == sire) sibs.full.push_back(kid);
      } else {
        sibs.half.push_back(kid);
      }
    }
  };
  add(sire);
  add(dam);
  return sibs;
}

/// Faults in use that anybody ever looked for, counted or had tested. Being polled is no fault:
/// horns are told with who the animal is.
std::vector<bool> faults_recorded(const Herd& herd) {
  std::vector<bool> recorded(herd.faults.size(), false);
  for (const Examination& each : herd.examinations) recorded[each.fault] = true;
  for (const KidCount& each : herd.kid_counts) recorded[each.fault] = true;
  for (const GeneTest& each : herd.gene_tests) recorded[each.fault] = true;
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    if (!herd.faults[f].use || herd.faults[f].key == "polled") recorded[f] = false;
  }
  return recorded;
}

void mark_places(const EvidenceIndex& evidence, FaultIndex fault, PedigreeReport& report) {
  for (PedigreePlace& place : report.places) {
    if (place.held.size() != 1 || place.held.front().probability < 1.0) continue;
    const LookedAt look = evidence.looked_at(place.held.front().sire, fault);
    if (look.look != Look::not_looked) ++place.looked;
    if (look.look == Look::found) place.found.push_back(fault);
  }
}

void fill_faults(const Herd& herd, const Offspring& offspring, PedigreeReport& report) {
  const EvidenceIndex evidence(herd);
  const Animal animal = report.animal;
  const auto sire = herd.pedigree.sire(animal), dam = herd.pedigree.dam(animal);
  const SibsInBook sibs = sibs_in_book(herd.pedigree, offspring, animal);
  const std::vector<bool> recorded = faults_recorded(herd);
  for (std::size_t f = 0; f < recorded.size(); ++f) {
    if (!recorded[f]) continue;
    const auto fault = static_cast<FaultIndex>(f);
    PedigreeFault entry;
    entry.fault = fault;
    entry.own = evidence.looked_at(animal, fault);
    entry.sire_certain = sire.has_value();
    entry.dam_known = dam.has_value();
    if (sire) entry.sire = evidence.looked_at(*sire, fault);
    if (dam) entry.dam = evidence.looked_at(*dam, fault);
    for (const Animal each : sibs.full)
      count_look(evidence.looked_at(each, fault), entry.full_sibs);
    for (const Animal each : sibs.half)
      count_look(evidence.looked_at(each, fault), entry.half_sibs);
    for (const Animal each : offspring.of(animal)) {
      count_look(evidence.looked_at(each, fault), entry.kids);
    }
    const FaultEvidence around = evidence.around(animal, fault);
    entry.elsewhere_seen = around.elsewhere_seen;
    entry.elsewhere_told = around.elsewhere_told;
    for (const Examination& look : herd.examinations) {
      if (look.animal == animal && look.fault == fault) entry.looks.push_back(look);
    }
    mark_places(evidence, fault, report);
    report.faults.push_back(std::move(entry));
  }
}

void set_sample_age(PartialDate born, PedigreeTest& test) {
  if (!born.known() || !test.date.known()) return;
  const int youngest = months_between(born.latest(), test.date.earliest());
  const int oldest = months_between(born.earliest(), test.date.latest());
  if (youngest >= 0) test.months = youngest;
  if (oldest < blood_test_months) {
    test.age = SampleAge::too_young;
  } else if (youngest >= blood_test_months) {
    test.age = SampleAge::told;
  }
}

void fill_tests(const Herd& herd, PedigreeReport& report) {
  const PartialDate born = herd.animals.born[report.animal.position];
  for (const GeneTest& each : herd.gene_tests) {
    if (each.animal != report.animal) continue;
    static constexpr const char* copies[] = {"clear", "carrier", "affected"};
    PedigreeTest test;
    test.fault = each.fault;
    test.what = herd.faults[each.fault].key;
    test.result = copies[std::min<std::size_t>(each.copies, 2)];
    test.date = each.date;
    test.laboratory = each.laboratory;
    test.row = each.row;
    set_sample_age(born, test);
    // Genes do not change: a sample of any age tells the same.
    if (test.age == SampleAge::too_young) test.age = SampleAge::told;
    report.tests.push_back(std::move(test));
  }
  for (const HealthTest& each : herd.health_tests) {
    if (each.animal != report.animal) continue;
    PedigreeTest test;
    test.what = each.disease;
    test.result = each.result;
    test.date = each.date;
    test.laboratory = each.laboratory;
    test.row = each.row;
    set_sample_age(born, test);
    report.tests.push_back(std::move(test));
  }
}

bool are_mates(const Herd& herd, const Record& a, const Record& b) {
  if (a.trait != b.trait || a.animal == b.animal || a.group != b.group) return false;
  const AnimalFacts& facts = herd.animals;
  const std::size_t i = a.animal.position, j = b.animal.position;
  if (a.group.empty()) {
    if (!facts.born[i].known() || facts.born[i].year() != facts.born[j].year()) return false;
    if (facts.owner[i] != facts.owner[j]) return false;
  }
  for (const std::string& effect : herd.traits[a.trait].fixed) {
    if (effect == "sex" && facts.sex[i] != facts.sex[j]) return false;
    if (effect == "parity" && a.parity != b.parity) return false;
  }
  return true;
}

PedigreeRecord beside_mates(const Herd& herd, const Record& record) {
  PedigreeRecord result{.animal = record.animal, .record = record, .mates = 0, .mates_mean = 0.0};
  std::map<Animal, std::pair<double, double>> sums;  // value, records
  for (const Record& other : herd.records) {
    if (!are_mates(herd, record, other)) continue;
    auto& [value, count] = sums[other.animal];
    value += other.value;
    count += 1.0;
  }
  double total = 0.0;
  for (const auto& entry : sums) total += entry.second.first / entry.second.second;
  result.mates = sums.size();
  if (!sums.empty()) result.mates_mean = total / static_cast<double>(sums.size());
  return result;
}

void fill_records(const Herd& herd, PedigreeReport& report) {
  const auto dam = herd.pedigree.dam(report.animal);
  for (const bool own : {true, false}) {
    for (const Record& record : herd.records) {
      if (!herd.traits[record.trait].use) continue;
      const bool wanted = own ? record.animal == report.animal : dam && record.animal == *dam;
      if (wanted) report.records.push_back(beside_mates(herd, record));
    }
  }
  for (const Kidding& kidding : herd.kiddings) {
    if (kidding.doe == report.animal) report.kiddings.push_back(kidding);
    if (dam && kidding.doe == *dam) report.dam_kiddings.push_back(kidding);
  }
}

void fill_services(const Herd& herd, PedigreeReport& report) {
  Date after = herd.as_of - days_of_services;
  for (const Kidding& kidding : report.kiddings) {
    if (kidding.date.known()) after = std::max(after, kidding.date.latest());
  }
  for (const Service& service : herd.services) {
    if (service.doe == report.animal && service.from.known() && service.from.earliest() > after) {
      report.services.push_back(service);
    }
  }
  if (report.services.empty()) return;
  Date first = report.services.front().from.earliest();
  for (const Service& service : report.services) first = std::min(first, service.from.earliest());
  for (const PregnancyCheck& check : herd.pregnancy_checks) {
    if (check.doe == report.animal && check.date.known() && check.date.earliest() > first) {
      report.checks.push_back(check);
    }
  }
}

}  // namespace

void fill_facts(const Herd& herd, PedigreeReport& report) {
  const Offspring offspring(herd.pedigree);
  fill_faults(herd, offspring, report);
  fill_tests(herd, report);
  fill_records(herd, report);
  fill_services(herd, report);
  report.kids = offspring.of(report.animal).size();
  for (const std::uint32_t s : offspring.stand_ins_of(report.animal)) {
    report.possible_kids += offspring.of_stand_in(s).size();
  }
}

}  // namespace doewright
