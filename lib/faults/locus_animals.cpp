// SPDX-License-Identifier: MIT
// What is known of an animal itself at one locus: its copies, and whether it shows the sign.
#include <algorithm>
#include <array>
#include <unordered_map>

#include "fault_fit_state.hpp"

namespace doewright {

namespace {

/// What the records of one sign say of whether an animal shows it, beside its copies.
class OwnSign {
 public:
  OwnSign(const FaultFitState& state) : state_(state), evidence_(*state.herd) {
    for (const LocusRecord& record : state.locus->records()) {
      if (record.fault != state.fault || record.pair) continue;
      if (record.survived) survived_[record.animal->position] = true;
      if (record.kind == RecordKind::died) died_[record.animal->position] = true;
    }
    for (int sex = 0; sex < 2; ++sex) {
      shown_[static_cast<std::size_t>(sex)] = chance_shown(state.model(), sex);
    }
    dead_ = likelihood_of_death(state.model(), state.herd->season.kid.survive);
  }

  bool found(Animal animal) const {
    const int sex = genetic_sex(state_.locus->sex(animal));
    const bool scored = sex == 2 || (sex == 0 ? state_.model().shown_doe : state_.model().shown_buck);
    return scored && evidence_.looked_at(animal, state_.fault).look == Look::found;
  }

  /// P(shows | k copies, sex, its own records); \pre not found.
  double shows(Animal animal, int sex, int k) const {
    const double unwanted = at(shown_, sex, k);
    if (unwanted == 0.0 || survived_.contains(animal.position)) return 0.0;
    if (died_.contains(animal.position)) return unwanted / at(dead_, sex, k);
    const LookedAt look = evidence_.looked_at(animal, state_.fault);
    if (look.look == Look::not_looked) return unwanted;
    const double missed = (1.0 - look.detection) * unwanted;
    const double clear = 1.0 - unwanted + missed;
    return clear > 0.0 ? missed / clear : 0.0;
  }

 private:
  const FaultFitState& state_;
  EvidenceIndex evidence_;
  std::unordered_map<std::uint32_t, bool> survived_, died_;
  CopiesBySex shown_, dead_;
};

/// Weight of each sex given k copies, where what the parents hand on does not depend on it.
std::array<double, 2> sexes_given(const LocusFit& locus, Animal animal, int k) {
  const int sex = genetic_sex(locus.sex(animal));
  if (sex == 0) return {1.0, 0.0};
  if (sex == 1) return {0.0, 1.0};
  std::array<double, 2> weight = {1.0, 1.0};
  for (const LocusRecord& record : locus.records()) {
    if (record.pair || record.animal != animal) continue;
    for (int s = 0; s < 2; ++s) weight[static_cast<std::size_t>(s)] *= at(record.likelihood, s, k);
  }
  if (locus.x_linked()) {
    const Transmission from{true};
    for (int s = 0; s < 2; ++s) {
      weight[static_cast<std::size_t>(s)] *= from.founder(k, locus.frequency(animal), s);
    }
  }
  const double sum = weight[0] + weight[1];
  if (sum <= 0.0) return {0.5, 0.5};
  return {weight[0] / sum, weight[1] / sum};
}

/// Each copy number shared out to both sexes: [sex][copies], summing to 1.
CopiesBySex by_sex_and_copies(const FaultFitState& state, Animal animal, const Copies& copies,
                              const Run& run) {
  const LocusFit& locus = *state.locus;
  const bool has_parents = state.herd->pedigree.dam(animal).has_value() ||
                           !state.herd->pedigree.possible_sires(animal).empty();
  if (genetic_sex(locus.sex(animal)) == 2 && locus.x_linked() && has_parents) {
    if (const auto exact = locus.sexes_of(animal, run)) return *exact;
  }
  CopiesBySex result{};
  for (int k = 0; k < 3; ++k) {
    const auto weight = sexes_given(locus, animal, k);
    for (std::size_t sex = 0; sex < 2; ++sex) {
      result[sex][static_cast<std::size_t>(k)] = copies[static_cast<std::size_t>(k)] * weight[sex];
    }
  }
  return result;
}

void add_error(const DrawnCopies& drawn, Animal animal, AnimalFault& known) {
  const auto counts = drawn.counts(animal, animal);
  for (std::size_t k = 0; k < 3; ++k) {
    std::array<double, 9> is_k{};
    for (std::size_t j = 0; j < 3; ++j) is_k[3 * k + j] = 1.0;
    const auto estimate = drawn.estimate(counts, is_k);
    if (estimate.standard_error <= known.standard_error) continue;
    known.standard_error = estimate.standard_error;
    known.effective_draws = estimate.effective_draws;
  }
}

}  // namespace

std::vector<AnimalFault> animals_of_locus(const FaultFitState& state,
                                          std::span<const Animal> animals, const Run& run) {
  const auto world = state.locus->world(animals, run);
  const OwnSign sign(state);
  std::vector<AnimalFault> result;
  for (const Animal animal : animals) {
    AnimalFault known;
    const Copies copies = world->marginal(animal);
    known.copies = copies;
    known.method = world->method();
    if (sign.found(animal)) {
      known.shows = 1.0;
    } else {
      const CopiesBySex chances = by_sex_and_copies(state, animal, copies, run);
      for (int sex = 0; sex < 2; ++sex) {
        for (int k = 0; k < 3; ++k) {
          const double p = at(chances, sex, k);
          if (p > 0.0) known.shows += p * sign.shows(animal, sex, k);
        }
      }
    }
    if (const DrawnCopies* drawn = world->drawn()) add_error(*drawn, animal, known);
    result.push_back(known);
  }
  return result;
}

}  // namespace doewright
