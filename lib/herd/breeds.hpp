// SPDX-License-Identifier: MIT
#pragma once
/// Breeds of a whole book without a list an animal.
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include <doewright/herd/herd.hpp>

namespace doewright {

/// The same shares as breed_shares(), end to end in one list. Animals share a mix where it was
/// handed down unchanged; a cross has one of its own, for after some generations nearly every cross
/// is another one.
class BreedMixes {
 public:
  explicit BreedMixes(const Herd& herd);

  std::size_t mixes() const noexcept { return ends_.size(); }
  std::uint32_t mix_of(Animal animal) const { return of_[animal.position]; }
  /// By breed index, sum 1; mix 0 is empty.
  std::span<const BreedShare> shares(std::uint32_t mix) const {
    const std::size_t begin = mix == 0 ? 0 : ends_[mix - 1];
    return {pool_.data() + begin, ends_[mix] - begin};
  }

 private:
  std::uint32_t add(const std::vector<BreedShare>& mix);
  std::uint32_t mean(const Herd& herd, std::uint32_t sire_slot, std::uint32_t dam_mix);

  std::vector<BreedShare> pool_;
  std::vector<std::uint64_t> ends_;
  std::vector<std::uint32_t> of_;
  std::vector<BreedShare> work_;
};

/// By breed index, each breed once, sum 1; empty if nothing in it is above 0.
std::vector<BreedShare> normal_mix(std::vector<BreedShare> mix);

}  // namespace doewright
