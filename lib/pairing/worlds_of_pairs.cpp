// SPDX-License-Identifier: MIT
// A world is one draw of all true breeding values, genotypes and liabilities from their joint
// posterior. In it every pair has an expected kid; the luck of one kid is left out (DEFINITIONS 7).
#include "worlds_of_pairs.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <doewright/core/stream.hpp>
#include "world_values.hpp"

namespace doewright {

namespace {

constexpr double tie_share = 0.05;  // of the first's part "kids"

WorldFault draws_of(const Herd& herd, const FaultFit& fit, std::span<const Animal> animals,
                    std::size_t draws, const Run& run) {
  WorldFault result;
  result.worlds = fit.worlds(animals, draws, run);
  const FaultModel& model = herd.faults[fit.fault()];
  result.wanted = model.wanted;
  if (const auto kid = fit.of_copies()) {
    for (std::size_t cell = 0; cell < 9; ++cell) {
      KidRisk risk;
      risk.affected_doe = kid->affected_doe[cell];
      risk.affected_buck = kid->affected_buck[cell];
      risk.carrier_doe = kid->carrier_doe[cell];
      risk.carrier_buck = kid->carrier_buck[cell];
      for (const auto& grade : kid->grades_doe) risk.grades_doe.push_back(grade[cell]);
      for (const auto& grade : kid->grades_buck) risk.grades_buck.push_back(grade[cell]);
      result.by_copies.push_back(fault_chance(model, risk));
    }
  }
  return result;
}

class Worlds {
 public:
  Worlds(const WorldsInput& input, std::size_t draws, std::uint64_t seed, const Run& run)
      : input_(input), draws_(draws), animals_(input.sires) {
    animals_.insert(animals_.end(), input.does.begin(), input.does.end());
    for (const FaultFit& fit : input.genetics.faults) {
      plain_.push_back(draws_of(input.herd, fit, animals_, draws, run));
    }
    for (const FaultFit& fit : input.genetics.faults_told) {
      told_.emplace_back();
      if (fit.has_told()) told_.back() = draws_of(input.herd, fit, animals_, draws, run);
    }
    draw_merit(seed, run);
  }

  /// Values of one doe's candidates in every world: [world][candidate].
  Grid<double> values_of(std::size_t doe, const std::vector<PairingAccount*>& candidates,
                         const Run& run) const {
    const std::size_t columns = candidates.size();
    Grid<double> result(draws_, columns);
    std::vector<WorldPair> pairs;
    for (const PairingAccount* account : candidates) pairs.push_back(prepare(*account, doe));
    WorldValues values(input_.prices, normal_, merit_, input_.sires.size() + doe, std::move(pairs));
    for (std::size_t w = 0; w < draws_; ++w) {
      if (w % 256 == 0) throw_if_stopped(run);
      values.in_world(w, {&result.cells[w * columns], columns});
    }
    return result;
  }

 private:
  WorldPair prepare(const PairingAccount& account, std::size_t doe) const {
    const PairInputs& inputs = input_.pairs(account.offer, doe);
    WorldPair pair;
    pair.sire = account.offer;
    pair.kid = &inputs.kid;
    pair.kids = inputs.kids;
    pair.besides = account.money->open + account.money->cost;
    for (std::size_t f = 0; f < account.faults.size(); ++f) {
      const PairFault& fault = account.faults[f];
      pair.faults.push_back(fault.told_counts ? &*told_[f] : &plain_[f]);
      pair.borders.push_back(fault.risk.liabilities ? &*fault.risk.liabilities : nullptr);
    }
    return pair;
  }

  void draw_merit(std::uint64_t seed, const Run& run) {
    const Herd& herd = input_.herd;
    for (const MeritFit& fit : input_.genetics.merit) {
      const auto traits = fit.traits();
      const bool priced = std::any_of(traits.begin(), traits.end(), [&](TraitIndex t) {
        return herd.traits[t].value_keep != 0.0 || herd.traits[t].value_meat != 0.0;
      });
      if (!priced) continue;
      if (merit_.cells.empty()) merit_ = Grid<MeritMoney>(draws_, animals_.size());
      const std::uint64_t own = Stream(seed, herd.traits[traits.front()].key).bits();
      const Grid<double> drawn = fit.draw(animals_, draws_, own, run);
      std::vector<MeritMoney> prices(traits.size());
      for (std::size_t t = 0; t < traits.size(); ++t) {
        for (std::size_t sex = 0; sex < 2; ++sex) {
          for (std::size_t fate = 0; fate < 2; ++fate) {
            prices[t][sex][fate] = trait_price(herd.traits[traits[t]], sex, fate);
          }
        }
      }
      for (std::size_t w = 0; w < draws_; ++w) {
        for (std::size_t a = 0; a < animals_.size(); ++a) {
          for (std::size_t t = 0; t < traits.size(); ++t) {
            const double half = 0.5 * drawn(w, a * traits.size() + t);
            for (std::size_t sex = 0; sex < 2; ++sex) {
              for (std::size_t fate = 0; fate < 2; ++fate) {
                merit_(w, a)[sex][fate] += half * prices[t][sex][fate];
              }
            }
          }
        }
      }
    }
  }

  const WorldsInput& input_;
  std::size_t draws_;
  std::vector<Animal> animals_;
  std::vector<WorldFault> plain_;
  std::vector<std::optional<WorldFault>> told_;
  Grid<MeritMoney> merit_;
  QuickNormal normal_;
};

void sum_up(const Grid<double>& values, const std::vector<PairingAccount*>& candidates) {
  const std::size_t n = candidates.size();
  std::vector<double> best(n, 0.0), regret(n, 0.0), behind(n, 0.0);
  const auto level_with = [](double value, std::int64_t whole) {
    return std::abs(value * 1e6 - static_cast<double>(whole)) < 2.0 &&
           std::llround(value * 1e6) == whole;
  };
  for (std::size_t w = 0; w < values.rows; ++w) {
    const double* const row = &values.cells[w * n];
    const double highest = *std::max_element(row, row + n);
    const std::int64_t whole = std::llround(highest * 1e6);
    std::size_t level = 0;
    for (std::size_t c = 0; c < n; ++c) {
      regret[c] += highest - row[c];
      behind[c] += row[0] - row[c];
      if (level_with(row[c], whole)) ++level;
    }
    for (std::size_t c = 0; c < n; ++c) {
      if (level_with(row[c], whole)) best[c] += 1.0 / static_cast<double>(level);
    }
  }
  const auto draws = static_cast<double>(values.rows);
  const PairingAccount& first = *candidates.front();
  std::vector<PairingAccount*> level = {candidates.front()};
  for (std::size_t c = 0; c < n; ++c) {
    PairingAccount& pair = *candidates[c];
    const double chance = best[c] / draws;
    pair.chance_best = chance;
    pair.chance_best_se = std::sqrt(chance * (1.0 - chance) / draws);
    pair.regret = regret[c] / draws;
    if (c > 0 && behind[c] / draws < tie_share * first.money->kids) level.push_back(&pair);
  }
  for (PairingAccount* one : level) {
    for (const PairingAccount* other : level) {
      if (one != other) one->tied_with.push_back(other->pairing.sire);
    }
  }
}

}  // namespace

void draw_worlds(const WorldsInput& input, std::size_t draws, std::uint64_t seed,
                 std::vector<DoeAccount>& does, const Run& run) {
  const Worlds worlds(input, draws, seed, run);
  parallel_blocks(does.size(), 1, run, [&](std::size_t d, std::size_t) {
    std::vector<PairingAccount*> candidates;
    for (PairingAccount& pair : does[d].sires) {
      pair.draws = draws;
      pair.seed = seed;
      if (pair.verdict == Verdict::avoid) continue;
      candidates.push_back(&pair);
    }
    if (candidates.empty()) return;
    sum_up(worlds.values_of(d, candidates, run), candidates);
  });
}

}  // namespace doewright
