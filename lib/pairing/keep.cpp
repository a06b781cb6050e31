// SPDX-License-Identifier: MIT
#include <doewright/pairing/keep.hpp>

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include <doewright/pairing/fitness.hpp>

#include "does_to_leave.hpp"
#include "keep_reasons.hpp"
#include "keep_worth.hpp"
#include "kids_of_sire.hpp"

namespace doewright {

namespace {

constexpr int castrate_months = 3;

bool owned_here(const Herd& herd, Animal animal) {
  const std::string& owner = herd.animals.owners[herd.animals.owner[animal.position]];
  return owner.empty() || owner == herd.season.own_herd;
}

bool is_young(const Herd& herd, Animal animal) {
  const PartialDate born = herd.animals.born[animal.position];
  return born.known() && born.latest() >= add_months(herd.as_of, -keep_months) &&
         born.earliest() <= herd.as_of;
}

/// Who is here, by what they are.
struct HerdToday {
  std::vector<Animal> does;  // living does, kids among them
  std::vector<Animal> grown_does;
  std::vector<Animal> doe_kids;
  std::vector<Animal> intact_bucks;  // kids
  std::vector<Animal> kids;          // of either sex
};

HerdToday herd_today(const Herd& herd, const Offspring& offspring) {
  HerdToday today;
  const std::vector<Sex> sexes = sexes_or_uses(herd);
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    const Animal animal{i};
    if (!in_own_herd(herd, animal) || herd.animals.line[i] == 0) continue;
    const bool young = is_young(herd, animal) && offspring.of(animal).empty() &&
                       offspring.stand_ins_of(animal).empty();
    if (young) today.kids.push_back(animal);
    if (young && sexes[i] == Sex::buck) today.intact_bucks.push_back(animal);
    if (sexes[i] != Sex::doe) continue;
    today.does.push_back(animal);
    if (young && !has_kidded(herd, offspring, animal)) {
      today.doe_kids.push_back(animal);
    } else {
      today.grown_does.push_back(animal);
    }
  }
  return today;
}

/// Sires whose doors may close: on offer, or living bucks with a kid or a parent of the own herd.
std::vector<Animal> doors(const Herd& herd, const Offspring& offspring) {
  std::set<Animal> result;
  if (herd.sires_listed) {
    for (const SireOffer& offer : herd.sires) result.insert(offer.sire);
  }
  const std::vector<Sex> sexes = sexes_or_uses(herd);
  const auto here = [&](std::optional<Animal> animal) {
    return animal && owned_here(herd, *animal) && herd.animals.line[animal->position] != 0;
  };
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    const Animal buck{i};
    if (sexes[i] != Sex::buck || herd.animals.gone[i]) continue;
    const auto kids = offspring.of(buck);
    bool ours = here(herd.pedigree.dam(buck)) ||
                std::any_of(kids.begin(), kids.end(), [&](Animal kid) { return here(kid); });
    for (const SireChance& sire : herd.pedigree.possible_sires(buck)) {
      ours = ours || here(sire.sire);
    }
    for (const std::uint32_t s : offspring.stand_ins_of(buck)) {
      const auto of_stand_in = offspring.of_stand_in(s);
      ours = ours || std::any_of(of_stand_in.begin(), of_stand_in.end(),
                                 [&](Animal kid) { return here(kid); });
    }
    if (ours) result.insert(buck);
  }
  return {result.begin(), result.end()};
}

std::vector<ClosedDoor> closed(const Herd& herd, const std::vector<Animal>& sires,
                               const Grid<double>& kinship, std::size_t kid, double limit) {
  std::vector<ClosedDoor> result;
  for (std::size_t s = 0; s < sires.size(); ++s) {
    // a kinship of exact fractions is at the limit, whatever the last bit says
    if (kinship(kid, s) >= limit - 1e-12) result.push_back({sires[s], kinship(kid, s)});
  }
  std::sort(result.begin(), result.end(), [&](const ClosedDoor& a, const ClosedDoor& b) {
    const auto rounded_a = std::llround(a.inbreeding * 1e6);
    const auto rounded_b = std::llround(b.inbreeding * 1e6);
    return rounded_a != rounded_b ? rounded_a > rounded_b : herd.ids[a.sire] < herd.ids[b.sire];
  });
  return result;
}

double mean_of_row(const Grid<double>& grid, std::size_t row, std::size_t columns) {
  double sum = 0.0;
  for (std::size_t c = 0; c < columns; ++c) sum += grid(row, c);
  return columns == 0 ? 0.0 : sum / static_cast<double>(columns);
}

void put_in_order(const Herd& herd, std::vector<DoeKid>& kids) {
  const auto key = [&](const DoeKid& kid) {
    return std::tuple(kid.fault_found, -std::llround(kid.value * 1e6),
                      std::llround(kid.kinship_to_herd * 1e6), herd.ids[kid.kid]);
  };
  std::sort(kids.begin(), kids.end(),
            [&](const DoeKid& a, const DoeKid& b) { return key(a) < key(b); });
  for (std::size_t k = 0; k < kids.size(); ++k) kids[k].rank = static_cast<std::uint32_t>(k + 1);
}

std::vector<DoeKid> rank_kids(const Herd& herd, const Genetics& genetics,
                              const EvidenceIndex& evidence, const HerdToday& today,
                              const std::vector<Animal>& sires, double limit, const Run& run) {
  const std::vector<Animal>& kids = today.doe_kids;
  std::vector<FaultIndex> faults;
  for (const FaultFit& fit : genetics.faults) faults.push_back(fit.fault());
  const KidPrices prices = kid_prices(herd, faults);
  std::vector<KeepChances> chances =
      keep_chances(herd, evidence, genetics.faults, genetics.faults_told, kids, run);
  const Grid<double> to_does = genetics.kinship.block(kids, today.does, run);
  const Grid<double> to_sires = genetics.kinship.block(kids, sires, run);
  std::vector<DoeKid> result;
  for (std::size_t k = 0; k < kids.size(); ++k) {
    DoeKid kid;
    kid.kid = kids[k];
    kid.index = merit_index(herd, genetics.merit, kids[k]).keep;
    kid.cost = charge_faults(prices, kid.index, chances[k]);
    kid.value = kid.index - kid.cost;
    kid.faults = std::move(chances[k].faults);
    kid.fault_found = std::any_of(kid.faults.begin(), kid.faults.end(),
                                  [](const KeepFault& fault) { return fault.speaks_against; });
    kid.kinship_to_herd = mean_of_row(to_does, k, today.does.size());
    kid.closes = closed(herd, sires, to_sires, k, limit);
    result.push_back(std::move(kid));
  }
  put_in_order(herd, result);
  return result;
}

std::vector<Animal> not_examined(const Herd& herd, const EvidenceIndex& evidence,
                                 const std::vector<Animal>& kids) {
  std::vector<Animal> result;
  for (const Animal kid : kids) {
    bool looked = false;
    for (std::size_t f = 0; f < herd.faults.size() && !looked; ++f) {
      looked = herd.faults[f].use &&
               truly_looked_at(herd.faults[f], evidence.looked_at(kid, static_cast<FaultIndex>(f)));
    }
    if (!looked) result.push_back(kid);
  }
  std::sort(result.begin(), result.end(),
            [&](Animal a, Animal b) { return herd.ids[a] < herd.ids[b]; });
  return result;
}

std::vector<CastrateBy> to_castrate(const Herd& herd, const std::vector<Animal>& bucks) {
  std::vector<CastrateBy> result;
  for (const Animal kid : bucks) {
    const bool offered =
        herd.sires_listed && std::any_of(herd.sires.begin(), herd.sires.end(),
                                         [&](const SireOffer& offer) { return offer.sire == kid; });
    if (offered) continue;
    result.push_back(
        {kid, add_months(herd.animals.born[kid.position].earliest(), castrate_months)});
  }
  std::sort(result.begin(), result.end(), [&](const CastrateBy& a, const CastrateBy& b) {
    return a.by != b.by ? a.by < b.by : herd.ids[a.kid] < herd.ids[b.kid];
  });
  return result;
}

}  // namespace

KeepAdvice keep_advice(const Herd& herd, const Genetics& genetics, const Run& run) {
  const Offspring offspring(herd.pedigree);
  const EvidenceIndex evidence(herd);
  const HerdToday today = herd_today(herd, offspring);
  KeepAdvice advice;
  advice.herd_does = static_cast<std::uint32_t>(today.does.size());
  advice.door_limit = herd.season.limits.keep[0];
  advice.kids =
      rank_kids(herd, genetics, evidence, today, doors(herd, offspring), advice.door_limit, run);
  give_reasons(herd, genetics, evidence, advice);
  advice.not_examined = not_examined(herd, evidence, today.kids);
  advice.castrate = to_castrate(herd, today.intact_bucks);
  advice.leave = does_to_leave(herd, evidence, today.grown_does);
  return advice;
}

}  // namespace doewright
