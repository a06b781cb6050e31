// SPDX-License-Identifier: MIT
#include "trait_model.hpp"

namespace doewright {

namespace {

void add_fixed(const TraitInModel& trait, std::size_t record, const MixedModel& model,
               std::vector<DesignEntry>& design) {
  const TraitRecords& records = trait.records;
  if (trait.mean_column) design.push_back({model.fixed(*trait.mean_column), 1.0});
  for (std::size_t c = 0; c < records.fixed.size(); ++c) {
    design.push_back({model.fixed(trait.column(c, records.fixed[c].of[record])), 1.0});
  }
  if (!records.with_age) return;
  if (const auto age = records.age[record]) {
    design.push_back({model.fixed(*trait.age_column), (*age - trait.age_mean) / trait.age_sd});
  } else {
    design.push_back({model.fixed(*trait.no_age_column), 1.0});
  }
}

std::size_t count_of_ages(const TraitRecords& records, bool known) {
  std::size_t count = 0;
  for (const auto& age : records.age) count += age.has_value() == known ? 1u : 0u;
  return count;
}

}  // namespace

MixedModel trait_model(const Herd& herd, const TraitModelPlan& plan, std::span<const double> f) {
  MixedModel model(herd.pedigree, f, plan.covariance, plan.fixed_columns, plan.independent,
                   plan.residual_variances, plan.phantom_dams);
  std::vector<DesignEntry> design;
  std::size_t records = 0, entries = 0;
  for (const TraitInModel& trait : plan.traits) {
    if (!trait.direct) continue;
    records += trait.records.size();
    entries +=
        trait.records.size() * (1 + trait.records.fixed.size() + (trait.mean_column ? 1u : 0u) +
                                (trait.records.with_age ? 1u : 0u) + (trait.permanent ? 1u : 0u) +
                                (trait.litter ? 1u : 0u) + (trait.maternal ? 1u : 0u));
  }
  model.reserve(records, entries);
  for (const TraitInModel& trait : plan.traits) {
    if (!trait.direct) continue;
    for (std::size_t r = 0; r < trait.records.size(); ++r) {
      const Animal animal = trait.records.animals[r];
      design.assign(1, {model.genetic(animal, *trait.direct), 1.0});
      add_fixed(trait, r, model, design);
      if (trait.permanent) {
        design.push_back({model.independent(*trait.permanent, animal.position), 1.0});
      }
      if (trait.litter) {
        const std::uint32_t litter = plan.litter_level[animal.position];
        design.push_back({model.independent(*trait.litter, litter), 1.0});
      }
      if (trait.maternal) {
        const auto dam = herd.pedigree.dam(animal);
        const std::uint32_t unknown =
            dam ? model.genetic(*dam, *trait.maternal)
                : model.phantom(plan.phantom_of[animal.position], *trait.maternal);
        design.push_back({unknown, 1.0});
      }
      model.add(trait.records.values[r], trait.residual, design);
    }
  }
  return model;
}

std::vector<FixedEstimate> fixed_estimates(const TraitModelPlan& plan, const MixedModelFit& fit) {
  std::vector<FixedEstimate> result;
  const auto estimate = [&](std::uint32_t column) {
    return fit.solution()[fit.model().fixed(column)];
  };
  for (const TraitInModel& trait : plan.traits) {
    const TraitRecords& records = trait.records;
    if (!trait.direct || records.size() == 0) continue;
    double slope = 0.0;
    if (records.with_age) slope = estimate(*trait.age_column) / trait.age_sd;
    double mean = trait.mean_column ? estimate(*trait.mean_column)
                                    : estimate(trait.column(*trait.largest, 0));
    const double base = mean;
    mean -= slope * trait.age_mean;
    result.push_back({trait.trait, "mean", "", mean, records.size(), false});
    for (std::size_t c = 0; c < records.fixed.size(); ++c) {
      const RecordLevels& levels = records.fixed[c];
      for (std::uint32_t level = 0; level < levels.names.size(); ++level) {
        const std::uint32_t column = trait.column(c, level);
        const bool is_base = trait.largest == c;
        result.push_back({trait.trait, levels.effect, levels.names[level],
                          is_base ? estimate(column) - base : estimate(column),
                          levels.records[level], is_base ? level == 0 : fit.set_to_zero(column)});
      }
    }
    if (!records.with_age) continue;
    result.push_back({trait.trait, "age_days", "", slope, count_of_ages(records, true),
                      fit.set_to_zero(*trait.age_column)});
    if (const std::size_t blank = count_of_ages(records, false); blank > 0) {
      result.push_back({trait.trait, "age_days not recorded", "",
                        estimate(*trait.no_age_column) + slope * trait.age_mean, blank,
                        fit.set_to_zero(*trait.no_age_column)});
    }
  }
  return result;
}

}  // namespace doewright
