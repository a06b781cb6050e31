// SPDX-License-Identifier: MIT
#pragma once
/// Was an id that has no row of its own meant for one that has?
#include <cstddef>
#include <optional>
#include <string_view>

#include <doewright/core/animal.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

namespace doewright {

class NearIds {
 public:
  /// \param searches  how often will be asked; where that would take long, nothing is found.
  NearIds(const BuiltPedigree& built, std::size_t searches);

  /// The animal with a row whose id is nearest: the same but for case, blanks and accents, or a
  /// slip or two away with the same digits ("C-12" is not nearly "C-13"). Nothing if none is near.
  std::optional<Animal> nearest_to(std::string_view id) const;

 private:
  const BuiltPedigree& built_;
  bool worth_it_;
};

}  // namespace doewright
