// SPDX-License-Identifier: MIT
#include "blocked_sampler.hpp"

#include <algorithm>

#include <doewright/core/errors.hpp>
#include <doewright/core/stream.hpp>

namespace doewright {

namespace {

constexpr std::uint32_t held = 0xFFFFFFFFu;
constexpr std::size_t most_blocks = 8;

/// The factors with the held variables taken out of their scopes (tables of the right size, unfilled).
std::vector<TreeFactor> without(const std::vector<TreeFactor>& factors,
                                const std::vector<std::uint32_t>& number,
                                const std::vector<std::uint32_t>& states) {
  std::vector<TreeFactor> result;
  for (const TreeFactor& factor : factors) {
    TreeFactor rest;
    std::size_t size = 1;
    for (const std::uint32_t v : factor.scope) {
      if (number[v] == held) continue;
      rest.scope.push_back(number[v]);
      size *= states[v];
    }
    rest.table.assign(size, 0.0);
    result.push_back(std::move(rest));
  }
  return result;
}

/// Number of other variables that each meets in a factor, held ones left out.
std::vector<std::uint32_t> degrees(const std::vector<TreeFactor>& factors, std::size_t variables) {
  std::vector<std::uint32_t> degree(variables, 0);
  for (const TreeFactor& factor : factors) {
    for (const std::uint32_t v : factor.scope) {
      degree[v] += static_cast<std::uint32_t>(factor.scope.size()) - 1;
    }
  }
  return degree;
}

}  // namespace

BlockedSampler::BlockedSampler(std::vector<std::uint32_t> states,
                               const std::vector<TreeFactor>& factors, double most_block_entries)
    : states_(std::move(states)), factors_(factors) {
  // Every variable must be drawn in some block: what one block holds, a later one draws.
  std::vector<bool> waiting(states_.size(), false);
  while (blocks_.size() < most_blocks) {
    Block block = block_without(waiting, most_block_entries);
    if (blocks_.empty()) {
      for (std::size_t v = 0; v < states_.size(); ++v) waiting[v] = block.number[v] == held;
    } else {
      for (const std::uint32_t v : block.drawn) waiting[v] = false;
    }
    blocks_.push_back(std::move(block));
    if (std::find(waiting.begin(), waiting.end(), true) == waiting.end()) return;
  }
  throw LimitError(
      "genotypes: the pedigree is too tangled to draw from in parts; ask for fewer animals at once "
      "(--doe, --sire)");
}

BlockedSampler::Block BlockedSampler::block_without(const std::vector<bool>& must_be_drawn,
                                                    double most_entries) const {
  Block block;
  block.number.assign(states_.size(), 0);
  std::vector<bool> is_held(states_.size(), false);
  const std::vector<std::uint32_t> degree = degrees(factors_, states_.size());
  std::vector<std::uint32_t> by_degree;
  for (std::uint32_t v = 0; v < states_.size(); ++v) by_degree.push_back(v);
  std::stable_sort(by_degree.begin(), by_degree.end(), [&](std::uint32_t a, std::uint32_t b) {
    if (must_be_drawn[a] != must_be_drawn[b]) return !must_be_drawn[a];
    return degree[a] > degree[b];
  });
  // The busiest are held first, a few more each time, until the rest fits.
  std::size_t count = 0;
  while (true) {
    block.drawn.clear();
    for (std::uint32_t v = 0; v < states_.size(); ++v) {
      block.number[v] = is_held[v] ? held : static_cast<std::uint32_t>(block.drawn.size());
      if (!is_held[v]) block.drawn.push_back(v);
    }
    std::vector<std::uint32_t> states;
    for (const std::uint32_t v : block.drawn) states.push_back(states_[v]);
    const std::vector<TreeFactor> rest = without(factors_, block.number, states_);
    const auto order = minimum_degree_order(block.drawn.size(), rest);
    if (entries_of_order(states, rest, order, most_entries) <= most_entries) {
      block.shape = std::make_shared<const TreeShape>(std::move(states), rest, order);
      return block;
    }
    const std::size_t more = std::max<std::size_t>(1, by_degree.size() / 64);
    for (std::size_t k = 0; k < more && count < by_degree.size(); ++k) is_held[by_degree[count++]] = true;
  }
}

std::vector<TreeFactor> BlockedSampler::sliced(const Block& block,
                                               const std::vector<std::uint8_t>& state,
                                               double floor) const {
  std::vector<TreeFactor> result = without(factors_, block.number, states_);
  for (std::size_t f = 0; f < factors_.size(); ++f) {
    const TreeFactor& whole = factors_[f];
    std::size_t base = 0;
    std::size_t stride = 1;
    std::vector<std::size_t> strides;
    std::vector<std::uint32_t> sizes;
    for (const std::uint32_t v : whole.scope) {
      if (block.number[v] == held) {
        base += stride * state[v];
      } else {
        strides.push_back(stride);
        sizes.push_back(states_[v]);
      }
      stride *= states_[v];
    }
    std::vector<std::uint32_t> at(strides.size(), 0);
    for (double& value : result[f].table) {
      std::size_t index = base;
      for (std::size_t d = 0; d < at.size(); ++d) index += at[d] * strides[d];
      value = std::max(whole.table[index], floor);
      for (std::size_t d = 0; d < at.size(); ++d) {
        if (++at[d] < sizes[d]) break;
        at[d] = 0;
      }
    }
  }
  return result;
}

FactorTree BlockedSampler::given(const Block& block, const std::vector<std::uint8_t>& state,
                                 double floor, const Run& run) const {
  return FactorTree(block.shape, sliced(block, state, floor), run);
}

std::optional<std::vector<std::uint8_t>> BlockedSampler::beginning(std::uint64_t seed,
                                                                   std::uint32_t chain,
                                                                   const Run& run) const {
  // What is impossible is first made merely improbable, then less and less probable.
  std::vector<std::uint8_t> state(states_.size());
  Stream stream(seed, "where a chain begins", chain);
  for (std::size_t v = 0; v < state.size(); ++v) {
    state[v] = static_cast<std::uint8_t>(stream.below(states_[v]));
  }
  std::vector<std::uint8_t> by_place;
  double floor = 0.1;
  for (int step = 0; step < 400; ++step) {
    for (const Block& block : blocks_) {
      const FactorTree exact = given(block, state, 0.0, run);
      if (exact.possible()) {
        exact.draw(by_place, [&] { return stream.uniform(); });
        for (std::size_t f = 0; f < block.drawn.size(); ++f) {
          state[block.drawn[f]] = exact.drawn(static_cast<std::uint32_t>(f), by_place);
        }
        return state;
      }
      const FactorTree tree = given(block, state, floor, run);
      tree.draw(by_place, [&] { return stream.uniform(); });
      for (std::size_t f = 0; f < block.drawn.size(); ++f) {
        state[block.drawn[f]] = tree.drawn(static_cast<std::uint32_t>(f), by_place);
      }
    }
    floor = std::max(floor * 0.8, 1e-6);
  }
  return std::nullopt;
}

}  // namespace doewright
