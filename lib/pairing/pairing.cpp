// SPDX-License-Identifier: MIT
#include <doewright/pairing/pairing.hpp>

#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>
#include <doewright/timing/offer.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include "reasons.hpp"
#include "rules.hpp"

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

std::vector<FaultEvidence> evidence_of(const EvidenceIndex& index, Animal animal,
                                       const std::vector<FaultIndex>& faults) {
  std::vector<FaultEvidence> result;
  result.reserve(faults.size());
  for (const FaultIndex fault : faults) result.push_back(index.around(animal, fault));
  return result;
}

void put_in_order(const Herd& herd, std::vector<PairingAccount>& sires) {
  std::stable_sort(
      sires.begin(), sires.end(), [&](const PairingAccount& a, const PairingAccount& b) {
        const bool avoid_a = a.verdict == Verdict::avoid, avoid_b = b.verdict == Verdict::avoid;
        if (avoid_a != avoid_b) return avoid_b;
        const auto used_a = millionths(a.kid_inbreeding.used),
                   used_b = millionths(b.kid_inbreeding.used);
        if (used_a != used_b) return used_a < used_b;
        return herd.ids[a.pairing.sire] < herd.ids[b.pairing.sire];
      });
  for (std::size_t i = 0; i < sires.size(); ++i) sires[i].rank = i + 1;
}

/// Sires level with another in what the order goes by; ids decided between them, and ids mean
/// nothing.
void find_ties(std::vector<PairingAccount>& sires) {
  for (PairingAccount& one : sires) {
    for (const PairingAccount& other : sires) {
      const bool level =
          (one.verdict == Verdict::avoid) == (other.verdict == Verdict::avoid) &&
          millionths(one.kid_inbreeding.used) == millionths(other.kid_inbreeding.used);
      if (level && one.offer != other.offer) one.tied_with.push_back(other.pairing.sire);
    }
  }
}

/// Would the first choice or a verdict on inbreeding be another if blanks counted as unrelated?
bool blanks_decide(const Herd& herd, const DoeAccount& doe) {
  const ThreeLimits& limits = herd.season.inbreeding_limits(doe.doe.kids_for);
  const auto step = [&](double f) { return f >= limits[2] ? 2 : f >= limits[1] ? 1 : 0; };
  const PairingAccount* best = nullptr;
  for (const PairingAccount& account : doe.sires) {
    const KidInbreeding& f = account.kid_inbreeding;
    if (step(f.used) != step(f.as_recorded)) return true;
    if (account.verdict == Verdict::avoid) continue;
    if (best == nullptr ||
        millionths(f.as_recorded) < millionths(best->kid_inbreeding.as_recorded)) {
      best = &account;
    }
  }
  return best != nullptr && best != &doe.sires.front();
}

SireAccount account_of_sire(const Herd& herd, const Kinship& kinship, const Offspring& offspring,
                            const EvidenceIndex& evidence, const SireOffer& offer,
                            const std::vector<FaultIndex>& faults) {
  SireAccount sire;
  sire.offer = offer;
  sire.known = kinship.known(offer.sire);
  if (const auto months = sire_months(herd, offer)) sire.age_months = *months;
  sire.most_does = most_does(herd, offer);
  sire.proven = is_proven(herd, offspring, offer);
  if (papers_needed(herd, offer)) sire.papers = papers(herd, offer.sire);
  sire.faults = evidence_of(evidence, offer.sire, faults);
  return sire;
}

}  // namespace

PairingTable score(const Herd& herd, const Kinship& kinship, const ScoreOptions& options,
                   const Run& run) {
  PairingTable table;
  const auto sires = narrowed(
      herd.sires, options.only_sires, [](const SireOffer& o) { return o.sire; }, "on offer");
  const auto does = narrowed(
      herd.does, options.only_does, [](const DoeForward& d) { return d.doe; }, "put forward");
  table.faults = faults_in_use(herd);
  const Offspring offspring(herd.pedigree);
  const EvidenceIndex evidence(herd);

  std::vector<Animal> sire_animals, doe_animals;
  for (const SireOffer& offer : sires) {
    throw_if_stopped(run);
    sire_animals.push_back(offer.sire);
    table.sires.push_back(account_of_sire(herd, kinship, offspring, evidence, offer, table.faults));
  }
  for (const DoeForward& doe : does) doe_animals.push_back(doe.doe);
  const Grid<KidInbreeding> kids = kinship.kids(sire_animals, doe_animals, run);

  for (std::size_t d = 0; d < does.size(); ++d) {
    throw_if_stopped(run);
    DoeAccount account;
    account.doe = does[d];
    account.fitness = fitness(herd, offspring, does[d], first_day_of_service(herd, does[d]));
    account.known = kinship.known(does[d].doe);
    account.faults = evidence_of(evidence, does[d].doe, table.faults);
    for (std::size_t s = 0; s < sires.size(); ++s) {
      PairingAccount pair;
      pair.pairing = {.sire = sires[s].sire, .doe = does[d].doe};
      pair.offer = s;
      pair.kid_inbreeding = kids(s, d);
      pair.known = known_of_pair(table.sires[s].known.share, account.known.share);
      pair.common_ancestors = kinship.common_ancestors(sires[s].sire, does[d].doe);
      apply_rules(herd, table.faults, table.sires[s], account, pair);
      give_reasons(herd, table, account, pair);
      account.sires.push_back(std::move(pair));
    }
    put_in_order(herd, account.sires);
    find_ties(account.sires);
    if (!herd.season.set.contains("unknown_kinship") && blanks_decide(herd, account)) {
      table.unknown_kinship_decides = true;
    }
    table.does.push_back(std::move(account));
  }
  for (std::size_t s = 0; s < table.sires.size(); ++s) ask_of_sire(herd, table, s);
  return table;
}

}  // namespace doewright
