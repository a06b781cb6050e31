// SPDX-License-Identifier: MIT
#include "threshold_evidence.hpp"

#include <algorithm>
#include <utility>

namespace doewright {

namespace {

bool differs_by_sex(const FaultModel& fault) {
  return !fault.incidence_above_doe.empty() || !fault.incidence_above_buck.empty();
}

std::vector<LiabilityStretch> times(std::vector<LiabilityStretch> stretches, double factor) {
  for (LiabilityStretch& stretch : stretches) stretch.weight *= factor;
  return stretches;
}

/// What a kid of known parents varies beside their mean: Mendelian sampling and the residual.
double kid_variance(double heritability, double f_sire, std::optional<double> f_dam) {
  if (!f_dam) return 1.0 - heritability / 4.0 - heritability * f_sire / 4.0;
  return heritability / 2.0 * (1.0 - (f_sire + *f_dam) / 2.0) + 1.0 - heritability;
}

EpRow row_of(const ThresholdEvidence::Item& item, const LiabilityNodes& nodes) {
  EpRow row;
  const auto add = [&](std::uint32_t node, double weight) {
    const auto same = std::find_if(row.begin(), row.end(),
                                   [&](const auto& entry) { return entry.first == node; });
    if (same == row.end()) {
      row.emplace_back(node, weight);
    } else {
      same->second += weight;
    }
  };
  add(nodes.node(item.site.animal).value(), item.site.count ? 0.5 : 1.0);
  if (item.site.dam) add(nodes.node(*item.site.dam).value(), 0.5);
  if (nodes.mu()) add(*nodes.mu(), 1.0);
  std::sort(row.begin(), row.end());
  return row;
}

CountLikelihood count_likelihood(const ThresholdEvidence::Item& item, const ThresholdScale& scale,
                                 std::span<const double> f, double detection) {
  CountLikelihood count;
  count.affected = item.affected;
  count.clear = item.clear;
  count.detection = detection;
  count.unwanted = scale.unwanted(item.sex);
  count.wanted = scale.grade(scale.wanted, item.sex);
  const auto f_dam = item.site.dam ? std::optional(f[item.site.dam->position]) : std::nullopt;
  count.rest_var = kid_variance(scale.heritability, f[item.site.animal.position], f_dam);
  return count;
}

}  // namespace

LookLikelihood look_likelihood(const ThresholdScale& scale, const LookedAt& looked,
                               LiabilitySex sex, double rest_var) {
  if (looked.look == Look::found) {
    return {0.0, looked.grade ? scale.grade(*looked.grade, sex) : scale.unwanted(sex), rest_var};
  }
  // P(wanted) + (1 - d) P(unwanted) = (1 - d) + d P(wanted)
  return {1.0 - looked.detection, times(scale.grade(scale.wanted, sex), looked.detection),
          rest_var};
}

std::vector<Animal> ThresholdEvidence::animals() const {
  std::vector<Animal> all;
  for (const Item& item : items) {
    all.push_back(item.site.animal);
    if (item.site.dam) all.push_back(*item.site.dam);
  }
  return all;
}

ThresholdEvidence threshold_evidence(const Herd& herd, FaultIndex fault,
                                     const EvidenceIndex& evidence, bool with_told) {
  ThresholdEvidence result;
  std::vector<Sex> sexes;  // costs a pass, and matters only where the borders differ
  if (differs_by_sex(herd.faults[fault])) sexes = sexes_or_uses(herd);
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    LookedAt looked = evidence.looked_at(Animal{i}, fault);
    if (looked.look == Look::not_looked) continue;
    ThresholdEvidence::Item item;
    item.site = {Animal{i}, looked.rows, false, std::nullopt};
    if (!sexes.empty()) item.sex = liability_sex(sexes[i]);
    item.looked = std::move(looked);
    result.items.push_back(std::move(item));
  }
  for (const KidCount& count : herd.kid_counts) {
    if (count.fault != fault || count.examined == 0 || (count.told && !with_told)) continue;
    ThresholdEvidence::Item item;
    item.site = {count.sire, {count.row}, true, count.dam};
    item.sex = liability_sex(count.sex);
    item.affected = count.affected;
    item.clear = static_cast<double>(count.examined) - static_cast<double>(count.affected);
    result.items.push_back(std::move(item));
  }
  return result;
}

std::vector<EpSite> threshold_sites(const ThresholdEvidence& evidence, const ThresholdScale& scale,
                                    const LiabilityNodes& nodes, std::span<const double> f,
                                    double lowest_detection) {
  std::vector<EpSite> sites;
  for (const ThresholdEvidence::Item& item : evidence.items) {
    EpSite site;
    site.row = row_of(item, nodes);
    if (item.site.count) {
      site.likelihood = count_likelihood(item, scale, f, lowest_detection);
    } else {
      site.likelihood = look_likelihood(scale, item.looked, item.sex, 1.0 - scale.heritability);
    }
    sites.push_back(std::move(site));
  }
  return sites;
}

}  // namespace doewright
