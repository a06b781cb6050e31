// SPDX-License-Identifier: MIT
#include "breeds.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

void add_part(std::vector<BreedShare>& into, std::span<const BreedShare> mix, double weight) {
  for (const BreedShare& share : mix) into.push_back({share.breed, share.share * weight});
}

}  // namespace

std::vector<BreedShare> normal_mix(std::vector<BreedShare> mix) {
  // Stable: the order in which equal breeds are summed decides the last digit.
  std::stable_sort(mix.begin(), mix.end(),
                   [](const BreedShare& a, const BreedShare& b) { return a.breed < b.breed; });
  std::size_t kept = 0;
  double sum = 0.0;
  for (const BreedShare share : mix) {
    if (!(share.share > 0.0)) continue;
    sum += share.share;
    if (kept > 0 && mix[kept - 1].breed == share.breed) {
      mix[kept - 1].share += share.share;
    } else {
      mix[kept++] = share;
    }
  }
  mix.resize(kept);
  // Shares that already add up stay as they are, bit for bit: 3/4 and 1/4 must not drift.
  if (std::abs(sum - 1.0) > 1e-12) {
    for (BreedShare& share : mix) share.share /= sum;
  }
  return mix;
}

// Parents stand before their kids, so one pass from the oldest animal on.
BreedMixes::BreedMixes(const Herd& herd) {
  add({});
  std::vector<std::uint32_t> recorded;
  for (const auto& mix : herd.animals.breed_mixes) recorded.push_back(add(normal_mix(mix)));
  const auto sires = herd.pedigree.sire_slots();
  const auto dams = herd.pedigree.dam_slots();
  of_.assign(herd.pedigree.size(), 0);
  if (pool_.empty()) return;  // no breed in the whole book
  for (std::size_t i = 0; i < of_.size(); ++i) {
    const std::uint32_t own = recorded.at(herd.animals.breed_mix[i]);
    const std::uint32_t dam = dams[i] == Pedigree::none ? 0 : of_[dams[i]];
    of_[i] = own != 0 ? own : mean(herd, sires[i], dam);
  }
}

std::uint32_t BreedMixes::add(const std::vector<BreedShare>& mix) {
  if (mix.empty() && !ends_.empty()) return 0;
  pool_.insert(pool_.end(), mix.begin(), mix.end());
  ends_.push_back(pool_.size());
  return static_cast<std::uint32_t>(ends_.size() - 1);
}

/// Of a kid without a breed of its own. A missing parent, and the buck of an uncertain sire who is
/// not on the list, have the breed of the kid: so the known parts are brought up to 1.
std::uint32_t BreedMixes::mean(const Herd& herd, std::uint32_t sire_slot, std::uint32_t dam_mix) {
  work_.clear();
  if (Pedigree::is_stand_in(sire_slot)) {
    for (const SireChance& chance : herd.pedigree.stand_in(Pedigree::stand_in_of(sire_slot))) {
      add_part(work_, shares(mix_of(chance.sire)), 0.5 * chance.probability);
    }
  } else {
    const std::uint32_t sire_mix = sire_slot == Pedigree::none ? 0 : of_[sire_slot];
    if (sire_mix == 0 || sire_mix == dam_mix) return dam_mix;
    if (dam_mix == 0) return sire_mix;
    add_part(work_, shares(sire_mix), 0.5);
  }
  add_part(work_, shares(dam_mix), 0.5);
  work_ = normal_mix(std::move(work_));
  return add(work_);
}

std::vector<std::vector<BreedShare>> breed_shares(const Herd& herd) {
  const BreedMixes mixes(herd);
  std::vector<std::vector<BreedShare>> result(herd.pedigree.size());
  for (std::uint32_t i = 0; i < result.size(); ++i) {
    const auto shares = mixes.shares(mixes.mix_of(Animal{i}));
    result[i].assign(shares.begin(), shares.end());
  }
  return result;
}

double by_breed(const ByBreed& values, const std::vector<BreedShare>& shares,
                const std::vector<std::string>& breed_names) {
  if (shares.empty() || values.named.empty()) return values.other;
  double mean = 0.0;
  for (const BreedShare& share : shares) {
    const auto found = values.named.find(lower_ascii(breed_names.at(share.breed)));
    mean += share.share * (found == values.named.end() ? values.other : found->second);
  }
  return mean;
}

}  // namespace doewright
