// SPDX-License-Identifier: MIT
#pragma once
/// What the book holds of one doe and one buck this season: days with him, heats, checks, kidding.
#include <cstddef>
#include <optional>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

/// A conception shows in a check this many days later.
inline constexpr int shows_in_kid_after = 20;

/// Days of hers with a buck: 0 is the buck asked for, the others follow.
struct MetOn {
  std::size_t buck = 0;
  Animal sire;
  Date from, to;
  bool seen = false;  ///< A service seen on `from`; else a stay.
};

/// A heat that was seen, or a service that was. Five days on it is another one.
struct KnownHeat {
  Date day;
  std::size_t bucks = 0;  ///< That served it; 0: not the buck asked for.
};

/// Her season with him: since the kidding before, up to as-of or to the kidding after.
struct BuckAndDoe {
  std::vector<MetOn> exposures;  ///< Of every buck of hers.
  std::size_t bucks = 1;
  std::vector<KnownHeat> heats;  ///< From his first day on, ascending.
  Date first, end;               ///< His first day; as-of, or the kidding.
  std::optional<Date> empty_on;  ///< Her last check that found her empty.
  bool kidded = false;           ///< The season ended in a kidding.
  bool proved_in_kid = false;    ///< To him: by a check or by a kidding.
};

/// Empty: none of his days with her lies in the last 200.
std::optional<BuckAndDoe> buck_and_doe(const Herd& herd, const Offspring& offspring, Animal sire,
                                       Animal doe);

}  // namespace doewright
