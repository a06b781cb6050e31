// SPDX-License-Identifier: MIT
#include "survival.hpp"

#include <algorithm>
#include <limits>

namespace doewright {

namespace {
constexpr std::int32_t never = std::numeric_limits<std::int32_t>::min();
}

Survival::Survival(const Herd& herd)
    : herd_(herd),
      last_seen_(herd.pedigree.size(), never),
      parent_(herd.pedigree.size(), false) {
  const auto seen = [&](Animal animal, PartialDate date) {
    if (!date.known()) return;
    std::int32_t& last = last_seen_[animal.position];
    last = std::max(last, date.earliest().day);
  };
  for (const auto& row : herd.examinations) seen(row.animal, row.date);
  for (const auto& row : herd.gene_tests) seen(row.animal, row.date);
  for (const auto& row : herd.records) seen(row.animal, row.date);
  for (const auto& row : herd.health_tests) seen(row.animal, row.date);
  for (const auto& row : herd.heats) seen(row.doe, row.date);
  for (const auto& row : herd.pregnancy_checks) seen(row.doe, row.date);
  for (const auto& row : herd.does) seen(row.doe, row.weighed);
  for (const auto& row : herd.services) {
    seen(row.doe, row.from);
    if (row.how != ServiceHow::semen) seen(row.sire, row.from);  // a straw outlives its buck
  }
  for (const auto& row : herd.kiddings) {
    seen(row.doe, row.date);
    parent_[row.doe.position] = true;
    if (row.sire) parent_[row.sire->position] = true;
  }
  const AnimalFacts& facts = herd.animals;
  for (std::uint32_t a = 0; a < herd.pedigree.size(); ++a) {
    seen(Animal{a}, facts.left[a]);
    if (!facts.gone[a]) last_seen_[a] = std::max(last_seen_[a], herd.as_of.day);
    if (const auto sire = herd.pedigree.sire(Animal{a})) parent_[sire->position] = true;
    if (const auto dam = herd.pedigree.dam(Animal{a})) parent_[dam->position] = true;
  }
}

bool Survival::known_alive_after(Animal animal, double days) const {
  if (herd_.animals.survival_set_aside.contains(animal.position)) return false;
  if (parent_[animal.position]) return true;
  const PartialDate born = herd_.animals.born[animal.position];
  if (!born.known() || last_seen_[animal.position] == never) return false;
  if (known_dead_before(animal, days)) return false;  // a later date is that of a test of a dead kid
  return last_seen_[animal.position] > born.latest().day + days;
}

bool Survival::known_dead_before(Animal animal, double days) const {
  const AnimalFacts& facts = herd_.animals;
  if (facts.survival_set_aside.contains(animal.position)) return false;
  const PartialDate born = facts.born[animal.position];
  const PartialDate left = facts.left[animal.position];
  if (facts.left_why[animal.position] != LeftWhy::died || !born.known() || !left.known()) {
    return false;
  }
  return left.latest().day < born.earliest().day + days;
}

}  // namespace doewright
