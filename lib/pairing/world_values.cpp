// SPDX-License-Identifier: MIT
// kid_worth() taken apart. By sex, with h = half the share of each fate, v = base + merit +
// inbreeding, L = product of (1 - shows) over lethal faults, N over the faults for which a kid is
// just not kept:
//   sum of h v - (1 - L) sum of h max(0, v) - L (h_keep not_kept (1 - N) + sum over faults of cost)
// A locus has one (1 - shows, cost) for each of nine pairs of copies. Of a threshold fault both are
// linear in the chances B_k of lying below border k: the grade g has the chance B_g - B_(g-1).
#include "world_values.hpp"

#include <algorithm>
#include <cmath>

#include <doewright/core/normal.hpp>

namespace doewright {

namespace {

constexpr std::size_t keep = 0;

}  // namespace

QuickNormal::QuickNormal() {
  // The left half; the right is its mirror image.
  const std::size_t middle = static_cast<std::size_t>(reach * steps);
  for (std::size_t i = 0; i <= middle; ++i) {
    table_[i] = normal_below(static_cast<double>(i) / steps - reach);
    table_[2 * middle - i] = 1.0 - table_[i];
  }
  table_.back() = 1.0;
}

WorldValues::WorldValues(const KidPrices& prices, const QuickNormal& normal,
                         const Grid<MeritMoney>& merit, std::size_t doe,
                         std::vector<WorldPair> pairs)
    : prices_(prices), normal_(normal), merit_(merit), doe_(doe), pairs_(std::move(pairs)) {
  sums_.resize(pairs_.size());
  if (pairs_.empty()) return;
  for (std::size_t sex = 0; sex < sexes; ++sex) {
    for (std::size_t fate = 0; fate < 2; ++fate) {
      half_share_[sex][fate] = 0.5 * pairs_.front().kid->share[sex][fate];
    }
    charge_[sex] = half_share_[sex][keep] * prices_.not_kept();
  }
  for (std::size_t f = 0; f < prices_.faults.size(); ++f) {
    std::vector<const WorldFault*> drawn;
    for (const WorldPair& pair : pairs_) {
      if (std::find(drawn.begin(), drawn.end(), pair.faults[f]) == drawn.end()) {
        drawn.push_back(pair.faults[f]);
      }
    }
    for (const WorldFault* one : drawn) add_part(f, one);
  }
}

void WorldValues::add_part(std::size_t fault, const WorldFault* drawn) {
  Part part;
  part.fault = drawn;
  const FaultPrice& price = prices_.faults[fault];
  part.counts = price.lethal ? lethal : price.default_keep ? not_kept : neither;
  for (std::uint32_t p = 0; p < pairs_.size(); ++p) {
    if (pairs_[p].faults[fault] == drawn) part.pairs.push_back(p);
  }
  if (drawn->by_copies.empty()) {
    add_threshold(part, fault);
  } else {
    add_locus(part, fault);
  }
  parts_.push_back(std::move(part));
}

void WorldValues::add_locus(Part& part, std::size_t fault) const {
  const FaultPrice& price = prices_.faults[fault];
  for (std::size_t cell = 0; cell < 9; ++cell) {
    const FaultChance& chance = part.fault->by_copies[cell];
    ClearAndCost& into = part.by_copies[cell];
    for (std::size_t sex = 0; sex < sexes; ++sex) {
      into.clear[sex] = 1.0 - chance.shows[sex];
      into.cost[sex] = half_share_[sex][keep] * chance.carrier[sex] * price.carried;
      if (price.lethal) continue;
      for (std::size_t fate = 0; fate < 2; ++fate) {
        const std::vector<double>& by_grade = price.by_grade[fate];
        for (std::size_t g = 0; g < by_grade.size(); ++g) {
          into.cost[sex] += half_share_[sex][fate] * chance.grades[sex][g] * by_grade[g];
        }
      }
    }
  }
  for (std::size_t hers = 0; hers < 3; ++hers) {
    part.nothing_with_none[hers] = nothing(part.by_copies[hers]);
  }
}

/// No kid shows it, and none costs anything.
bool WorldValues::nothing(const ClearAndCost& kid) {
  return kid.clear[0] == 1.0 && kid.clear[1] == 1.0 && kid.cost[0] == 0.0 && kid.cost[1] == 0.0;
}

void WorldValues::add_threshold(Part& part, std::size_t fault) const {
  const FaultPrice& price = prices_.faults[fault];
  const std::size_t borders = pairs_[part.pairs.front()].borders[fault]->threshold_doe.size();
  const std::size_t wanted = part.fault->wanted;
  const auto cost_of = [&](std::size_t sex, std::size_t grade) {
    double cost = 0.0;
    for (std::size_t fate = 0; fate < 2 && !price.lethal; ++fate) {
      const std::vector<double>& by_grade = price.by_grade[fate];
      if (grade < by_grade.size()) cost += half_share_[sex][fate] * by_grade[grade];
    }
    return cost;
  };
  part.borders.resize(borders);
  for (std::size_t sex = 0; sex < sexes; ++sex) {
    part.without.clear[sex] = wanted == borders ? 1.0 : 0.0;
    part.without.cost[sex] = cost_of(sex, borders);
    for (std::size_t b = 0; b < borders; ++b) {
      part.borders[b].clear[sex] = b == wanted ? 1.0 : b + 1 == wanted ? -1.0 : 0.0;
      part.borders[b].cost[sex] = cost_of(sex, b) - cost_of(sex, b + 1);
    }
  }
  for (const std::uint32_t p : part.pairs) {
    const ParentLiabilities& own = *pairs_[p].borders[fault];
    part.sexes_differ = part.sexes_differ || own.threshold_doe != own.threshold_buck;
    const double sd = std::sqrt(own.rest_var);
    part.slope.push_back(0.5 * QuickNormal::steps / sd);
    for (const auto* thresholds : {&own.threshold_doe, &own.threshold_buck}) {
      for (const double threshold : *thresholds) {
        part.start.push_back(QuickNormal::place(threshold / sd));
      }
    }
  }
}

void WorldValues::sum_locus(const Part& part, std::size_t w) {
  const Grid<std::uint8_t>& copies = part.fault->worlds.copies;
  const std::uint8_t* const row = &copies.cells[w * copies.columns];
  const ClearAndCost* const hers = &part.by_copies[row[doe_]];
  const bool nothing_with_none = part.nothing_with_none[row[doe_]];
  for (const std::uint32_t p : part.pairs) {
    const std::uint8_t his = row[pairs_[p].sire];
    if (his == 0 && nothing_with_none) continue;
    const ClearAndCost& kid = hers[3u * his];
    Sums& sums = sums_[p];
    for (std::size_t sex = 0; sex < sexes; ++sex) {
      sums.clear[part.counts][sex] *= kid.clear[sex];
      sums.cost[sex] += kid.cost[sex];
    }
  }
}

void WorldValues::sum_threshold(const Part& part, std::size_t w) {
  const Grid<double>& liabilities = part.fault->worlds.liabilities;
  const double* const row = &liabilities.cells[w * liabilities.columns];
  const std::size_t borders = part.borders.size();
  const double* start = part.start.data();
  for (std::size_t k = 0; k < part.pairs.size(); ++k, start += sexes * borders) {
    const std::uint32_t p = part.pairs[k];
    const double shift = part.slope[k] * (row[pairs_[p].sire] + row[doe_]);
    ClearAndCost kid = part.without;
    for (std::size_t b = 0; b < borders; ++b) {
      const Border& border = part.borders[b];
      const double doe_kid = normal_.at(start[b] - shift);
      const double buck_kid = part.sexes_differ ? normal_.at(start[borders + b] - shift) : doe_kid;
      kid.clear[0] += border.clear[0] * doe_kid;
      if (part.sexes_differ) kid.clear[1] += border.clear[1] * buck_kid;
      kid.cost[0] += border.cost[0] * doe_kid;
      kid.cost[1] += border.cost[1] * buck_kid;
    }
    if (!part.sexes_differ) kid.clear[1] = kid.clear[0];
    Sums& sums = sums_[p];
    for (std::size_t sex = 0; sex < sexes; ++sex) {
      sums.clear[part.counts][sex] *= kid.clear[sex];
      sums.cost[sex] += kid.cost[sex];
    }
  }
}

double WorldValues::value(const WorldPair& pair, const Sums& sums, std::size_t w) const {
  const KidInputs& kid = *pair.kid;
  const bool drawn = !merit_.cells.empty();
  const MeritMoney& of_sire = drawn ? merit_(w, pair.sire) : kid.merit;
  const MeritMoney& of_doe = drawn ? merit_(w, doe_) : kid.merit;
  double worth = 0.0;
  for (std::size_t sex = 0; sex < sexes; ++sex) {
    double all = 0.0, at_stake = 0.0;
    const double lives = sums.clear[lethal][sex];
    for (std::size_t fate = 0; fate < 2; ++fate) {
      double merit = of_sire[sex][fate];
      if (drawn) merit += of_doe[sex][fate];
      const double plain = prices_.base[fate] + merit + kid.inbreeding[sex][fate];
      all += half_share_[sex][fate] * plain;
      if (lives < 1.0) at_stake += half_share_[sex][fate] * std::max(0.0, plain);
    }
    const double charge = charge_[sex] * (1.0 - sums.clear[not_kept][sex]);
    worth += all - (1.0 - lives) * at_stake - lives * (charge + sums.cost[sex]);
  }
  return pair.kids * worth + pair.besides;
}

void WorldValues::in_world(std::size_t w, std::span<double> values) {
  for (Sums& sums : sums_) sums = {{{{1.0, 1.0}, {1.0, 1.0}, {1.0, 1.0}}}, {0.0, 0.0}};
  for (const Part& part : parts_) {
    if (part.fault->by_copies.empty()) {
      sum_threshold(part, w);
    } else {
      sum_locus(part, w);
    }
  }
  for (std::size_t p = 0; p < pairs_.size(); ++p) values[p] = value(pairs_[p], sums_[p], w);
}

}  // namespace doewright
