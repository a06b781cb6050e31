// SPDX-License-Identifier: MIT
#include "worst_bound.hpp"

#include <algorithm>

namespace doewright {

WorstBound::WorstBound(const Family& family)
    : family_(family),
      table_(std::size_t{family.size()} * (family.size() + 1) / 2),
      in_place_(family.size()),
      below_(family.size()) {}

double WorstBound::opened(std::uint32_t node, std::uint32_t other,
                          std::span<const std::uint32_t> taken, const EmptyPlace& place) {
  if (!family_.is_stand_in(node)) {
    const bool is_kid = node == place.kid;
    const double sire =
        is_kid && place.is_sire ? in_place_[other] : with(family_.sire(node), other);
    const double dam = is_kid && !place.is_sire ? in_place_[other] : with(family_.dam(node), other);
    return 0.5 * (sire + dam);
  }
  const std::uint32_t list = family_.list_of(node);
  if (taken[list] == Family::none) return node == place.stand_in ? in_place_[other] : 0.0;
  if (taken[list] != open) return at(taken[list], other);
  double most = 0.0;
  for (const ParentPart& buck : family_.candidates(list))
    most = std::max(most, at(buck.node, other));
  return most;
}

double WorstBound::self(std::uint32_t node, std::span<const std::uint32_t> taken,
                        const EmptyPlace& place) {
  if (!family_.is_stand_in(node)) {
    const std::uint32_t sire = family_.sire(node), dam = family_.dam(node);
    if (node != place.kid) return 0.5 * (1.0 + (sire == Family::none ? 0.0 : with(dam, sire)));
    const std::uint32_t other = place.is_sire ? dam : sire;
    return 0.5 * (1.0 + (other == Family::none ? 0.0 : in_place_[other]));
  }
  const std::uint32_t list = family_.list_of(node);
  if (taken[list] == Family::none) return node == place.stand_in ? 1.0 : 0.5;
  if (taken[list] != open) return at(taken[list], taken[list]);
  double most = 0.5;
  for (const ParentPart& buck : family_.candidates(list))
    most = std::max(most, at(buck.node, buck.node));
  return most;
}

/// Does a node come of the place?
WorstBound::Below WorstBound::below(std::uint32_t node, std::span<const std::uint32_t> taken,
                                    const EmptyPlace& place) const {
  if (node == place.kid || node == place.stand_in) return Below::surely;
  if (!family_.is_stand_in(node)) {
    Below most = Below::no;
    family_.for_parents(
        node, [&](std::uint32_t parent, double) { most = std::max(most, below_[parent]); });
    return most;
  }
  const std::uint32_t list = family_.list_of(node);
  if (taken[list] == Family::none) return Below::no;
  if (taken[list] != open) return below_[taken[list]];
  Below most = Below::no, least = Below::surely;
  for (const ParentPart& buck : family_.candidates(list)) {
    most = std::max(most, below_[buck.node]);
    least = std::min(least, below_[buck.node]);
  }
  return most == Below::no || least == Below::surely ? most : Below::perhaps;
}

// Of a pair the younger is opened up; but whoever stands in the place may come of `node`, and then
// those below the place do, though they stand before it. Where both may be so, the larger counts.
double WorstBound::of(std::uint32_t a, std::uint32_t b, std::span<const std::uint32_t> taken,
                      const EmptyPlace& place) {
  for (std::uint32_t node = 0; node < family_.size(); ++node) {
    const Below here = below_[node] = below(node, taken, place);
    at(node, node) = self(node, taken, place);
    in_place_[node] = at(node, node);
    for (std::uint32_t y = 0; y < node; ++y) {
      at(node, y) = 0.0;
      if (below_[y] == Below::surely && here == Below::no) continue;
      at(node, y) = opened(node, y, taken, place);
      if (below_[y] != Below::surely) in_place_[node] = std::max(in_place_[node], at(node, y));
    }
    if (here == Below::surely) continue;
    for (std::uint32_t y = 0; y < node; ++y) {
      if (below_[y] == Below::no) continue;
      at(node, y) = std::max(at(node, y), opened(y, node, taken, place));
    }
  }
  return at(a, b);
}

}  // namespace doewright
