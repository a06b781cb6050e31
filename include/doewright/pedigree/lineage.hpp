// SPDX-License-Identifier: MIT
#pragma once
/// Where an ancestor stands in an animal's pedigree.
#include <optional>
#include <string>

#include <doewright/core/animal.hpp>
#include <doewright/export.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// The nearest place of `ancestor` above `animal` as a word of 's' (sire) and 'd' (dam): "d" is the dam,
/// "sd" the sire's dam, "" the animal itself; nothing if it is no ancestor. Of several equally near
/// places the first in alphabet order with d before s. A possible sire counts as a sire.
/// \throws UsageError. Cost: grows with the ancestors nearer than it.
DOEWRIGHT_EXPORT std::optional<std::string> place_of(const Pedigree& pedigree, Animal animal,
                                                     Animal ancestor);

}  // namespace doewright
