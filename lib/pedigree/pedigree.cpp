// SPDX-License-Identifier: MIT
#include <doewright/pedigree/pedigree.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <unordered_map>
#include <utility>

#include <doewright/core/errors.hpp>

namespace doewright {

/// The packed arrays. Candidates of stand-in s are [first[s], first[s + 1]) of `candidates`.
struct Pedigree::Arrays {
  std::vector<std::uint32_t> sire, dam;
  std::vector<std::uint32_t> first = {0};
  std::vector<SireChance> candidates;
};

namespace {

void check_parent(std::uint32_t slot, std::size_t kid) {
  if (slot != Pedigree::none && slot >= kid) {
    throw UsageError("pedigree: the parent in slot " + std::to_string(slot) +
                     " does not stand before its kid " + std::to_string(kid));
  }
}

void check_candidates(std::span<const SireChance> list, std::size_t animals, std::size_t s) {
  const std::string where = "pedigree: stand-in " + std::to_string(s);
  if (list.empty()) throw UsageError(where + " has no possible sire");
  double sum = 0.0;
  for (std::size_t k = 0; k < list.size(); ++k) {
    if (list[k].sire.position >= animals)
      throw UsageError(where + " names an animal that is not there");
    if (k > 0 && list[k - 1].sire >= list[k].sire) {
      throw UsageError(where +
                       " does not list its possible sires by ascending position, each once");
    }
    if (!(list[k].probability > 0.0 && list[k].probability <= 1.0)) {
      throw UsageError(where + " has a chance outside (0, 1]");
    }
    sum += list[k].probability;
  }
  if (sum > 1.0 + 1e-9) throw UsageError(where + " has chances that sum to more than 1");
}

}  // namespace

Pedigree::Pedigree() : arrays_(std::make_shared<const Arrays>()) {}

Pedigree::Pedigree(std::vector<std::uint32_t> sire_slots, std::vector<std::uint32_t> dam_slots,
                   std::vector<std::vector<SireChance>> stand_ins) {
  if (sire_slots.size() != dam_slots.size()) {
    throw UsageError("pedigree: as many sires as dams are needed");
  }
  if (sire_slots.size() > most_animals) throw UsageError("pedigree: too many animals");
  const std::size_t n = sire_slots.size();
  Arrays arrays;
  arrays.first.reserve(stand_ins.size() + 1);
  for (std::size_t s = 0; s < stand_ins.size(); ++s) {
    check_candidates(stand_ins[s], n, s);
    arrays.candidates.insert(arrays.candidates.end(), stand_ins[s].begin(), stand_ins[s].end());
    arrays.first.push_back(static_cast<std::uint32_t>(arrays.candidates.size()));
  }
  for (std::size_t i = 0; i < n; ++i) {
    check_parent(dam_slots[i], i);
    if (!is_stand_in(sire_slots[i])) {
      check_parent(sire_slots[i], i);
      continue;
    }
    const std::uint32_t s = stand_in_of(sire_slots[i]);
    if (s >= stand_ins.size()) throw UsageError("pedigree: a stand-in that is not there");
    check_parent(stand_ins[s].back().sire.position, i);  // ascending: the last is the youngest
  }
  arrays.sire = std::move(sire_slots);
  arrays.dam = std::move(dam_slots);
  arrays_ = std::make_shared<const Arrays>(std::move(arrays));
}

std::size_t Pedigree::size() const noexcept {
  return arrays_->dam.size();
}
std::size_t Pedigree::stand_ins() const noexcept {
  return arrays_->first.size() - 1;
}
std::span<const std::uint32_t> Pedigree::sire_slots() const noexcept {
  return arrays_->sire;
}
std::span<const std::uint32_t> Pedigree::dam_slots() const noexcept {
  return arrays_->dam;
}

std::span<const SireChance> Pedigree::stand_in(std::uint32_t s) const {
  if (s >= stand_ins()) throw UsageError("pedigree: a stand-in that is not there");
  const auto begin = arrays_->first[s];
  return std::span(arrays_->candidates).subspan(begin, arrays_->first[s + 1] - begin);
}

std::optional<Animal> Pedigree::sire(Animal animal) const {
  if (animal.position >= size()) throw UsageError("pedigree: an animal that is not there");
  const std::uint32_t slot = arrays_->sire[animal.position];
  if (slot == none || is_stand_in(slot)) return std::nullopt;
  return Animal{slot};
}

std::optional<Animal> Pedigree::dam(Animal animal) const {
  if (animal.position >= size()) throw UsageError("pedigree: an animal that is not there");
  const std::uint32_t slot = arrays_->dam[animal.position];
  if (slot == none) return std::nullopt;
  return Animal{slot};
}

std::vector<SireChance> Pedigree::possible_sires(Animal animal) const {
  if (animal.position >= size()) throw UsageError("pedigree: an animal that is not there");
  const std::uint32_t slot = arrays_->sire[animal.position];
  if (slot == none) return {};
  if (!is_stand_in(slot)) return {{Animal{slot}, 1.0}};
  const auto list = stand_in(stand_in_of(slot));
  return {list.begin(), list.end()};
}

AncestorPedigree ancestors_only(const Pedigree& pedigree, std::span<const Animal> animals) {
  std::vector<std::uint32_t> open;
  std::unordered_map<std::uint32_t, std::uint32_t> place;  // old position -> new position, below
  const auto visit = [&](std::uint32_t position) {
    if (place.emplace(position, 0).second) open.push_back(position);
  };
  for (const Animal animal : animals) {
    if (animal.position >= pedigree.size()) {
      throw UsageError("pedigree: an animal that is not there");
    }
    visit(animal.position);
  }
  const auto sires = pedigree.sire_slots();
  const auto dams = pedigree.dam_slots();
  while (!open.empty()) {
    const std::uint32_t i = open.back();
    open.pop_back();
    if (dams[i] != Pedigree::none) visit(dams[i]);
    if (sires[i] == Pedigree::none) continue;
    if (!Pedigree::is_stand_in(sires[i])) {
      visit(sires[i]);
    } else {
      for (const SireChance& chance : pedigree.stand_in(Pedigree::stand_in_of(sires[i]))) {
        visit(chance.sire.position);
      }
    }
  }

  AncestorPedigree result;
  result.original.reserve(place.size());
  for (const auto& entry : place) result.original.push_back(Animal{entry.first});
  std::sort(result.original.begin(), result.original.end());
  for (std::uint32_t i = 0; i < result.original.size(); ++i) {
    place[result.original[i].position] = i;
  }

  std::vector<std::uint32_t> new_sires, new_dams;
  new_sires.reserve(result.original.size());
  new_dams.reserve(result.original.size());
  std::vector<std::vector<SireChance>> stand_ins;
  std::unordered_map<std::uint32_t, std::uint32_t> stand_in_place;
  for (const Animal animal : result.original) {
    const std::uint32_t sire = sires[animal.position];
    const std::uint32_t dam = dams[animal.position];
    new_dams.push_back(dam == Pedigree::none ? dam : place[dam]);
    if (sire == Pedigree::none) {
      new_sires.push_back(sire);
    } else if (!Pedigree::is_stand_in(sire)) {
      new_sires.push_back(place[sire]);
    } else {
      const std::uint32_t s = Pedigree::stand_in_of(sire);
      const auto [entry, is_new] =
          stand_in_place.emplace(s, static_cast<std::uint32_t>(stand_ins.size()));
      if (is_new) {
        std::vector<SireChance> list;
        for (const SireChance& chance : pedigree.stand_in(s)) {
          list.push_back({Animal{place[chance.sire.position]}, chance.probability});
        }
        stand_ins.push_back(std::move(list));
      }
      new_sires.push_back(Pedigree::stand_in_bit | entry->second);
    }
  }
  result.pedigree = Pedigree(std::move(new_sires), std::move(new_dams), std::move(stand_ins));
  result.asked.reserve(animals.size());
  for (const Animal animal : animals) result.asked.push_back(Animal{place[animal.position]});
  return result;
}

}  // namespace doewright
