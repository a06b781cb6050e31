// SPDX-License-Identifier: MIT
// A world is one draw of all true breeding values, genotypes and liabilities from their joint
// posterior. In it every pair has an expected kid; the luck of one kid is left out (DEFINITIONS 7).
#include "worlds_of_pairs.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include <doewright/core/normal.hpp>
#include <doewright/core/stream.hpp>

namespace doewright {

namespace {

constexpr double tie_share = 0.05;  // of the first's part "kids"

/// The normal distribution from a table: 4e-7 absolute, three times as fast as erfc. Draws only.
class QuickNormal {
 public:
  QuickNormal() {
    for (std::size_t i = 0; i < table_.size(); ++i) {
      table_[i] = normal_below(static_cast<double>(i) / steps - reach);
    }
  }
  double below(double x) const noexcept {
    if (x <= -reach) return 0.0;
    if (x >= reach) return 1.0;
    const double place = (x + reach) * steps;
    const auto i = static_cast<std::size_t>(place);
    return table_[i] + (place - static_cast<double>(i)) * (table_[i + 1] - table_[i]);
  }

 private:
  static constexpr double reach = 8.0;
  static constexpr double steps = 256.0;
  std::array<double, 4098> table_{};
};

/// Worlds of one fault, with or without owners' words.
struct FaultDraws {
  FaultWorlds worlds;
  std::vector<FaultChance> by_copies;  ///< Nine, of a locus.
};

FaultDraws draws_of(const Herd& herd, const FaultFit& fit, std::span<const Animal> animals,
                    std::size_t draws, const Run& run) {
  FaultDraws result;
  result.worlds = fit.worlds(animals, draws, run);
  const FaultModel& model = herd.faults[fit.fault()];
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

/// Money of merit that an animal hands on, by world: [sex][fate].
using MeritMoney = std::array<std::array<double, 2>, 2>;

class Worlds {
 public:
  Worlds(const WorldsInput& input, std::size_t draws, std::uint64_t seed,
         const std::vector<FaultIndex>& faults, const Run& run)
      : input_(input), draws_(draws), animals_(input.sires) {
    animals_.insert(animals_.end(), input.does.begin(), input.does.end());
    for (const FaultFit& fit : input.genetics.faults) {
      plain_.push_back(draws_of(input.herd, fit, animals_, draws, run));
    }
    for (const FaultFit& fit : input.genetics.faults_told) {
      told_.emplace_back();
      if (fit.has_told()) told_.back() = draws_of(input.herd, fit, animals_, draws, run);
    }
    for (const FaultIndex fault : faults) models_.push_back(&input.herd.faults[fault]);
    draw_merit(seed, run);
  }

  /// Values of one doe's candidates in every world: [world][candidate].
  Grid<double> values_of(std::size_t doe, const std::vector<const PairingAccount*>& candidates,
                         const Run& run) const {
    Grid<double> result(draws_, candidates.size());
    std::vector<PairState> pairs;
    for (const PairingAccount* account : candidates) pairs.push_back(prepare(*account, doe));
    std::vector<FaultChance> liabilities(models_.size());
    std::vector<const FaultChance*> chances(models_.size());
    for (std::size_t w = 0; w < draws_; ++w) {
      if (w % 256 == 0) throw_if_stopped(run);
      for (std::size_t c = 0; c < pairs.size(); ++c) {
        const PairState& pair = pairs[c];
        for (std::size_t f = 0; f < models_.size(); ++f) {
          chances[f] = chance_in(w, pair, doe, f, liabilities[f]);
        }
        KidInputs kid = pair.inputs->kid;
        if (!merit_.cells.empty()) {
          const MeritMoney& of_sire = merit_(w, pair.offer);
          const MeritMoney& of_doe = merit_(w, input_.sires.size() + doe);
          for (std::size_t sex = 0; sex < 2; ++sex) {
            for (std::size_t fate = 0; fate < 2; ++fate) {
              kid.merit[sex][fate] = of_sire[sex][fate] + of_doe[sex][fate];
            }
          }
        }
        const double worth = kid_worth(input_.prices, kid, chances, nullptr).total();
        result(w, c) = pair.inputs->kids * worth + pair.besides;
      }
    }
    return result;
  }

 private:
  struct PairState {
    std::size_t offer = 0;
    const PairInputs* inputs = nullptr;
    const PairingAccount* account = nullptr;
    double besides = 0.0;  // open and cost
    std::vector<double> rest_sd;  // by fault; 0: a locus
  };

  PairState prepare(const PairingAccount& account, std::size_t doe) const {
    PairState state;
    state.offer = account.offer;
    state.account = &account;
    state.inputs = &input_.pairs(account.offer, doe);
    state.besides = account.money->open + account.money->cost;
    for (const PairFault& fault : account.faults) {
      state.rest_sd.push_back(
          fault.risk.liabilities ? std::sqrt(fault.risk.liabilities->rest_var) : 0.0);
    }
    return state;
  }

  const FaultChance* chance_in(std::size_t w, const PairState& pair, std::size_t doe,
                               std::size_t f, FaultChance& into) const {
    const PairFault& fault = pair.account->faults[f];
    const FaultDraws& draws = fault.told_counts ? *told_[f] : plain_[f];
    const std::size_t column = input_.sires.size() + doe;
    if (!draws.by_copies.empty()) {
      const FaultWorlds& worlds = draws.worlds;
      return &draws.by_copies[3u * worlds.copies(w, pair.offer) + worlds.copies(w, column)];
    }
    const double mean =
        0.5 * (draws.worlds.liabilities(w, pair.offer) + draws.worlds.liabilities(w, column));
    const ParentLiabilities& borders = *fault.risk.liabilities;
    const std::size_t wanted = models_[f]->wanted;
    for (std::size_t sex = 0; sex < 2; ++sex) {
      const auto& thresholds = sex == 0 ? borders.threshold_doe : borders.threshold_buck;
      double below = 0.0;
      for (std::size_t g = 0; g <= thresholds.size(); ++g) {
        const double next =
            g == thresholds.size() ? 1.0 : normal_.below((thresholds[g] - mean) / pair.rest_sd[f]);
        into.grades[sex][g] = next - below;
        below = next;
      }
      into.shows[sex] = 1.0 - into.grades[sex][wanted];
    }
    return &into;
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
      for (std::size_t w = 0; w < draws_; ++w) {
        for (std::size_t a = 0; a < animals_.size(); ++a) {
          for (std::size_t t = 0; t < traits.size(); ++t) {
            const double half = 0.5 * drawn(w, a * traits.size() + t);
            for (std::size_t sex = 0; sex < 2; ++sex) {
              for (std::size_t fate = 0; fate < 2; ++fate) {
                merit_(w, a)[sex][fate] += half * trait_price(herd.traits[traits[t]], sex, fate);
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
  std::vector<FaultDraws> plain_;
  std::vector<std::optional<FaultDraws>> told_;
  std::vector<const FaultModel*> models_;
  Grid<MeritMoney> merit_;
  QuickNormal normal_;
};

void sum_up(const Grid<double>& values, const std::vector<PairingAccount*>& candidates) {
  const std::size_t n = candidates.size();
  std::vector<double> best(n, 0.0), regret(n, 0.0), behind(n, 0.0);
  for (std::size_t w = 0; w < values.rows; ++w) {
    double highest = values(w, 0);
    for (std::size_t c = 1; c < n; ++c) highest = std::max(highest, values(w, c));
    const auto whole = std::llround(highest * 1e6);
    std::size_t level = 0;
    for (std::size_t c = 0; c < n; ++c) {
      if (std::llround(values(w, c) * 1e6) == whole) ++level;
    }
    for (std::size_t c = 0; c < n; ++c) {
      regret[c] += highest - values(w, c);
      behind[c] += values(w, 0) - values(w, c);
      if (std::llround(values(w, c) * 1e6) == whole) best[c] += 1.0 / static_cast<double>(level);
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
  std::vector<FaultIndex> faults;
  for (const FaultFit& fit : input.genetics.faults) faults.push_back(fit.fault());
  const Worlds worlds(input, draws, seed, faults, run);
  parallel_blocks(does.size(), 1, run, [&](std::size_t d, std::size_t) {
    std::vector<PairingAccount*> candidates;
    std::vector<const PairingAccount*> asked;
    for (PairingAccount& pair : does[d].sires) {
      pair.draws = draws;
      pair.seed = seed;
      if (pair.verdict == Verdict::avoid) continue;
      candidates.push_back(&pair);
      asked.push_back(&pair);
    }
    if (candidates.empty()) return;
    sum_up(worlds.values_of(d, asked, run), candidates);
  });
}

}  // namespace doewright
