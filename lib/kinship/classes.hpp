// SPDX-License-Identifier: MIT
#pragma once
// Reading 2 in large books, after VanRaden (1992), J. Dairy Sci. 75:3136-3144 (the method from
// memory; numbers are checked against a slow twin, tests/kinship/class_twin.hpp).
//
// A missing parent belongs to the class of its kid's breed and birth year. m(c), the inbreeding of
// class c, is the mean F of the animals of that breed and year with both parents known. Two missing
// parents, of classes c and d of one breed (or one of no known breed), have the kinship m of the
// later year, of one year the mean of m(c) and m(d); of two breeds 0. So in one breed
//   K(missing parent of x, any older y) = m(class of x): a half-known kid has its class's mean F.
// m stands for F, and F is worked out from m: solved by rounds from m = 0 (classes.cpp says when
// they end).
//
// Differences from the source: the rule between classes is symmetric, so that the order of rows
// counts for nothing; unlike breeds are unrelated; a class of few takes older years in; the four
// things named as ours in classes.cpp.
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/pedigree/unknown_parents.hpp>

#include "groups.hpp"

namespace doewright {

/// One class of missing parents.
struct BreedYear {
  std::uint16_t breed = 0;
  int year = 0;               ///< 0: no year known of the kid, its parents or its kids.
  double mean = 0.0;          ///< m: the inbreeding of the class.
  std::uint64_t animals = 0;  ///< Both parents known; of the years that were taken together.
};

struct ClassedBook {
  std::vector<BreedYear> classes;       ///< By breed, then year. Group number of the book.
  std::vector<std::uint32_t> class_of;  ///< By node of the ungrouped family; none: not in a class.
  std::uint32_t rounds = 0;
  double last_change = 0.0;  ///< Largest change of any m in the last round.
  GroupedBook book;
};

/// Nothing where birth years or breed classes are not given, or there are more than 4,000 classes.
std::optional<ClassedBook> classed_book(const Family& family, const UnknownParents& unknowns,
                                        const Run& run);

}  // namespace doewright
