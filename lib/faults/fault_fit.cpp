// SPDX-License-Identifier: MIT
#include <doewright/faults/fault_fit.hpp>

#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>
#include <doewright/core/stream.hpp>

#include "fault_fit_state.hpp"

namespace doewright {

namespace {

bool is_told(const Herd& herd, const std::vector<FaultIndex>& faults) {
  return std::any_of(herd.kid_counts.begin(), herd.kid_counts.end(), [&](const KidCount& count) {
    return count.told && count.examined > 0 &&
           std::find(faults.begin(), faults.end(), count.fault) != faults.end();
  });
}

/// The largest error of the chances of a pair, and what the draws are worth for that one.
void add_error(const DrawnCopies& drawn, Animal sire, Animal doe, const KidOfCopies& kid,
               KidRisk& risk) {
  risk.method = Method::sampled;
  const auto counts = drawn.counts(sire, doe);
  const auto look_at = [&](const std::array<double, 9>& f) {
    const auto estimate = drawn.estimate(counts, f);
    if (estimate.standard_error <= risk.standard_error) return;
    risk.standard_error = estimate.standard_error;
    risk.effective_draws = estimate.effective_draws;
  };
  for (const auto* f : {&kid.affected, &kid.affected_doe, &kid.affected_buck, &kid.carrier_doe,
                        &kid.carrier_buck}) {
    look_at(*f);
  }
  for (const auto& grade : kid.grades_doe) look_at(grade);
  for (const auto& grade : kid.grades_buck) look_at(grade);
  for (std::size_t cell = 0; cell < 9; ++cell) {
    std::array<double, 9> is_cell{};
    is_cell[cell] = 1.0;
    look_at(is_cell);
  }
}

Grid<KidRisk> kids_of_locus(const FaultFitState& state, std::span<const Animal> sires,
                            std::span<const Animal> does, std::span<const double> litter,
                            const Run& run) {
  std::vector<Animal> asked(sires.begin(), sires.end());
  asked.insert(asked.end(), does.begin(), does.end());
  const auto world = state.locus->world(asked, run);
  const CopiesOfPairs pairs = world->pairs(sires, does, run);
  const KidOfCopies kid = kid_of_copies(state.model(), state.locus->x_linked());
  Grid<KidRisk> result(sires.size(), does.size());
  for (std::size_t s = 0; s < sires.size(); ++s) {
    for (std::size_t d = 0; d < does.size(); ++d) {
      KidRisk& risk = result(s, d);
      risk = risk_of_joint(kid, pairs.joint(s, d), litter[d]);
      if (pairs.drawn) add_error(*pairs.drawn, sires[s], does[d], kid, risk);
    }
  }
  return result;
}

void must_be_possible(const FaultFitState& state) {
  if (!state.possible) {
    throw UsageError("faults: the records of " + state.model().key + " contradict each other");
  }
}

}  // namespace

std::string_view word(Method method) noexcept {
  switch (method) {
    case Method::exact:
      return "exact";
    case Method::sampled:
      return "sampled";
    case Method::approximate:
      return "approximate";
  }
  return "";
}

EvidenceEffect effect_of(const LocusRecord& record) {
  EvidenceEffect result;
  switch (record.kind) {
    case RecordKind::look: result.kind = EvidenceKind::look; break;
    case RecordKind::alive: result.kind = EvidenceKind::alive; break;
    case RecordKind::died: result.kind = EvidenceKind::died; break;
    case RecordKind::gene_test: result.kind = EvidenceKind::gene_test; break;
    case RecordKind::count: result.kind = EvidenceKind::count; break;
    case RecordKind::dead_kids: result.kind = EvidenceKind::dead_kids; break;
    case RecordKind::living_kids: result.kind = EvidenceKind::living_kids; break;
  }
  result.animal = record.animal.value();
  result.rows = record.rows;
  result.told = record.told;
  return result;
}

FaultIndex FaultFit::fault() const noexcept { return state_->fault; }
bool FaultFit::possible() const noexcept { return state_->possible; }
bool FaultFit::has_told() const noexcept { return state_->has_told; }
std::size_t FaultFit::ends_unsaid() const noexcept {
  return state_->threshold ? state_->threshold->sides_unknown() : 0;
}
const std::vector<EvidenceEffect>& FaultFit::contradiction() const noexcept {
  return state_->contradiction;
}

std::vector<AnimalFault> FaultFit::animals(std::span<const Animal> animals, const Run& run) const {
  must_be_possible(*state_);
  if (state_->locus) return animals_of_locus(*state_, animals, run);
  std::vector<AnimalFault> result;
  for (const auto& known : state_->threshold->of(animals, run)) {
    AnimalFault animal;
    animal.liability_mean = known.mean;
    animal.liability_sd = known.sd;
    animal.shows = known.shows;
    animal.method = state_->threshold->sites().empty() ? Method::exact : Method::approximate;
    result.push_back(animal);
  }
  return result;
}

Grid<KidRisk> FaultFit::kids(std::span<const Animal> sires, std::span<const Animal> does,
                             std::span<const double> litter, const Run& run) const {
  must_be_possible(*state_);
  if (litter.size() != does.size()) throw UsageError("faults: one litter size for each doe");
  if (state_->locus) return kids_of_locus(*state_, sires, does, litter, run);
  return state_->threshold->kids(sires, does, litter, run);
}

bool FaultFit::as_any_buck(Animal sire, double inbreeding, const KidRisk& risk) const {
  if (state_->threshold) return state_->threshold->hardly_touched(sire);
  const auto& joint = risk.joint.value();
  double carries = 0.0;
  for (std::size_t cell = 3; cell < joint.size(); ++cell) carries += joint[cell];
  const double q = state_->locus->frequency(sire);
  const double founder = state_->locus->x_linked()
                             ? q
                             : 1.0 - (1.0 - q) * (1.0 - q) - inbreeding * q * (1.0 - q);
  return std::abs(carries - founder) <= 0.02 * founder + 4.0 * risk.standard_error;
}

std::optional<KidOfCopies> FaultFit::of_copies() const {
  if (!state_->locus) return std::nullopt;
  return kid_of_copies(state_->model(), state_->locus->x_linked());
}

FaultWorlds FaultFit::worlds(std::span<const Animal> animals, std::size_t draws,
                             const Run& run) const {
  must_be_possible(*state_);
  FaultWorlds result;
  // Each gene has numbers of its own: two faults drawn from the same ones would go together.
  const FaultIndex gene = state_->locus ? state_->locus->locus().base : state_->fault;
  const std::uint64_t seed = Stream(state_->options.seed, state_->herd->faults[gene].key).bits();
  if (state_->locus) {
    result.copies = state_->locus->world(animals, run)->draw(animals, draws, seed, run);
  } else {
    result.liabilities = state_->threshold->draw(animals, draws, seed);
  }
  return result;
}

std::vector<std::vector<EvidenceEffect>> FaultFit::evidence(std::span<const Animal> animals,
                                                            bool& too_many, const Run& run) const {
  must_be_possible(*state_);
  return state_->locus ? locus_effects(*state_, animals, too_many, run)
                       : threshold_effects(*state_, animals, too_many, run);
}

namespace {

std::vector<std::shared_ptr<const FaultFitState>> states_of_loci(const Herd& herd,
                                                                 const EvidenceIndex& evidence,
                                                                 const FaultOptions& options,
                                                                 const Run& run) {
  std::vector<std::shared_ptr<const FaultFitState>> states(herd.faults.size());
  LocusWorldOptions world_options;
  world_options.most_entries = options.most_entries;
  world_options.seed = options.seed;
  for (const Locus& locus : loci_in_use(herd)) {
    const auto fit =
        std::make_shared<const LocusFit>(herd, locus, evidence, options.with_told, world_options);
    std::vector<EvidenceEffect> contradiction;
    for (const std::size_t record : fit->contradiction(run)) {
      contradiction.push_back(effect_of(fit->records()[record]));
    }
    for (const FaultIndex sign : locus.signs) {
      auto state = std::make_shared<FaultFitState>();
      state->herd = &herd;
      state->fault = sign;
      state->options = options;
      state->locus = fit;
      state->possible = contradiction.empty();
      state->contradiction = contradiction;
      state->has_told = is_told(herd, locus.signs);
      states[sign] = std::move(state);
    }
  }
  return states;
}

}  // namespace

std::vector<FaultFit> fit_loci(const Herd& herd, const EvidenceIndex& evidence,
                               const FaultOptions& options, const Run& run) {
  std::vector<FaultFit> fits;
  for (auto& state : states_of_loci(herd, evidence, options, run)) {
    if (!state) continue;
    FaultFit fit;
    fit.state_ = std::move(state);
    fits.push_back(std::move(fit));
  }
  return fits;
}

std::vector<FaultFit> fit_faults(const Herd& herd, const Kinship& kinship,
                                 const EvidenceIndex& evidence, const FaultOptions& options,
                                 const Run& run) {
  std::vector<FaultFit> fits;
  auto states = states_of_loci(herd, evidence, options, run);
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    if (herd.faults[f].kind != FaultKind::threshold || !herd.faults[f].use) continue;
    const auto fault = static_cast<FaultIndex>(f);
    auto state = std::make_shared<FaultFitState>();
    state->herd = &herd;
    state->fault = fault;
    state->options = options;
    state->threshold.emplace(herd, fault, kinship, evidence,
                             ThresholdOptions{.with_told = options.with_told}, run);
    state->has_told = is_told(herd, {fault});
    states[f] = std::move(state);
  }
  for (auto& state : states) {
    if (!state) continue;
    FaultFit fit;
    fit.state_ = std::move(state);
    fits.push_back(std::move(fit));
  }
  return fits;
}

}  // namespace doewright
