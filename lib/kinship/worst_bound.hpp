// SPDX-License-Identifier: MIT
#pragma once
// No kinship of a pair can be larger than this, however the unsure sires that are still open are
// settled and whoever stands in one empty place.
//
// Emik and Terrill's table with, for an open stand-in, the largest entry of its bucks in each
// column: every rule adds and halves, so what is at least as large going in is at least as large
// coming out. Of whoever stands in a place u: K(u, j) <= the largest K(m, j) over j and its
// ancestors m, since a kinship is a mean over pairs of which one is such an m or nobody's kin; K(u,
// u) <= 1.
#include <cstdint>
#include <span>
#include <vector>

#include "family.hpp"
#include "stand_for_unknown.hpp"

namespace doewright {

class WorstBound {
 public:
  explicit WorstBound(const Family& family);

  static constexpr std::uint32_t open = Family::none - 1;

  /// `taken` by list of the family: a node, none (the unlisted buck) or `open`. The place may be
  /// empty: nobody is put in.
  double of(std::uint32_t a, std::uint32_t b, std::span<const std::uint32_t> taken,
            const EmptyPlace& place);

 private:
  double& at(std::uint32_t x, std::uint32_t y) {
    return x < y ? table_[std::size_t{y} * (y + 1) / 2 + x]
                 : table_[std::size_t{x} * (x + 1) / 2 + y];
  }
  double with(std::uint32_t parent, std::uint32_t y) {
    return parent == Family::none ? 0.0 : at(parent, y);
  }
  /// Kinship of a node with one that does not come of it, from the node's parents.
  double opened(std::uint32_t node, std::uint32_t other, std::span<const std::uint32_t> taken,
                const EmptyPlace& place);
  enum class Below : std::uint8_t { no, perhaps, surely };
  Below below(std::uint32_t node, std::span<const std::uint32_t> taken,
              const EmptyPlace& place) const;
  double self(std::uint32_t node, std::span<const std::uint32_t> taken, const EmptyPlace& place);

  const Family& family_;
  std::vector<double> table_;     // lower triangle
  std::vector<double> in_place_;  // of whoever stands in the place, with each node
  std::vector<Below> below_;      // does a node come of the place?
};

}  // namespace doewright
