// SPDX-License-Identifier: MIT
#include "threshold_state.hpp"

#include <algorithm>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

const FaultModel& checked(const Herd& herd, FaultIndex fault) {
  if (fault >= herd.faults.size()) throw UsageError("faults: no such fault");
  const FaultModel& model = herd.faults[fault];
  if (model.kind != FaultKind::threshold) throw UsageError("faults: not a threshold fault");
  if (!(model.heritability > 0.0 && model.heritability < 1.0)) {
    throw UsageError("faults: a heritability of liability lies above 0 and below 1");
  }
  if (model.grades.size() < 2 || model.incidence_above.size() + 1 != model.grades.size() ||
      model.wanted >= model.grades.size()) {
    throw UsageError("faults: a threshold fault needs an incidence for each grade but the first");
  }
  return model;
}

/// Items found in an unwanted grade keep the stretches of one end.
std::vector<EpSite> at_ends(std::vector<EpSite> sites, std::span<const LiabilityEnd> ends,
                            const ThresholdEvidence& evidence, const ThresholdScale& scale) {
  for (const LiabilityEnd& end : ends) {
    auto& look = std::get<LookLikelihood>(sites[end.item].likelihood);
    look.stretches.clear();
    for (std::size_t g = 0; g <= scale.doe.size(); ++g) {
      if (end.high ? g <= scale.wanted : g >= scale.wanted) continue;
      for (const LiabilityStretch& stretch : scale.grade(g, evidence.items[end.item].sex)) {
        look.stretches.push_back(stretch);
      }
    }
  }
  return sites;
}

double dot(const EpRow& row, const Eigen::VectorXd& column) {
  double sum = 0.0;
  for (const auto& [node, weight] : row) sum += weight * column[node];
  return sum;
}

}  // namespace

ThresholdState::ThresholdState(const Herd& herd, FaultIndex fault, const Kinship& with_kinship,
                               const EvidenceIndex& index, ThresholdOptions options,
                               std::span<const LiabilityEnd> ends, const Run& run)
    : key(checked(herd, fault).key),
      kinship(with_kinship),
      scale(herd.faults[fault]),
      evidence(threshold_evidence(herd, fault, index, options.with_told)),
      nodes(herd.pedigree, evidence.animals(), scale.mu_var > 0.0),
      sites(at_ends(threshold_sites(evidence, scale, nodes, kinship.inbreeding(),
                                    detection_at(herd.faults[fault], std::nullopt)),
                    ends, evidence, scale)),
      posterior(nodes.size(), nodes.prior_precision(scale.heritability, scale.mu_var), sites),
      fit(propagate(sites, posterior, run)) {
  if (!ends.empty()) log_chance = log_evidence(sites, fit, posterior);
  for (std::size_t k = 0; k < evidence.items.size(); ++k) {
    const ThresholdSite& site = evidence.items[k].site;
    named_sites.push_back(site);
    if (!site.count) look_of.emplace(site.animal.position, k);
  }
  if (scale.doe == scale.buck) return;
  for (const Sex sex : sexes_or_uses(herd)) sexes.push_back(liability_sex(sex));
}

EpRow ThresholdState::with_mu(EpRow row) const {
  if (nodes.mu()) row.emplace_back(*nodes.mu(), 1.0);  // the last node: the order stays
  return row;
}

double ThresholdState::shows_when_looked(std::size_t site, double mean, double var) const {
  const ThresholdEvidence::Item& item = evidence.items[site];
  if (item.looked.look == Look::found) return 1.0;
  const EpCavity cavity = cavity_of(mean, var, fit.factors[site]);
  if (!(cavity.var > 0.0)) return 0.0;
  const double whole = cavity.var + 1.0 - scale.heritability;
  const double missed =
      (1.0 - item.looked.detection) * scale.unwanted(item.sex, cavity.mean, whole);
  return missed / (missed + chance_of(scale.grade(scale.wanted, item.sex), cavity.mean, whole));
}

double ThresholdState::shows(Animal animal, double mean, double var) const {
  const auto look = look_of.find(animal.position);
  if (look != look_of.end()) return shows_when_looked(look->second, mean, var);
  return scale.unwanted(sex_of(animal), mean, var + 1.0 - scale.heritability);
}

AskedLiabilities::AskedLiabilities(const ThresholdState& with_state,
                                   std::span<const Animal> animals, bool with_mu, const Run& run)
    : state(with_state), parts(liability_parts(state.nodes, animals)), columns(animals.size()) {
  for (const LiabilityPart& part : parts.of) {
    rows.push_back(with_mu ? state.with_mu(part.core) : part.core);
  }
  constexpr std::size_t block = 8;
  parallel_blocks(animals.size(), block, run, [&](std::size_t begin, std::size_t end) {
    throw_if_stopped(run);
    for (std::size_t a = begin; a < end; ++a) columns[a] = state.posterior.column(rows[a]);
  });
}

double AskedLiabilities::mean(std::size_t a) const {
  return state.posterior.mean_of(rows[a]);
}

double AskedLiabilities::covariance(std::size_t a, std::size_t b) const {
  return dot(rows[a], columns[b]) + state.scale.heritability * parts.own_covariance(a, b);
}

}  // namespace doewright
