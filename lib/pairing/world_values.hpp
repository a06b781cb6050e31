// SPDX-License-Identifier: MIT
#pragma once
/// What one doe's kids by many sires are worth, in one world after another: the sum of kid_worth(),
/// with all that is the same in every world worked out before.
#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/faults/fault_fit.hpp>

#include "kid_worth.hpp"

namespace doewright {

/// The normal distribution from a table, straight between its points: within 5e-7 (the steepest
/// bend, .242 at x = 1, times a step squared over 8). Draws only.
class QuickNormal {
 public:
  QuickNormal();
  /// Where x stands in the table: at() takes places. Below 0 and beyond `last`: certain.
  static constexpr double place(double x) noexcept { return (x + reach) * steps; }
  static constexpr double reach = 8.0, steps = 256.0, last = 2.0 * reach * steps;
  double at(double place) const noexcept {
    if (place <= 0.0) return 0.0;
    if (place >= last) return 1.0;
    const auto i = static_cast<std::uint32_t>(place);
    return table_[i] + (place - static_cast<double>(i)) * (table_[i + 1] - table_[i]);
  }

 private:
  std::array<double, 4098> table_{};
};

/// Money of merit that an animal hands on, in one world: [sex][fate].
using MeritMoney = std::array<std::array<double, 2>, 2>;

/// Worlds of one fault, with or without owners' words.
struct WorldFault {
  FaultWorlds worlds;
  std::vector<FaultChance> by_copies;  ///< Nine, of a locus; empty: many genes.
  std::size_t wanted = 0;              ///< Grade of a threshold fault.
};

/// One sire for the doe.
struct WorldPair {
  std::size_t sire = 0;  ///< Column of the worlds.
  const KidInputs* kid = nullptr;
  double kids = 0.0;                              ///< P n.
  double besides = 0.0;                           ///< Open and cost.
  std::vector<const WorldFault*> faults;          ///< One for each of KidPrices::faults.
  std::vector<const ParentLiabilities*> borders;  ///< Of the threshold faults; null: a locus.
};

class WorldValues {
 public:
  /// Pairs of one doe, whose column of the worlds is `doe`: the shares of the fates are hers, one
  /// for all. `merit` by world and column; empty: as in KidInputs. All must outlive this.
  WorldValues(const KidPrices& prices, const QuickNormal& normal, const Grid<MeritMoney>& merit,
              std::size_t doe, std::vector<WorldPair> pairs);

  /// Value of every pair in world w, in the order of the pairs.
  void in_world(std::size_t w, std::span<double> values);

 private:
  /// Chance that a kid of each sex does not show a fault, and what it costs where the kid lives.
  struct ClearAndCost {
    std::array<double, 2> clear{1.0, 1.0}, cost{};
  };
  /// What a border of a threshold fault adds to both, times the chance of lying below it.
  struct Border {
    std::array<double, 2> clear{}, cost{};
  };
  enum Counts : std::uint8_t { lethal, not_kept, neither };
  /// Some pairs of one fault that draw from the same worlds.
  struct Part {
    const WorldFault* fault = nullptr;
    Counts counts = neither;
    std::vector<std::uint32_t> pairs;
    std::array<ClearAndCost, 9> by_copies{};
    /// By her copies: with a sire that has none, no kid shows it and none costs anything.
    std::array<bool, 3> nothing_with_none{};
    ClearAndCost without;         ///< Threshold: before any border.
    std::vector<Border> borders;  ///< Of both sexes.
    bool sexes_differ = false;
    /// Threshold, by border, sex and pair: place of the border is start - slope * (a_sire + a_doe).
    std::vector<double> start;
    std::vector<double> slope;  ///< By pair.
  };
  /// Sums of one pair in one world.
  struct Sums {
    std::array<std::array<double, 2>, 3>
        clear;  ///< By Counts: product of the chances of none of them.
    std::array<double, 2> cost;
  };

  void add_part(std::size_t fault, const WorldFault* drawn);
  void add_locus(Part& part, std::size_t fault) const;
  void add_threshold(Part& part, std::size_t fault) const;
  static bool nothing(const ClearAndCost& kid);
  void sum_locus(const Part& part, std::size_t w);
  void sum_threshold(const Part& part, std::size_t w);
  double value(const WorldPair& pair, const Sums& sums, std::size_t w) const;

  static constexpr std::size_t sexes = 2;

  const KidPrices& prices_;
  const QuickNormal& normal_;
  const Grid<MeritMoney>& merit_;
  std::size_t doe_;
  std::vector<WorldPair> pairs_;
  std::array<std::array<double, 2>, 2> half_share_{};  ///< [sex][fate], of both sexes together.
  std::array<double, 2> charge_{};                     ///< For a keeper that is not kept.
  std::vector<Part> parts_;
  std::vector<Sums> sums_;
};

}  // namespace doewright
