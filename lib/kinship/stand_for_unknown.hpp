// SPDX-License-Identifier: MIT
#pragma once
// What an animal Y would add to the kinship of a and b if it stood in one empty place of their
// ancestry.
//
// Let u be the phantom in that place. Follow the pair (a, b) back, always opening up the younger of
// the two; every way ends in a founder met by both (a constant), or at pairs (u, z) with z no
// descendant of u, or at (u, u). Hence with Y in the place
//   K'(a,b) = K(a,b) + sum over z of w(z) K(Y,z) + w(u) F(Y) / 2,
// and the weights w do not depend on Y. (u's own 1/2 at (u, u) is in K(a,b) already.)
#include <cstdint>
#include <utility>
#include <vector>

#include "family.hpp"

namespace doewright {

/// An empty place: a missing parent of `kid`, or the unlisted buck of a stand-in without
/// candidates.
struct EmptyPlace {
  std::uint32_t kid =
      Family::none;  ///< Node whose parent is missing; none where `stand_in` is given.
  bool is_sire = true;
  std::uint32_t stand_in = Family::none;  ///< Node of a stand-in with no candidate.
};

struct PlaceWeights {
  std::vector<std::pair<std::uint32_t, double>> with;  ///< (z, w(z)), ascending z, w > 0.
  double itself = 0.0;                                 ///< w(u).
};

/// Weights for the pair (a, b) in a family that holds their ancestors.
PlaceWeights weights_of(const Family& family, std::uint32_t a, std::uint32_t b, EmptyPlace place);

}  // namespace doewright
