// SPDX-License-Identifier: MIT
// Which records moved a chance, and by how much: each is left out once and everything worked out again.
#include <algorithm>
#include <cmath>
#include <map>
#include <queue>

#include <doewright/pedigree/offspring.hpp>

#include "fault_fit_state.hpp"
#include "locus_family.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_listed = 10;
constexpr std::size_t most_looked_at = 60;     // records near an animal of which the effect is looked at
constexpr double least_effect = 1e-9;
constexpr double most_work = 1e9;              // of a family: table entries over all records left out
constexpr double work_an_animal = 40.0;        // to build the network anew, in table entries
constexpr double most_liability_work = 4e8;    // animals times liabilities

/// Keeps the ten nearest that moved it, the largest first.
std::vector<EvidenceEffect> ten_nearest(std::vector<EvidenceEffect> nearest_first) {
  std::erase_if(nearest_first, [](const EvidenceEffect& effect) {
    return std::abs(effect.effect) < least_effect;
  });
  if (nearest_first.size() > most_listed) nearest_first.resize(most_listed);
  std::stable_sort(nearest_first.begin(), nearest_first.end(),
                   [](const EvidenceEffect& a, const EvidenceEffect& b) {
                     return std::abs(a.effect) > std::abs(b.effect);
                   });
  return nearest_first;
}

}  // namespace

std::vector<std::vector<std::size_t>> nearest_records(const Pedigree& pedigree,
                                                      std::span<const Animal> whose,
                                                      std::span<const Animal> animals) {
  const Offspring offspring(pedigree);
  std::multimap<Animal, std::size_t> records;
  for (std::size_t r = 0; r < whose.size(); ++r) records.emplace(whose[r], r);
  std::vector<std::vector<std::size_t>> result;
  std::vector<std::size_t> seen(pedigree.size(), 0);
  std::size_t stamp = 0;
  for (const Animal from : animals) {
    std::vector<std::size_t> found;
    std::queue<Animal> todo;
    ++stamp;
    const auto visit = [&](Animal animal) {
      if (seen[animal.position] == stamp) return;
      seen[animal.position] = stamp;
      todo.push(animal);
    };
    visit(from);
    while (!todo.empty() && found.size() < most_looked_at) {
      const Animal animal = todo.front();
      todo.pop();
      const auto [begin, end] = records.equal_range(animal);
      for (auto record = begin; record != end; ++record) found.push_back(record->second);
      for (const SireChance& chance : pedigree.possible_sires(animal)) visit(chance.sire);
      if (const auto dam = pedigree.dam(animal)) visit(*dam);
      for (const Animal kid : offspring.of(animal)) visit(kid);
      for (const std::uint32_t s : offspring.stand_ins_of(animal)) {
        for (const Animal kid : offspring.of_stand_in(s)) visit(kid);
      }
    }
    result.push_back(std::move(found));
  }
  return result;
}

namespace {

/// A family with the records and the asked animals it has.
struct AskedFamily {
  std::vector<Animal> animals;
  std::vector<std::size_t> records, wanted;  // wanted: near an animal that is asked for
  std::vector<std::size_t> asked;            // places in the list of those asked for
};

/// Families with somebody asked for and a record near; `nearest[a]`: records near animal a.
std::vector<AskedFamily> asked_families(const LocusFit& locus, const Pedigree& pedigree,
                                        std::span<const Animal> animals,
                                        const std::vector<std::vector<std::size_t>>& nearest) {
  const std::vector<LocusRecord>& records = locus.records();
  const std::vector<std::uint32_t> family_of = families(pedigree, records);
  std::vector<std::uint32_t> place(family_of.size(), Pedigree::none);  // of a family in the result
  std::vector<AskedFamily> result;
  for (std::size_t a = 0; a < animals.size(); ++a) {
    if (nearest[a].empty()) continue;
    std::uint32_t& at = place[family_of[animals[a].position]];
    if (at == Pedigree::none) {
      at = static_cast<std::uint32_t>(result.size());
      result.emplace_back();
    }
    result[at].asked.push_back(a);
    result[at].wanted.insert(result[at].wanted.end(), nearest[a].begin(), nearest[a].end());
  }
  for (std::uint32_t i = 0; i < family_of.size(); ++i) {
    if (place[family_of[i]] != Pedigree::none) result[place[family_of[i]]].animals.push_back(Animal{i});
  }
  for (std::size_t r = 0; r < records.size(); ++r) {
    const std::uint32_t at = place[family_of[records[r].animal->position]];
    if (at != Pedigree::none) result[at].records.push_back(r);
  }
  for (AskedFamily& family : result) {
    std::sort(family.wanted.begin(), family.wanted.end());
    family.wanted.erase(std::unique(family.wanted.begin(), family.wanted.end()), family.wanted.end());
  }
  return result;
}

double chance_to_carry(const LocusWorld& world, Animal animal) {
  const Copies copies = world.marginal(animal);
  return copies[1] + copies[2];
}

/// One family: its network is built anew without each record. False: that would take too long.
bool effects_in_family(const FaultFitState& state, const AskedFamily& asked,
                       std::span<const Animal> animals,
                       const std::vector<std::vector<std::size_t>>& nearest, const Run& run,
                       std::vector<std::vector<EvidenceEffect>>& result) {
  const LocusFit& locus = *state.locus;
  const LocusFamily family(state.herd->pedigree, locus.input(), locus.records(), asked.records,
                           asked.animals);
  std::vector<Animal> here;
  for (const std::size_t a : asked.asked) here.push_back(family.here(animals[a]));
  const LocusWorld all(family.pedigree(), family.input_without(LocusFamily::none), here,
                       locus.options(), run);
  const double once = static_cast<double>(all.entries()) + work_an_animal * double(family.size());
  if (all.method() != Method::exact || once * double(asked.wanted.size()) > most_work) return false;
  std::vector<std::vector<double>> without(asked.wanted.size());
  parallel_blocks(asked.wanted.size(), 1, run, [&](std::size_t k, std::size_t) {
    throw_if_stopped(run);
    const LocusWorld world(family.pedigree(), family.input_without(asked.wanted[k]), here,
                           locus.options(), run);
    for (const Animal animal : here) without[k].push_back(chance_to_carry(world, animal));
  });
  for (std::size_t i = 0; i < here.size(); ++i) {
    const std::size_t a = asked.asked[i];
    const double with = chance_to_carry(all, here[i]);
    std::vector<EvidenceEffect> effects;
    for (const std::size_t record : nearest[a]) {
      const auto k = std::lower_bound(asked.wanted.begin(), asked.wanted.end(), record);
      EvidenceEffect effect = effect_of(locus.records()[record]);
      effect.effect = with - without[static_cast<std::size_t>(k - asked.wanted.begin())][i];
      effects.push_back(std::move(effect));
    }
    result[a] = ten_nearest(std::move(effects));
  }
  return true;
}

}  // namespace

std::vector<std::vector<EvidenceEffect>> locus_effects(const FaultFitState& state,
                                                       std::span<const Animal> animals,
                                                       bool& too_many, const Run& run) {
  const Pedigree& pedigree = state.herd->pedigree;
  std::vector<Animal> whose;
  for (const LocusRecord& record : state.locus->records()) whose.push_back(record.animal.value());
  const auto nearest = nearest_records(pedigree, whose, animals);
  std::vector<std::vector<EvidenceEffect>> result(animals.size());
  too_many = false;
  for (const AskedFamily& family : asked_families(*state.locus, pedigree, animals, nearest)) {
    if (!effects_in_family(state, family, animals, nearest, run, result)) too_many = true;
  }
  return result;
}

std::vector<std::vector<EvidenceEffect>> threshold_effects(const FaultFitState& state,
                                                           std::span<const Animal> animals,
                                                           bool& too_many, const Run& run) {
  const auto sites = state.threshold->sites();
  std::vector<Animal> whose;
  for (const ThresholdSite& site : sites) whose.push_back(site.animal);
  const auto nearest = nearest_records(state.herd->pedigree, whose, animals);
  std::vector<std::vector<EvidenceEffect>> result(animals.size());
  too_many = double(animals.size()) * double(state.threshold->liabilities()) > most_liability_work;
  if (too_many) return result;
  parallel_blocks(animals.size(), 1, run, [&](std::size_t a, std::size_t) {
    throw_if_stopped(run);
    if (nearest[a].empty()) return;
    const std::vector<double> removed = state.threshold->removal_effect(animals[a]);
    std::vector<EvidenceEffect> effects;
    for (const std::size_t s : nearest[a]) {
      EvidenceEffect effect;
      effect.kind = sites[s].count ? EvidenceKind::count : EvidenceKind::look;
      effect.animal = sites[s].animal;
      effect.rows = sites[s].rows;
      effect.effect = -removed[s];
      effects.push_back(std::move(effect));
    }
    result[a] = ten_nearest(std::move(effects));
  });
  return result;
}

}  // namespace doewright
