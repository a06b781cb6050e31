// SPDX-License-Identifier: MIT
#pragma once
/// Which kids of uncertain sire share one draw of the sire (DEFINITIONS 1).
#include <string>
#include <string_view>
#include <vector>

#include "animals_table.hpp"
#include "side_tables.hpp"

namespace doewright {

/// A kid with a list of possible sires.
struct ListedKid {
  std::string id;
  std::string litter;              ///< As entered beside the list; blank: the rule decides.
  std::vector<std::string> sires;  ///< Those on its list.
};

/// For each kid a name of the draw that it shares with the kids of the same name; blank: it draws
/// for itself. Kids share that have the same entry of a litter beside their lists, whoever their
/// dams are (two does put to one buck). Without one, kids of one dam share that have the same
/// `litter` in animals.csv (also as an entry beside the other's list), or were born within 2 days of
/// each other, or
/// (of a birth not known to the day) in the same year if kiddings.csv has at most one kidding of
/// hers then; unless two of the listed bucks were with her within 2 days of each other in the 200
/// days before the birth. Where a kid may be of two litters, it draws for itself.
std::vector<std::string> shared_draws(const std::vector<ListedKid>& listed, const KidsById& kids,
                                      const BookFiles& files);

}  // namespace doewright
