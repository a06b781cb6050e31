// SPDX-License-Identifier: MIT
#pragma once
/// Wright's inbreeding coefficient F of every animal in a pedigree.
#include <vector>

#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// F(i): the probability that the two copies of a gene in animal i come from one copy in one ancestor.
/// Animals without known parents are the base: unrelated, F = 0. The missing parent of a half-known
/// animal is an unrelated founder of its own. With uncertain sires: the expectation of F over the
/// assignments (Henderson 1988).
///
///     const std::vector<double> f = inbreeding(pedigree);
///     fmt::print("Juniper: {:.1f} %\n", 100 * f[juniper.position]);
///
/// \return  size() numbers in [0, 1), in pedigree order. Not percentages, not kinships: the kinship of
///          an animal with itself is (1 + F) / 2, its relationship with itself 1 + F.
/// \throws  LimitError, Cancelled. Every Pedigree is valid input, the empty one too.
///
/// Accuracy  within 1e-12 of exact fractions (tests/kinship/test_reference.cpp).
/// Cost      see inbreeding.cpp: one pass with a small table while few animals are parents at the same
///           time, whatever the depth; else one sweep up and down the ancestors of every sire.
DOEWRIGHT_EXPORT std::vector<double> inbreeding(const Pedigree& pedigree, const Run& run = {});

}  // namespace doewright
