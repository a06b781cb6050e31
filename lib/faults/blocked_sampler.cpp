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
      block.rest = rest;
      add_slices(block);
      return block;
    }
    const std::size_t more = std::max<std::size_t>(1, by_degree.size() / 64);
    for (std::size_t k = 0; k < more && count < by_degree.size(); ++k) is_held[by_degree[count++]] = true;
  }
}

void BlockedSampler::add_slices(Block& block) const {
  for (const TreeFactor& whole : factors_) {
    Slice slice;
    slice.entries = {0};
    std::size_t stride = 1;
    for (const std::uint32_t v : whole.scope) {
      if (block.number[v] == held) {
        slice.held.emplace_back(v, stride);
      } else {  // one more variable, which varies slower than those before
        const std::size_t before = slice.entries.size();
        for (std::uint32_t k = 1; k < states_[v]; ++k) {
          for (std::size_t e = 0; e < before; ++e) slice.entries.push_back(slice.entries[e] + k * stride);
        }
      }
      stride *= states_[v];
    }
    block.slices.push_back(std::move(slice));
  }
}

BlockedSampler::Room BlockedSampler::room() const {
  Room room;
  for (const Block& block : blocks_) {
    room.factors.push_back(block.rest);
    room.trees.emplace_back(block.shape);
  }
  return room;
}

void BlockedSampler::fill(std::size_t b, const std::vector<std::uint8_t>& state, double floor,
                          Room& room, const Run& run) const {
  for (std::size_t f = 0; f < factors_.size(); ++f) {
    const Slice& slice = blocks_[b].slices[f];
    const double* from = factors_[f].table.data();
    for (const auto& [variable, stride] : slice.held) from += stride * state[variable];
    std::vector<double>& table = room.factors[b][f].table;
    for (std::size_t e = 0; e < table.size(); ++e) table[e] = std::max(from[slice.entries[e]], floor);
  }
  room.trees[b].fill_for_draws(room.factors[b], run);
}

std::optional<std::vector<std::uint8_t>> BlockedSampler::beginning(std::uint64_t seed,
                                                                   std::uint32_t chain, Room& room,
                                                                   const Run& run) const {
  // What is impossible is first made merely improbable, then less and less probable.
  std::vector<std::uint8_t> state(states_.size());
  Stream stream(seed, "where a chain begins", chain);
  const auto uniform = [&] { return stream.uniform(); };
  for (std::size_t v = 0; v < state.size(); ++v) {
    state[v] = static_cast<std::uint8_t>(stream.below(states_[v]));
  }
  double floor = 0.1;
  for (int step = 0; step < 400; ++step) {
    for (std::size_t b = 0; b < blocks_.size(); ++b) {
      fill(b, state, 0.0, room, run);
      if (room.trees[b].possible()) {
        draw(b, state, room, uniform);
        return state;
      }
      fill(b, state, floor, room, run);
      draw(b, state, room, uniform);
    }
    floor = std::max(floor * 0.8, 1e-6);
  }
  return std::nullopt;
}

}  // namespace doewright
