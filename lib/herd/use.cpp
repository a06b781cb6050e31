// SPDX-License-Identifier: MIT
#include "use.hpp"

#include <algorithm>
#include <cstddef>

namespace doewright {

namespace {

/// Calls mark(animal, use) for every use outside the pedigree that makes it a parent.
template <class Mark>
void each_kidding_use(const Herd& herd, Mark mark) {
  for (const Kidding& kidding : herd.kiddings) {
    mark(kidding.doe, dam_use);
    if (kidding.sire) mark(*kidding.sire, sire_use);
  }
}

/// Calls mark(animal, use) for every other row that treats an animal as a sire or a doe.
template <class Mark>
void each_table_use(const Herd& herd, Mark mark) {
  for (const Service& service : herd.services) {
    mark(service.doe, dam_use);
    mark(service.sire, sire_use);
  }
  for (const Heat& heat : herd.heats) mark(heat.doe, dam_use);
  for (const PregnancyCheck& check : herd.pregnancy_checks) mark(check.doe, dam_use);
  for (const KidCount& count : herd.kid_counts) {
    mark(count.sire, sire_use);
    if (count.dam) mark(*count.dam, dam_use);
  }
  for (const DoeForward& forward : herd.does) {
    mark(forward.doe, dam_use);
    if (forward.sire) mark(*forward.sire, sire_use);
    for (const Animal sire : forward.not_sires) mark(sire, sire_use);
  }
  for (const SireOffer& offer : herd.sires) mark(offer.sire, sire_use);
}

Sex sex_of_use(unsigned use) noexcept {
  if (use == sire_use) return Sex::buck;
  if (use == dam_use) return Sex::doe;
  return Sex::unknown;  // not used, or as both: then the use shows nothing
}

/// Use of one animal in the pedigree: only what stands behind it can be its kid.
unsigned use_in_pedigree(const Pedigree& pedigree, Animal animal) {
  const auto sires = pedigree.sire_slots();
  const auto dams = pedigree.dam_slots();
  unsigned use = 0;
  for (std::size_t i = animal.position; i < pedigree.size(); ++i) {
    if (sires[i] == animal.position) use |= sire_use;
    if (dams[i] == animal.position) use |= dam_use;
  }
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    for (const SireChance& chance : pedigree.stand_in(s)) {
      if (chance.sire == animal) use |= sire_use;
    }
  }
  return use;
}

}  // namespace

std::vector<std::uint8_t> parenthood(const Herd& herd) {
  const Pedigree& pedigree = herd.pedigree;
  std::vector<std::uint8_t> use(pedigree.size(), 0);
  const auto mark = [&](Animal animal, std::uint8_t as) {
    use[animal.position] = static_cast<std::uint8_t>(use[animal.position] | as);
  };
  for (const std::uint32_t slot : pedigree.sire_slots()) {
    if (slot != Pedigree::none && !Pedigree::is_stand_in(slot)) mark(Animal{slot}, sire_use);
  }
  for (const std::uint32_t slot : pedigree.dam_slots()) {
    if (slot != Pedigree::none) mark(Animal{slot}, dam_use);
  }
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    for (const SireChance& chance : pedigree.stand_in(s)) mark(chance.sire, sire_use);
  }
  each_kidding_use(herd, mark);
  return use;
}

void add_table_uses(const Herd& herd, std::vector<std::uint8_t>& use) {
  each_table_use(herd, [&](Animal animal, std::uint8_t as) {
    use[animal.position] = static_cast<std::uint8_t>(use[animal.position] | as);
  });
}

std::vector<Animal> semen_bucks(const Herd& herd) {
  std::vector<Animal> bucks;
  for (const SireOffer& offer : herd.sires) {
    if (offer.terms == Terms::semen || offer.semen != SemenKind::unknown) {
      bucks.push_back(offer.sire);
    }
  }
  for (const Service& service : herd.services) {
    if (service.how == ServiceHow::semen) bucks.push_back(service.sire);
  }
  std::sort(bucks.begin(), bucks.end());
  bucks.erase(std::unique(bucks.begin(), bucks.end()), bucks.end());
  return bucks;
}

Sex sex_or_use(const Herd& herd, Animal animal) {
  const Sex recorded = herd.animals.sex.at(animal.position);
  if (recorded != Sex::unknown) return recorded;
  unsigned use = use_in_pedigree(herd.pedigree, animal);
  const auto mark = [&](Animal other, std::uint8_t as) {
    if (other == animal) use |= as;
  };
  each_kidding_use(herd, mark);
  each_table_use(herd, mark);
  return sex_of_use(use);
}

std::vector<Sex> sexes_or_uses(const Herd& herd) {
  std::vector<Sex> sexes = herd.animals.sex;
  std::vector<std::uint8_t> use = parenthood(herd);
  add_table_uses(herd, use);
  for (std::size_t i = 0; i < sexes.size(); ++i) {
    if (sexes[i] == Sex::unknown) sexes[i] = sex_of_use(use[i]);
  }
  return sexes;
}

}  // namespace doewright
