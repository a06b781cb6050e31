// SPDX-License-Identifier: MIT
#pragma once
/// How much of a pedigree is known: what every coefficient rests on.
///
/// Places are counted, not distinct animals: one ancestor in two places fills two. An uncertain sire
/// fills his place by the sum of his candidates' probabilities.
#include <array>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// What is known of one animal.
struct Known {
  /// Places filled among the 2, 4, 8, 16, 32 ancestors of generation 1..5.
  std::array<double, 5> places = {};
  /// C(X): the mean over the five generations of the share of places filled; 0..1.
  double share = 0.0;
  /// Equivalent complete generations: sum over all known places, however deep, of (1/2)^generation.
  double generations = 0.0;
};

/// \throws UsageError if the animal is not of this pedigree. Cost: grows with its ancestors.
DOEWRIGHT_EXPORT Known known(const Pedigree& pedigree, Animal animal);

/// C of a pair: 2 C(A) C(B) / (C(A) + C(B)), 0 when both are 0.
DOEWRIGHT_EXPORT double known_of_pair(double share_a, double share_b) noexcept;

/// Equivalent complete generations of every animal (Maignel, Boichard and Verrier 1996).
DOEWRIGHT_EXPORT std::vector<double> generations_known(const Pedigree& pedigree);

/// The completeness index of MacCluer et al. (1983) of every animal, over `depth` generations:
/// 2ab/(a+b), a and b the mean shares of ancestors known on the sire's and on the dam's side, the
/// parent being its side's first generation. 0 if a parent is unknown. \pre 1 <= depth <= 16.
DOEWRIGHT_EXPORT std::vector<double> completeness(const Pedigree& pedigree, int depth = 5,
                                                  const Run& run = {});

}  // namespace doewright
