// SPDX-License-Identifier: MIT
// Which records moved a chance, and by how much: each is left out once and everything worked out again.
#include <algorithm>
#include <cmath>
#include <map>
#include <queue>

#include <doewright/pedigree/offspring.hpp>

#include "fault_fit_state.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_listed = 10;
constexpr std::size_t most_looked_at = 60;     // records near an animal of which the effect is looked at
constexpr double least_effect = 1e-9;
constexpr double most_work = 4e9;              // table entries over all records left out

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

std::vector<std::vector<EvidenceEffect>> locus_effects(const FaultFitState& state,
                                                       std::span<const Animal> animals,
                                                       bool& too_many, const Run& run) {
  const LocusFit& locus = *state.locus;
  std::vector<Animal> whose;
  for (const LocusRecord& record : locus.records()) whose.push_back(record.animal.value());
  const auto nearest = nearest_records(state.herd->pedigree, whose, animals);
  std::vector<bool> wanted(whose.size(), false);
  for (const auto& list : nearest) {
    for (const std::size_t record : list) wanted[record] = true;
  }
  const auto all = locus.world(animals, run);
  const auto records = static_cast<double>(std::count(wanted.begin(), wanted.end(), true));
  const double work = records * static_cast<double>(all->entries());
  too_many = all->method() != Method::exact || work > most_work;
  std::vector<std::vector<EvidenceEffect>> result(animals.size());
  if (too_many) return result;

  const auto carries = [&](const LocusWorld& world, Animal animal) {
    const Copies copies = world.marginal(animal);
    return copies[1] + copies[2];
  };
  std::vector<std::vector<double>> without(whose.size());
  std::vector<std::size_t> left;
  for (std::size_t r = 0; r < wanted.size(); ++r) {
    if (wanted[r]) left.push_back(r);
  }
  parallel_blocks(left.size(), 1, run, [&](std::size_t k, std::size_t) {
    throw_if_stopped(run);
    std::vector<bool> left_out(whose.size(), false);
    left_out[left[k]] = true;
    const LocusWorld world = locus.world_without(left_out, animals, run);
    for (const Animal animal : animals) without[left[k]].push_back(carries(world, animal));
  });
  for (std::size_t a = 0; a < animals.size(); ++a) {
    std::vector<EvidenceEffect> effects;
    for (const std::size_t record : nearest[a]) {
      EvidenceEffect effect = effect_of(locus.records()[record]);
      effect.effect = carries(*all, animals[a]) - without[record][a];
      effects.push_back(std::move(effect));
    }
    result[a] = ten_nearest(std::move(effects));
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
  too_many = false;
  std::vector<std::vector<EvidenceEffect>> result(animals.size());
  parallel_blocks(animals.size(), 1, run, [&](std::size_t a, std::size_t) {
    throw_if_stopped(run);
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
