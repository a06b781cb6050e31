// SPDX-License-Identifier: MIT
#include <doewright/pairing/pairing.hpp>

#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>
#include <doewright/pairing/doe_review.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/pairing/what_if.hpp>
#include <doewright/timing/offer.hpp>
#include "closeness.hpp"
#include "reasons.hpp"
#include "rules.hpp"
#include "sire_account.hpp"
#include "valuation.hpp"
#include "worlds_of_pairs.hpp"

namespace doewright {

namespace {

/// Choices must not hang on last bits: figures are ranked in whole millionths.
std::int64_t millionths(double value) {
  return std::llround(value * 1e6);
}

template <class Row, class Of>
std::vector<Row> narrowed(const std::vector<Row>& all, const std::vector<Animal>& only,
                          Of animal_of, const char* what) {
  if (only.empty()) return all;
  std::vector<Row> result;
  for (const Animal wanted : only) {
    const auto found = std::find_if(all.begin(), all.end(),
                                    [&](const Row& row) { return animal_of(row) == wanted; });
    if (found == all.end()) throw UsageError(std::string("score: an animal that is not ") + what);
    result.push_back(*found);
  }
  return result;
}

std::vector<FaultIndex> faults_in_use(const Herd& herd) {
  std::vector<FaultIndex> result;
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    if (herd.faults[f].use) result.push_back(static_cast<FaultIndex>(f));
  }
  return result;
}

void put_in_order(const Herd& herd, std::vector<PairingAccount>& sires) {
  std::stable_sort(
      sires.begin(), sires.end(), [&](const PairingAccount& a, const PairingAccount& b) {
        const bool avoid_a = a.verdict == Verdict::avoid, avoid_b = b.verdict == Verdict::avoid;
        if (avoid_a != avoid_b) return avoid_b;
        const auto value_a = millionths(a.money->value), value_b = millionths(b.money->value);
        if (value_a != value_b) return value_a > value_b;
        return herd.ids[a.pairing.sire] < herd.ids[b.pairing.sire];
      });
  for (std::size_t i = 0; i < sires.size(); ++i) sires[i].rank = i + 1;
}

/// Would a verdict on inbreeding be another if blanks counted as unrelated?
bool blanks_decide(const Herd& herd, const DoeAccount& doe) {
  const ThreeLimits& limits = herd.season.inbreeding_limits(doe.doe.kids_for);
  const auto step = [&](double f) { return f >= limits[2] ? 2 : f >= limits[1] ? 1 : 0; };
  return std::any_of(doe.sires.begin(), doe.sires.end(), [&](const PairingAccount& account) {
    const KidInbreeding& f = account.kid_inbreeding;
    return step(f.used) != step(f.as_recorded);
  });
}

/// What a doe may expect of him, and what that costs.
struct Odds {
  double settles = 0.0, doe_cost = 0.0;
};

/// Where some of his days are over: a doe served by him this season had them, another has not.
Odds odds_of(const Herd& herd, const Offspring& offspring, const SireAccount& sire, Animal doe) {
  if (sire.some_days_past) {
    const std::optional<Service> served = served_this_season(herd, offspring, doe);
    if (served && served->sire == sire.offer.sire) {
      const SireMoney whole = sire_money(herd, sire.offer, sire.proven);
      return {whole.settles.probability, whole.doe_cost};
    }
  }
  return {sire.settle_probability, sire.doe_cost};
}

/// `told`: with an owner's word; null where nothing is told.
PairFault pair_fault(const KidRisk& plain, const KidRisk* told) {
  PairFault fault;
  fault.risk = plain;
  fault.affected = plain.affected;
  if (told != nullptr) {
    fault.affected_told = told->affected;
    fault.told_counts = *fault.affected_told > fault.affected;
    if (fault.told_counts) fault.risk = *told;
  }
  return fault;
}

/// Risks of every pair, fault by fault: with an owner's word where that makes them larger.
class PairRisks {
 public:
  PairRisks(const Genetics& genetics, std::span<const Animal> sires, std::span<const Animal> does,
            std::span<const double> litter, const Run& run) {
    for (const FaultFit& fit : genetics.faults) plain_.push_back(fit.kids(sires, does, litter, run));
    for (const FaultFit& fit : genetics.faults_told) {
      told_.emplace_back();
      if (fit.has_told()) told_.back() = fit.kids(sires, does, litter, run);
    }
  }
  /// Fault by fault. \pre there is a doe.
  std::vector<bool> as_any_buck(const Genetics& genetics, std::size_t s, Animal sire) const {
    std::vector<bool> result;
    const double inbreeding = genetics.kinship.inbreeding()[sire.position];
    for (std::size_t f = 0; f < plain_.size(); ++f) {
      result.push_back(genetics.faults[f].as_any_buck(sire, inbreeding, plain_[f](s, 0)));
    }
    return result;
  }

  std::vector<PairFault> of(std::size_t sire, std::size_t doe) const {
    std::vector<PairFault> result;
    for (std::size_t f = 0; f < plain_.size(); ++f) {
      const bool told = !told_.empty() && !told_[f].cells.empty();
      result.push_back(pair_fault(plain_[f](sire, doe), told ? &told_[f](sire, doe) : nullptr));
    }
    return result;
  }

 private:
  std::vector<Grid<KidRisk>> plain_, told_;
};

/// With keepers_wanted the share of doe kids kept follows from the kids expected (DEFINITIONS 7).
void set_fates(const Herd& herd, std::vector<DoeAccount>& does) {
  double expected = 0.0;
  for (DoeAccount& doe : does) {
    doe.fate = herd.season.fate(doe.doe.kids_for);
    if (doe.doe.kids_for != KidsFor::keep || doe.fitness.on_hold()) continue;
    double best = 0.0;
    double kids = 0.0;
    for (const PairingAccount& pair : doe.sires) {
      if (pair.verdict == Verdict::avoid) continue;
      best = std::max(best, pair.settle_probability);
      kids = pair.kids_per_kidding;
    }
    expected += 0.5 * kids * best;
  }
  if (!herd.season.keepers_wanted) return;
  const double wanted = *herd.season.keepers_wanted;
  const double kept = expected > 0.0 ? std::min(1.0, wanted / expected) : 1.0;
  for (DoeAccount& doe : does) {
    if (doe.doe.kids_for == KidsFor::keep) doe.fate.doe_kept = kept;
  }
}

/// Prices of a unit of merit and of inbreeding in a kid of this pair.
KidInputs kid_inputs(const Herd& herd, const DoeAccount& doe, const PairingAccount& pair) {
  KidInputs kid;
  kid.share = shares_of(doe.fate);
  for (const PairMerit& merit : pair.merit) {
    const Trait& trait = herd.traits[merit.trait];
    const double expected = 0.5 * (merit.sire + merit.dam);
    const double depression = trait.per_percent_inbreeding * 100.0 * pair.kid_inbreeding.used;
    for (std::size_t sex = 0; sex < 2; ++sex) {
      for (std::size_t fate = 0; fate < 2; ++fate) {
        kid.merit[sex][fate] += trait_price(trait, sex, fate) * expected;
        kid.inbreeding[sex][fate] += trait_price(trait, sex, fate) * depression;
      }
    }
  }
  return kid;
}

/// All that the value of a pair is made from. Its settling, merit and risks are known.
PairInputs pair_inputs(const Herd& herd, const std::vector<FaultIndex>& faults,
                       const DoeAccount& account, const PairingAccount& pair) {
  PairInputs inputs;
  inputs.kid = kid_inputs(herd, account, pair);
  for (std::size_t f = 0; f < faults.size(); ++f) {
    inputs.chances.push_back(fault_chance(herd.faults[faults[f]], pair.faults[f].risk));
  }
  inputs.kids = pair.settle_probability * pair.kids_per_kidding;
  return inputs;
}

std::optional<double> cost_per_litter(const SireAccount& sire, const std::vector<DoeAccount>& does) {
  std::size_t served = 0;
  for (const DoeAccount& doe : does) {
    if (!doe.fitness.on_hold()) ++served;
  }
  if (sire.most_does) served = std::min<std::size_t>(served, *sire.most_does);
  const double kiddings = static_cast<double>(served) * sire.settle_probability;
  if (kiddings <= 0.0) return std::nullopt;
  return (sire.hire_cost + static_cast<double>(served) * sire.doe_cost) / kiddings;
}

}  // namespace

PairingTable score(const Herd& herd, const Genetics& genetics, const ScoreOptions& options,
                   const Run& run) {
  PairingTable table;
  const auto sires = narrowed(
      herd.sires, options.only_sires, [](const SireOffer& o) { return o.sire; }, "on offer");
  const auto does = narrowed(
      herd.does, options.only_does, [](const DoeForward& d) { return d.doe; }, "put forward");
  table.faults = faults_in_use(herd);
  const Kinship& kinship = genetics.kinship;
  const Offspring offspring(herd.pedigree);
  const EvidenceIndex evidence(herd);

  std::vector<Animal> sire_animals, doe_animals;
  for (const SireOffer& offer : sires) {
    throw_if_stopped(run);
    sire_animals.push_back(offer.sire);
    table.sires.push_back(account_of_sire(herd, kinship, offspring, evidence, offer, table.faults,
                                          options.days_left_only));
  }
  std::vector<double> litter;
  for (const DoeForward& doe : does) {
    throw_if_stopped(run);
    doe_animals.push_back(doe.doe);
    DoeAccount account;
    account.doe = doe;
    account.first_kidder = !has_kidded(herd, offspring, doe.doe);
    account.litter =
        account.first_kidder ? herd.season.kid.litter_size_first : herd.season.kid.litter_size;
    account.fitness = fitness(herd, offspring, doe, first_day_of_service(herd, doe));
    account.known = kinship.known(doe.doe);
    account.faults = evidence_of(evidence, doe.doe, table.faults);
    litter.push_back(account.litter);
    table.does.push_back(std::move(account));
  }
  const Grid<KidInbreeding> kids = kinship.kids(sire_animals, doe_animals, run);
  const PairRisks risks(genetics, sire_animals, doe_animals, litter, run);
  if (!does.empty()) {
    for (std::size_t s = 0; s < sires.size(); ++s) {
      table.sires[s].as_any_buck = risks.as_any_buck(genetics, s, sires[s].sire);
    }
  }
  std::vector<Animal> animals = sire_animals;
  animals.insert(animals.end(), doe_animals.begin(), doe_animals.end());
  const BreedingValues merit(herd, genetics, animals);

  for (std::size_t d = 0; d < does.size(); ++d) {
    throw_if_stopped(run);
    DoeAccount& account = table.does[d];
    for (std::size_t s = 0; s < sires.size(); ++s) {
      PairingAccount pair;
      pair.pairing = {.sire = sires[s].sire, .doe = does[d].doe};
      pair.offer = s;
      pair.kid_inbreeding = kids(s, d);
      pair.known = known_of_pair(table.sires[s].known.share, account.known.share);
      pair.common_ancestors = kinship.common_ancestors(sires[s].sire, does[d].doe);
      pair.faults = risks.of(s, d);
      const Odds odds = odds_of(herd, offspring, table.sires[s], does[d].doe);
      pair.settle_probability = odds.settles;
      pair.kids_per_kidding = account.litter * herd.season.kid.survive;
      pair.doe_cost = odds.doe_cost;
      for (std::size_t t = 0; t < merit.traits().size(); ++t) {
        const std::size_t her = sires.size() + d;
        pair.merit.push_back({merit.traits()[t], merit(t, s), merit(t, her),
                              merit.reliability(t, s), merit.reliability(t, her)});
      }
      apply_rules(herd, table.faults, table.sires[s], account, pair);
      account.sires.push_back(std::move(pair));
    }
  }
  set_fates(herd, table.does);

  const KidPrices prices = kid_prices(herd, table.faults);
  WorldsInput worlds{herd,        genetics,    prices,
                     sire_animals, doe_animals, Grid<PairInputs>(sires.size(), does.size())};
  for (std::size_t d = 0; d < does.size(); ++d) {
    DoeAccount& account = table.does[d];
    for (PairingAccount& pair : account.sires) {
      PairInputs& inputs = worlds.pairs(pair.offer, d);
      inputs = pair_inputs(herd, table.faults, account, pair);
      set_value(herd, prices, inputs, pair);
    }
    put_in_order(herd, account.sires);
    if (!herd.season.set.contains("unknown_kinship") && blanks_decide(herd, account)) {
      table.unknown_kinship_decides = true;
    }
  }
  if (options.draws > 0) draw_worlds(worlds, options.draws, options.seed, table.does, run);
  find_close_calls(worlds, table);
  if (options.other_prices) table.other_prices = values_at_other_prices(worlds, table);
  for (DoeAccount& account : table.does) {
    for (PairingAccount& pair : account.sires) give_reasons(herd, table, account, pair);
  }
  for (std::size_t s = 0; s < table.sires.size(); ++s) {
    table.sires[s].cost_per_litter = cost_per_litter(table.sires[s], table.does);
    ask_of_sire(herd, table, s);
  }
  return table;
}

namespace {

/// Chances of one fault, of all pairs of the table: [sire][doe], put into the accounts.
void take_anew(const Genetics& genetics, PairingTable& table, std::size_t f, const Run& run) {
  std::vector<Animal> sires, does;
  std::vector<double> litter;
  for (const SireAccount& sire : table.sires) sires.push_back(sire.offer.sire);
  for (const DoeAccount& doe : table.does) {
    does.push_back(doe.doe.doe);
    litter.push_back(doe.litter);
  }
  const Grid<KidRisk> plain = genetics.faults[f].kids(sires, does, litter, run);
  Grid<KidRisk> told;
  if (!genetics.faults_told.empty() && genetics.faults_told[f].has_told()) {
    told = genetics.faults_told[f].kids(sires, does, litter, run);
  }
  for (std::size_t d = 0; d < does.size(); ++d) {
    for (PairingAccount& pair : table.does[d].sires) {
      pair.faults[f] = pair_fault(plain(pair.offer, d),
                                  told.cells.empty() ? nullptr : &told(pair.offer, d));
    }
  }
}

}  // namespace

PairingTable revalued(const Herd& herd, const Genetics& genetics, const PairingTable& table,
                      const WhatIf& what, const Run& run) {
  PairingTable result = table;
  result.other_prices.clear();
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const bool anew =
        std::find(what.faults.begin(), what.faults.end(), table.faults[f]) != what.faults.end();
    if (anew) take_anew(genetics, result, f, run);
  }
  for (DoeAccount& account : result.does) {
    for (PairingAccount& pair : account.sires) {
      if (what.papers_of == pair.offer) pair.kid_inbreeding.used = pair.kid_inbreeding.as_recorded;
      pair.rules.clear();
      pair.verdict = Verdict::go;
      apply_rules(herd, table.faults, result.sires[pair.offer], account, pair);
    }
  }
  set_fates(herd, result.does);
  const KidPrices prices = kid_prices(herd, table.faults);
  for (DoeAccount& account : result.does) {
    for (PairingAccount& pair : account.sires) {
      set_value(herd, prices, pair_inputs(herd, table.faults, account, pair), pair);
    }
  }
  return result;
}

std::vector<std::string> assumed_in(const Herd& herd, const PairingTable& table) {
  std::vector<std::string> result;
  const auto add = [&](const std::string& name) {
    if (std::find(result.begin(), result.end(), name) == result.end()) result.push_back(name);
  };
  if (table.unknown_kinship_decides) add("unknown_kinship");
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    const FaultModel& model = herd.faults[table.faults[f]];
    if (!model.assumed) continue;
    for (const DoeAccount& doe : table.does) {
      for (const PairingAccount& pair : doe.sires) {
        if (millionths(pair.faults[f].cost) != 0) add("faults." + model.key);
      }
    }
  }
  for (const DoeAccount& doe : table.does) {
    for (const std::string& price : doe.close_at) add(price);
  }
  return result;
}

}  // namespace doewright
