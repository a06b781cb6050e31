// SPDX-License-Identifier: MIT
#include "locus_family.hpp"

#include <algorithm>
#include <numeric>

namespace doewright {

namespace {

/// Sets that grow together (Tarjan 1975, J. ACM 22:215), with halved paths.
class Bonds {
 public:
  explicit Bonds(std::size_t n) : above_(n) { std::iota(above_.begin(), above_.end(), 0u); }
  std::uint32_t top(std::uint32_t a) {
    while (above_[a] != a) a = above_[a] = above_[above_[a]];
    return a;
  }
  /// The smaller number stands for both.
  void tie(std::uint32_t a, std::uint32_t b) {
    a = top(a);
    b = top(b);
    above_[std::max(a, b)] = std::min(a, b);
  }

 private:
  std::vector<std::uint32_t> above_;
};

}  // namespace

std::vector<std::uint32_t> families(const Pedigree& pedigree, std::span<const LocusRecord> records) {
  const auto animals = static_cast<std::uint32_t>(pedigree.size());
  Bonds bonds(animals + pedigree.stand_ins());
  for (std::uint32_t a = 0; a < animals; ++a) {
    if (const auto dam = pedigree.dam(Animal{a})) bonds.tie(a, dam->position);
    const std::uint32_t slot = pedigree.sire_slots()[a];
    if (slot == Pedigree::none) continue;
    bonds.tie(a, Pedigree::is_stand_in(slot) ? animals + Pedigree::stand_in_of(slot) : slot);
  }
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    for (const SireChance& chance : pedigree.stand_in(s)) bonds.tie(animals + s, chance.sire.position);
  }
  for (const LocusRecord& record : records) {
    if (!record.pair) continue;
    const PairParent& sire = record.pair->sire;
    const std::uint32_t one = sire.animal     ? sire.animal->position
                              : sire.stand_in ? animals + *sire.stand_in
                                              : Pedigree::none;
    if (one != Pedigree::none && record.pair->dam.animal) bonds.tie(one, record.pair->dam.animal->position);
  }
  std::vector<std::uint32_t> result(animals), number(animals + pedigree.stand_ins(), Pedigree::none);
  std::uint32_t next = 0;
  for (std::uint32_t a = 0; a < animals; ++a) {
    std::uint32_t& of_top = number[bonds.top(a)];
    if (of_top == Pedigree::none) of_top = next++;
    result[a] = of_top;
  }
  return result;
}

LocusFamily::LocusFamily(const Pedigree& pedigree, const LocusInput& whole,
                         std::span<const LocusRecord> records, std::vector<std::size_t> own_records,
                         std::span<const Animal> animals)
    : part_(ancestors_only(pedigree, animals)),
      records_(records),
      own_records_(std::move(own_records)) {
  bare_.transmission = whole.transmission;
  bare_.own.resize(part_.original.size());
  for (std::uint32_t i = 0; i < part_.original.size(); ++i) {
    const std::uint32_t in_whole = part_.original[i].position;
    bare_.frequency.push_back(whole.frequency[in_whole]);
    bare_.sex.push_back(whole.sex[in_whole]);
    const std::uint32_t slot = part_.pedigree.sire_slots()[i];
    if (!Pedigree::is_stand_in(slot)) continue;
    stand_ins_.emplace_back(Pedigree::stand_in_of(pedigree.sire_slots()[in_whole]),
                            Pedigree::stand_in_of(slot));
  }
  std::sort(stand_ins_.begin(), stand_ins_.end());
}

Animal LocusFamily::here(Animal whole) const {
  const auto at = std::lower_bound(part_.original.begin(), part_.original.end(), whole);
  return Animal{static_cast<std::uint32_t>(at - part_.original.begin())};
}

PairParent LocusFamily::here(const PairParent& parent) const {
  PairParent result;
  if (parent.animal) result.animal = here(*parent.animal);
  if (parent.stand_in) {
    const auto at = std::lower_bound(stand_ins_.begin(), stand_ins_.end(),
                                     std::pair(*parent.stand_in, std::uint32_t{0}));
    result.stand_in = at->second;
  }
  return result;
}

LocusInput LocusFamily::input_without(std::size_t left_out) const {
  LocusInput input = bare_;
  for (const std::size_t r : own_records_) {
    if (r == left_out) continue;
    const LocusRecord& record = records_[r];
    if (record.pair) {
      PairEvidence pair = *record.pair;
      pair.sire = here(pair.sire);
      pair.dam = here(pair.dam);
      input.pairs.push_back(pair);
      continue;
    }
    add_record(record, input.own[here(*record.animal).position]);
  }
  return input;
}

}  // namespace doewright
