// SPDX-License-Identifier: MIT
#pragma once
/// Gibbs sampling of large blocks: everything but a few variables is drawn at once, exactly, given
/// those few; then the few others are held.
///
/// Source: blocked Gibbs for pedigrees, Jensen, Kjaerulff, Kong (1995), Int. J. Human-Comp. Stud.
/// 42:647. Single variables at a time would mix badly, or be stuck at zero penetrances.
#include <cstdint>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include <doewright/core/run.hpp>

#include "factor_tree.hpp"

namespace doewright {

class BlockedSampler {
 public:
  /// \throws LimitError  if no holding of variables makes the tables small enough.
  BlockedSampler(std::vector<std::uint32_t> states, const std::vector<TreeFactor>& factors,
                 double most_block_entries);

  std::size_t blocks() const noexcept { return blocks_.size(); }

  /// What a chain works in; one for each thread.
  struct Room {
    std::vector<std::vector<TreeFactor>> factors;  ///< By block: the held variables taken out.
    std::vector<FactorTree> trees;
    std::vector<std::uint8_t> by_place;
  };
  Room room() const;

  /// A state of positive probability, from which a chain may begin; empty: none was found.
  std::optional<std::vector<std::uint8_t>> beginning(std::uint64_t seed, std::uint32_t chain,
                                                     Room& room, const Run& run) const;

  /// One sweep through all blocks.
  template <class Uniform>
  void sweep(std::vector<std::uint8_t>& state, Room& room, Uniform&& uniform, const Run& run) const {
    for (std::size_t b = 0; b < blocks_.size(); ++b) {
      fill(b, state, 0.0, room, run);
      draw(b, state, room, uniform);
    }
  }

 private:
  /// Where the entries of a factor without its held variables stand in the whole one.
  struct Slice {
    std::vector<std::pair<std::uint32_t, std::size_t>> held;  // variable, stride
    std::vector<std::size_t> entries;                         // with all held ones in state 0
  };
  struct Block {
    std::vector<std::uint32_t> drawn;        // variables
    std::vector<std::uint32_t> number;       // by variable; none: held
    std::shared_ptr<const TreeShape> shape;  // over `drawn`
    std::vector<TreeFactor> rest;            // held variables taken out of the scopes; tables unfilled
    std::vector<Slice> slices;               // by factor
  };
  Block block_without(const std::vector<bool>& must_be_drawn, double most_entries) const;
  void add_slices(Block& block) const;
  /// Numbers of one block given the held variables; no factor below `floor`.
  void fill(std::size_t block, const std::vector<std::uint8_t>& state, double floor, Room& room,
            const Run& run) const;
  template <class Uniform>
  void draw(std::size_t block, std::vector<std::uint8_t>& state, Room& room, Uniform&& uniform) const {
    const FactorTree& tree = room.trees[block];
    const std::vector<std::uint32_t>& drawn = blocks_[block].drawn;
    tree.draw(room.by_place, uniform);
    for (std::size_t f = 0; f < drawn.size(); ++f) {
      state[drawn[f]] = tree.drawn(static_cast<std::uint32_t>(f), room.by_place);
    }
  }

  std::vector<std::uint32_t> states_;
  std::vector<TreeFactor> factors_;
  std::vector<Block> blocks_;
};

}  // namespace doewright
