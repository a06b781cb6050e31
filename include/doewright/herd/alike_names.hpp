// SPDX-License-Identifier: MIT
#pragma once
/// Animals of a few whose names are alike: perhaps one animal under two names. Only a person can
/// judge.
#include <span>
#include <string>
#include <vector>

#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

struct AlikeNames {
  Animal first, second;  ///< In the order of their lines.
};

/// Pairs that likenesses() asks about as name-shared or id-near, among these animals alone: of a
/// group of alike animals each is held against the first. Cost: sorts 16 bytes a name of these
/// animals.
DOEWRIGHT_EXPORT std::vector<AlikeNames> alike_names(const Herd& herd,
                                                     std::span<const Animal> among);

/// What two animals share: "registration R-1", "tag 12", "name Thor"; empty: nothing but ids that
/// are near, or nothing. As written of the first. Cost: the names of the two.
DOEWRIGHT_EXPORT std::string name_in_common(const Herd& herd, Animal first, Animal second);

}  // namespace doewright
