// SPDX-License-Identifier: MIT
#pragma once
// The pedigree as kinship's kernels walk it: animals and stand-ins are nodes of one order, parents
// first. A stand-in stands right before its first kid, so that it is younger than every candidate.
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// A parent of a node and the part of the node's genes that comes from there: 1/2 of a sire or dam,
/// of a candidate the chance that he is the sire.
struct ParentPart {
  std::uint32_t node = 0;
  double part = 0.0;
};

/// Nodes 0..size()-1. Without stand-ins a node is an animal's position and nothing is copied.
class Family {
 public:
  static constexpr std::uint32_t none = Pedigree::none;

  explicit Family(const Pedigree& pedigree);
  /// From arrays in this numbering: a stand-in has sire none and dam stand_in_bit + its list.
  Family(std::vector<std::uint32_t> sires, std::vector<std::uint32_t> dams,
         std::vector<std::uint32_t> first, std::vector<ParentPart> candidates);
  Family(Family&&) noexcept = default;
  Family& operator=(Family&&) noexcept = default;
  Family(const Family&) = delete;
  Family& operator=(const Family&) = delete;
  ~Family() = default;

  std::uint32_t size() const noexcept { return static_cast<std::uint32_t>(dams_.size()); }
  std::uint32_t stand_ins() const noexcept {
    return static_cast<std::uint32_t>(candidate_first_.size() - 1);
  }
  bool is_stand_in(std::uint32_t node) const noexcept { return Pedigree::is_stand_in(dams_[node]); }
  /// Number of the stand-in that a stand-in's node is.
  std::uint32_t list_of(std::uint32_t node) const noexcept {
    return Pedigree::stand_in_of(dams_[node]);
  }
  /// Sire and dam as nodes, or none; of a stand-in's node both are none.
  std::uint32_t sire(std::uint32_t node) const noexcept { return sires_[node]; }
  std::uint32_t dam(std::uint32_t node) const noexcept {
    return is_stand_in(node) ? none : dams_[node];
  }
  /// Candidates of stand-in number `list`, ascending.
  std::span<const ParentPart> candidates(std::uint32_t list) const noexcept {
    return std::span(candidates_)
        .subspan(candidate_first_[list], candidate_first_[list + 1] - candidate_first_[list]);
  }

  std::uint32_t node_of(Animal animal) const noexcept {
    return node_of_.empty() ? animal.position : node_of_[animal.position];
  }
  std::uint32_t node_of_stand_in(std::uint32_t list) const noexcept {
    return stand_in_nodes_[list];
  }
  /// Position of the animal that a node is; none for a stand-in.
  std::uint32_t position_of(std::uint32_t node) const noexcept {
    return position_of_.empty() ? node : position_of_[node];
  }

  /// Calls visit(parent, part) for every known parent or candidate of a node.
  template <class Visit>
  void for_parents(std::uint32_t node, Visit&& visit) const {
    if (is_stand_in(node)) {
      for (const ParentPart& candidate : candidates(list_of(node))) {
        visit(candidate.node, candidate.part);
      }
      return;
    }
    if (sires_[node] != none) visit(sires_[node], 0.5);
    if (dams_[node] != none) visit(dams_[node], 0.5);
  }

 private:
  void number_with_stand_ins(const Pedigree& pedigree);

  Pedigree kept_;  // keeps the shared arrays alive where sires_ and dams_ point into them
  std::vector<std::uint32_t> own_sires_, own_dams_;
  std::span<const std::uint32_t> sires_, dams_;
  std::vector<std::uint32_t> candidate_first_ = {0};
  std::vector<ParentPart> candidates_;
  std::vector<std::uint32_t> stand_in_nodes_;
  std::vector<std::uint32_t> node_of_, position_of_;  // empty where both are the same number
};

/// The ancestors of some nodes (themselves included) as a family of their own, in the same order.
struct Ancestry {
  Family family;
  std::vector<std::uint32_t> original;  ///< Node of the larger family, ascending.
  std::vector<std::uint32_t> asked;  ///< Nodes of `family` for the nodes asked for, in that order.
};

Ancestry ancestry(const Family& family, std::span<const std::uint32_t> nodes);

}  // namespace doewright
