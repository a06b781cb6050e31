// SPDX-License-Identifier: MIT
#include "breeds.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstddef>
#include <unordered_map>
#include <utility>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

using Mix = std::vector<BreedShare>;

/// By breed, each breed once, sum 1. Nothing positive in it: empty.
Mix normal(Mix mix) {
  std::sort(mix.begin(), mix.end(),
            [](const BreedShare& a, const BreedShare& b) { return a.breed < b.breed; });
  Mix result;
  double sum = 0.0;
  for (const BreedShare& share : mix) {
    if (!(share.share > 0.0)) continue;
    sum += share.share;
    if (!result.empty() && result.back().breed == share.breed) {
      result.back().share += share.share;
    } else {
      result.push_back(share);
    }
  }
  // Shares that already add up stay as they are, bit for bit: 3/4 and 1/4 must not drift.
  if (std::abs(sum - 1.0) > 1e-12) {
    for (BreedShare& share : result) share.share /= sum;
  }
  return result;
}

void add(Mix& into, const Mix& mix, double weight) {
  for (const BreedShare& share : mix) into.push_back({share.breed, share.share * weight});
}

struct MixHash {
  std::size_t operator()(const Mix& mix) const noexcept {
    std::uint64_t hash = 0xcbf29ce484222325u;
    for (const BreedShare& share : mix) {
      hash = (hash ^ share.breed) * 0x100000001b3u;
      hash = (hash ^ std::bit_cast<std::uint64_t>(share.share)) * 0x9e3779b97f4a7c15u;
    }
    return static_cast<std::size_t>(hash ^ (hash >> 29));
  }
};

struct MixEqual {
  bool operator()(const Mix& a, const Mix& b) const noexcept {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](const BreedShare& x, const BreedShare& y) {
                        return x.breed == y.breed && x.share == y.share;
                      });
  }
};

/// Works through the pedigree from the oldest animal on, so that parents are there before their
/// kids.
class MixWalk {
 public:
  explicit MixWalk(const Herd& herd) : herd_(herd) {
    result_.mixes.emplace_back();
    number_of_.emplace(Mix{}, 0u);
    for (const Mix& mix : herd.animals.breed_mixes) recorded_.push_back(number(normal(mix)));
  }

  BreedMixes walk() && {
    const std::size_t n = herd_.pedigree.size();
    result_.of.assign(n, 0);
    if (result_.mixes.size() == 1) return std::move(result_);  // no breed in the whole book
    const auto sires = herd_.pedigree.sire_slots();
    const auto dams = herd_.pedigree.dam_slots();
    for (std::size_t i = 0; i < n; ++i) {
      const std::uint32_t recorded = recorded_.at(herd_.animals.breed_mix[i]);
      result_.of[i] = recorded != 0 ? recorded : mean(sires[i], mix_of(dams[i]));
    }
    return std::move(result_);
  }

 private:
  std::uint32_t number(Mix mix) {
    const auto next = static_cast<std::uint32_t>(result_.mixes.size());
    const auto [entry, is_new] = number_of_.emplace(std::move(mix), next);
    if (is_new) result_.mixes.push_back(entry->first);
    return entry->second;
  }

  std::uint32_t mix_of(std::uint32_t slot) const {
    return slot == Pedigree::none ? 0 : result_.of[slot];
  }

  /// Of a kid without a breed of its own. A missing parent, and the buck of an uncertain sire who
  /// is not on the list, have the breed of the kid: so the known parts are brought up to 1.
  std::uint32_t mean(std::uint32_t sire_slot, std::uint32_t dam) {
    const bool uncertain = Pedigree::is_stand_in(sire_slot);
    const std::uint32_t sire = uncertain ? 0 : mix_of(sire_slot);
    if (!uncertain && (sire == 0 || sire == dam)) return dam;
    if (!uncertain && dam == 0) return sire;
    const std::uint64_t pair = (std::uint64_t{uncertain ? sire_slot : sire} << 32) | dam;
    if (const auto found = mean_of_.find(pair); found != mean_of_.end()) return found->second;
    Mix mix;
    if (uncertain) {
      for (const SireChance& chance : herd_.pedigree.stand_in(Pedigree::stand_in_of(sire_slot))) {
        add(mix, result_.mixes[result_.of[chance.sire.position]], 0.5 * chance.probability);
      }
    } else {
      add(mix, result_.mixes[sire], 0.5);
    }
    add(mix, result_.mixes[dam], 0.5);
    return mean_of_[pair] = number(normal(std::move(mix)));
  }

  const Herd& herd_;
  BreedMixes result_;
  std::vector<std::uint32_t> recorded_;
  std::unordered_map<Mix, std::uint32_t, MixHash, MixEqual> number_of_;
  std::unordered_map<std::uint64_t, std::uint32_t> mean_of_;
};

}  // namespace

BreedMixes breed_mixes(const Herd& herd) {
  return MixWalk(herd).walk();
}

std::uint16_t main_breed_class(const std::vector<BreedShare>& mix,
                               const std::vector<std::string>& breed_names) {
  const BreedShare* best = nullptr;
  for (const BreedShare& share : mix) {
    const bool larger = best != nullptr && share.share > best->share;
    const bool earlier_name = best != nullptr && share.share == best->share &&
                              breed_names.at(share.breed) < breed_names.at(best->breed);
    if (best == nullptr || larger || earlier_name) best = &share;
  }
  return best == nullptr ? std::uint16_t{0} : static_cast<std::uint16_t>(best->breed + 1);
}

std::vector<std::vector<BreedShare>> breed_shares(const Herd& herd) {
  const BreedMixes mixes = breed_mixes(herd);
  std::vector<std::vector<BreedShare>> result(mixes.of.size());
  for (std::size_t i = 0; i < result.size(); ++i) result[i] = mixes.mixes[mixes.of[i]];
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
