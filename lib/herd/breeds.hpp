// SPDX-License-Identifier: MIT
#pragma once
/// Breeds of a whole book without a list an animal: every different mix stands there once.
#include <cstdint>
#include <string>
#include <vector>

#include <doewright/herd/herd.hpp>

namespace doewright {

struct BreedMixes {
  std::vector<std::vector<BreedShare>> mixes;  ///< By breed index, each sums to 1; [0] is empty.
  std::vector<std::uint32_t> of;               ///< By animal, into mixes.
};

/// The same shares as breed_shares(), 4 bytes an animal and the different mixes.
BreedMixes breed_mixes(const Herd& herd);

/// 1 + the breed with the largest share, ties by name; 0 if nothing is known.
std::uint16_t main_breed_class(const std::vector<BreedShare>& mix,
                               const std::vector<std::string>& breed_names);

}  // namespace doewright
