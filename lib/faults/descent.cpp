// SPDX-License-Identifier: MIT
#include "descent.hpp"

#include <algorithm>

namespace doewright {

namespace {

std::uint8_t pick(const Copies& chance, double uniform) {
  double left = uniform * (chance[0] + chance[1] + chance[2]);
  std::uint8_t last = 0;
  for (std::uint8_t k = 0; k < 3; ++k) {
    if (chance[k] <= 0.0) continue;
    last = k;
    if (left < chance[k]) break;
    left -= chance[k];
  }
  return last;
}

}  // namespace

Descent::Descent(const Pedigree& pedigree, const LocusInput& input, const LocusNetwork& known,
                 std::span<const Animal> asked)
    : pedigree_(&pedigree), unlisted_of_stand_in_(pedigree.stand_ins(), Copies{}) {
  const auto sires = pedigree.sire_slots();
  const auto dams = pedigree.dam_slots();
  std::vector<bool> needed(pedigree.size(), false), needed_stand_in(pedigree.stand_ins(), false);
  for (const Animal animal : asked) needed[animal.position] = true;
  // Parents stand before their kids, the bucks of an unsure sire before his first kid.
  for (auto a = static_cast<std::uint32_t>(pedigree.size()); a-- > 0;) {
    if (!needed[a] || known.contains(Animal{a})) continue;
    if (dams[a] != Pedigree::none) needed[dams[a]] = true;
    if (sires[a] == Pedigree::none) continue;
    if (!Pedigree::is_stand_in(sires[a])) {
      needed[sires[a]] = true;
      continue;
    }
    const std::uint32_t s = Pedigree::stand_in_of(sires[a]);
    needed_stand_in[s] = true;
    if (known.contains_stand_in(s)) continue;
    for (const SireChance& chance : pedigree.stand_in(s)) needed[chance.sire.position] = true;
  }
  for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
    if (needed_stand_in[s] && known.contains_stand_in(s)) {
      from_network_.push_back({s, true, known.variable_of_stand_in(s), &known.copies_of_stand_in(s)});
    }
  }
  for (std::uint32_t a = 0; a < pedigree.size(); ++a) {
    if (!needed[a]) continue;
    const Animal animal{a};
    if (known.contains(animal)) {
      from_network_.push_back({a, false, known.variable(animal), &known.copies(animal)});
      continue;
    }
    if (Pedigree::is_stand_in(sires[a])) {
      const std::uint32_t s = Pedigree::stand_in_of(sires[a]);
      if (needed_stand_in[s] && !known.contains_stand_in(s)) {
        needed_stand_in[s] = false;  // once, before the first kid
        const double q = known.frequency_of_unlisted(pedigree, input, s);
        for (int k = 0; k < 3; ++k) {
          unlisted_of_stand_in_[s][static_cast<std::size_t>(k)] = input.transmission.founder(k, q, 1);
        }
        steps_.push_back({s, true, Pedigree::none, Pedigree::none, {}});
      }
    }
    steps_.push_back(step_of(input, a));
  }
}

Descent::Step Descent::step_of(const LocusInput& input, std::uint32_t a) const {
  Step step{a, false, pedigree_->sire_slots()[a], pedigree_->dam_slots()[a], {}};
  const Transmission& from = input.transmission;
  const double q = input.frequency[a];
  const bool founder = step.sire == Pedigree::none && step.dam == Pedigree::none;
  const int sex = genetic_sex(input.sex[a]);
  for (int kid_sex = 0; kid_sex < 2; ++kid_sex) {
    if (sex < 2 && kid_sex != sex) continue;
    const double weight = sex < 2 ? 1.0 : 0.5;
    for (int k = 0; k < 3; ++k) {
      for (int s = 0; s < 3; ++s) {
        for (int d = 0; d < 3; ++d) {
          // A missing parent is a founder: summed out into the row of 0 copies.
          double chance = founder ? from.founder(k, q, kid_sex) : from.kid(k, s, d, kid_sex);
          if (!founder && step.sire == Pedigree::none) chance *= from.founder(s, q, 1);
          if (!founder && step.dam == Pedigree::none) chance *= from.founder(d, q, 0);
          if (founder && (s > 0 || d > 0)) continue;
          const int row = (step.sire == Pedigree::none ? 0 : 3 * s) + (step.dam == Pedigree::none ? 0 : d);
          step.chance[static_cast<std::size_t>(row)][static_cast<std::size_t>(k)] += weight * chance;
        }
      }
    }
  }
  return step;
}

Descent::World Descent::room() const {
  return {std::vector<std::uint8_t>(pedigree_->size(), 0),
          std::vector<std::uint8_t>(pedigree_->stand_ins(), 0)};
}

void Descent::draw_stand_in(World& world, std::uint32_t s, double which, double what) const {
  for (const SireChance& chance : pedigree_->stand_in(s)) {
    if (which < chance.probability) {
      world.stand_ins[s] = world.animals[chance.sire.position];
      return;
    }
    which -= chance.probability;
  }
  world.stand_ins[s] = pick(unlisted_of_stand_in_[s], what);
}

void Descent::draw_animal(World& world, const Step& step, double what) const {
  std::size_t row = 0;
  if (Pedigree::is_stand_in(step.sire)) {
    row += 3u * world.stand_ins[Pedigree::stand_in_of(step.sire)];
  } else if (step.sire != Pedigree::none) {
    row += 3u * world.animals[step.sire];
  }
  if (step.dam != Pedigree::none) row += world.animals[step.dam];
  world.animals[step.position] = pick(step.chance[row], what);
}

}  // namespace doewright
