// SPDX-License-Identifier: MIT
#pragma once
/// One ancestor under two names, one on each side of a pair: nothing is merged on a likeness, it is
/// asked.
#include <cstddef>
#include <span>
#include <utility>
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/core/reason.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

/// Questions (reason::ask_one_animal) of each sire (row) with each doe (column): two animals with
/// alike names (alike_names()), of no two sexes, of which one is the sire or his ancestor and the
/// other the doe or hers. At most two a pair, the largest F first. The F is the kinship of sire and
/// doe as recorded in a second pedigree in which the two are one animal (parents of the first,
/// where blank of the second); for at most eight such pairs of names, and none where the two as one
/// would contradict the pedigree.
///
/// Cost: the ancestors of each animal, sires x does x alike names, and a kinship block a pair of
/// names.
DOEWRIGHT_EXPORT Grid<std::vector<Reason>> ask_if_one_animal(const Herd& herd,
                                                             std::span<const Animal> sires,
                                                             std::span<const Animal> does);

/// Each pair of names once, with the largest F.
DOEWRIGHT_EXPORT std::vector<Reason> each_once(const Grid<std::vector<Reason>>& questions);

}  // namespace doewright
