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

  /// A state of positive probability, from which a chain may begin; empty: none was found.
  std::optional<std::vector<std::uint8_t>> beginning(std::uint64_t seed, std::uint32_t chain,
                                                     const Run& run) const;

  /// One sweep through all blocks.
  template <class Uniform>
  void sweep(std::vector<std::uint8_t>& state, Uniform&& uniform, const Run& run) const {
    std::vector<std::uint8_t> by_place;
    for (const Block& block : blocks_) {
      const FactorTree tree = given(block, state, 0.0, run);
      tree.draw(by_place, uniform);
      for (std::size_t f = 0; f < block.drawn.size(); ++f) {
        state[block.drawn[f]] = tree.drawn(static_cast<std::uint32_t>(f), by_place);
      }
    }
  }

 private:
  struct Block {
    std::vector<std::uint32_t> drawn;        // variables
    std::vector<std::uint32_t> number;       // by variable; none: held
    std::shared_ptr<const TreeShape> shape;  // over `drawn`
  };
  Block block_without(const std::vector<bool>& must_be_drawn, double most_entries) const;
  std::vector<TreeFactor> sliced(const Block& block, const std::vector<std::uint8_t>& state,
                                 double floor) const;
  FactorTree given(const Block& block, const std::vector<std::uint8_t>& state, double floor,
                   const Run& run) const;

  std::vector<std::uint32_t> states_;
  std::vector<TreeFactor> factors_;
  std::vector<Block> blocks_;
};

}  // namespace doewright
