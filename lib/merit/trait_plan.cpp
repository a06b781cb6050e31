// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>

#include "model_state.hpp"
#include "trait_model.hpp"

namespace doewright {

TraitVariances trait_variances(const Trait& trait, TraitIndex index) {
  const double whole = trait.phenotypic_sd * trait.phenotypic_sd;
  const double h2 = trait.heritability, m2 = trait.maternal_heritability;
  TraitVariances v;
  v.trait = index;
  v.va = h2 * whole;
  v.vm = m2 * whole;
  v.direct_maternal_covariance = trait.direct_maternal_correlation * std::sqrt(h2 * m2) * whole;
  v.vpe = trait.repeatability ? std::max(0.0, *trait.repeatability - h2) * whole : 0.0;
  v.vlitter = trait.litter_share * whole;
  v.ve = whole - v.va - v.vm - v.direct_maternal_covariance - v.vpe - v.vlitter;
  v.per_percent_inbreeding = trait.per_percent_inbreeding;
  if (whole > 0.0 && !(v.ve > 1e-12 * whole)) {
    throw UsageError("merit: variances of " + trait.key + " leave nothing for the rest");
  }
  return v;
}

namespace {

double correlation_of(const Trait& a, const Trait& b) {
  const auto in_a = a.correlations.find(b.key);
  if (in_a != a.correlations.end()) return in_a->second;
  const auto in_b = b.correlations.find(a.key);
  return in_b != b.correlations.end() ? in_b->second : 0.0;
}

/// Genetic covariance of the parts, with correlations between traits or without.
Grid<double> covariance_of(const Herd& herd, const TraitModelPlan& plan, std::size_t parts,
                           bool between, double shrink) {
  Grid<double> g(parts, parts, 0.0);
  for (const TraitInModel& a : plan.traits) {
    if (!a.direct) continue;
    g(*a.direct, *a.direct) = a.variances.va;
    if (a.maternal) {
      g(*a.maternal, *a.maternal) = a.variances.vm;
      g(*a.direct, *a.maternal) = g(*a.maternal, *a.direct) =
          shrink * a.variances.direct_maternal_covariance;
    }
    for (const TraitInModel& b : plan.traits) {
      if (!between || !b.direct || a.trait == b.trait) continue;
      const double r = correlation_of(herd.traits[a.trait], herd.traits[b.trait]);
      g(*a.direct, *b.direct) = shrink * r * std::sqrt(a.variances.va * b.variances.va);
    }
  }
  for (std::size_t i = 0; i < parts; ++i) {
    for (std::size_t j = 0; j < i; ++j) g(j, i) = g(i, j);
  }
  return g;
}

void plan_covariance(const Herd& herd, TraitModelPlan& plan, std::size_t parts) {
  Grid<double> lower;
  plan.covariance = covariance_of(herd, plan, parts, true, 1.0);
  if (parts == 0 || cholesky_of(plan.covariance, lower)) return;
  const TraitIndex first = plan.traits.front().trait;
  plan.covariance = covariance_of(herd, plan, parts, true, 0.999);
  if (cholesky_of(plan.covariance, lower)) {
    plan.notes.push_back({MeritRemark::nearly_one, first});
    return;
  }
  plan.notes.push_back({MeritRemark::correlations_apart, first});
  plan.covariance = covariance_of(herd, plan, parts, false, 1.0);
  if (cholesky_of(plan.covariance, lower)) return;
  plan.notes.push_back({MeritRemark::nearly_one, first});
  plan.covariance = covariance_of(herd, plan, parts, false, 0.999);
}

/// All largest classifications (and means) come first: no record has two of these columns.
void plan_columns(TraitModelPlan& plan) {
  std::uint32_t next = 0;
  for (TraitInModel& trait : plan.traits) {
    const auto& fixed = trait.records.fixed;
    trait.first_column.assign(fixed.size(), 0);
    for (std::size_t c = 0; c < fixed.size(); ++c) {
      if (!trait.largest || fixed[c].names.size() > fixed[*trait.largest].names.size()) {
        trait.largest = c;
      }
    }
    if (trait.largest) {
      trait.first_column[*trait.largest] = next;
      next += static_cast<std::uint32_t>(fixed[*trait.largest].names.size());
    } else {
      trait.mean_column = next++;
    }
  }
  for (TraitInModel& trait : plan.traits) {
    const auto& fixed = trait.records.fixed;
    for (std::size_t c = 0; c < fixed.size(); ++c) {
      if (trait.largest == c) continue;
      trait.first_column[c] = next;
      next += static_cast<std::uint32_t>(fixed[c].names.size());
    }
    if (trait.records.with_age) {
      trait.no_age_column = next++;
      trait.age_column = next++;
    }
  }
  plan.fixed_columns = next;
}

/// Ages are taken about their mean and in their own deviation: else columns of very different sizes
/// would stand side by side.
void plan_age(TraitInModel& trait) {
  double sum = 0.0, squares = 0.0, count = 0.0;
  for (const auto& age : trait.records.age) {
    if (!age) continue;
    sum += *age;
    count += 1.0;
  }
  trait.age_mean = count > 0.0 ? sum / count : 0.0;
  for (const auto& age : trait.records.age) {
    if (age) squares += (*age - trait.age_mean) * (*age - trait.age_mean);
  }
  trait.age_sd = squares > 0.0 ? std::sqrt(squares / count) : 1.0;
}

}  // namespace

TraitModelPlan plan_traits(const Herd& herd, const std::vector<TraitIndex>& traits,
                           std::span<const double> f) {
  TraitModelPlan plan;
  std::optional<BirthLitters> litters;
  for (const TraitIndex index : traits) {
    const Trait& trait = herd.traits[index];
    const bool by_type =
        std::find(trait.fixed.begin(), trait.fixed.end(), "birth_type") != trait.fixed.end();
    if (!litters && (by_type || trait.litter_share > 0.0)) litters = birth_litters(herd);
  }
  std::size_t parts = 0;
  const auto animals = static_cast<std::uint32_t>(herd.pedigree.size());
  for (const TraitIndex index : traits) {
    TraitInModel& trait = plan.traits.emplace_back();
    trait.trait = index;
    trait.variances = trait_variances(herd.traits[index], index);
    trait.records = trait_records(herd, index, f, litters ? &*litters : nullptr);
    trait.linked = linked_animals(herd.pedigree, trait.records);
    trait.recorded.assign(animals, false);
    for (const Animal each : trait.records.animals) trait.recorded[each.position] = true;
    if (trait.records.size() == 0) plan.notes.push_back({MeritRemark::no_records, index});
    if (!(trait.variances.va > 0.0)) {
      plan.notes.push_back({MeritRemark::no_variance, index});
    } else {
      trait.direct = parts++;
    }
  }
  for (TraitInModel& trait : plan.traits) {
    const TraitVariances& v = trait.variances;
    trait.residual = plan.residual_variances.size();
    plan.residual_variances.push_back(v.ve > 0.0 ? v.ve : 1.0);
    if (!trait.direct || trait.records.size() == 0) continue;
    if (v.vm > 0.0) trait.maternal = parts++;
    if (v.vpe > 0.0) {
      trait.permanent = plan.independent.size();
      plan.independent.push_back({animals, v.vpe});
    }
    if (v.vlitter > 0.0) {
      trait.litter = plan.independent.size();
      plan.independent.push_back({litters->litters, v.vlitter});
    }
    if (trait.records.with_age) plan_age(trait);
    if (!trait.maternal) continue;
    plan.phantom_of.resize(animals, Pedigree::none);
    for (const Animal animal : trait.records.animals) {
      std::uint32_t& phantom = plan.phantom_of[animal.position];
      if (phantom != Pedigree::none || herd.pedigree.dam(animal)) continue;
      phantom = static_cast<std::uint32_t>(plan.phantom_dams.size());
      plan.phantom_dams.push_back(animal);
    }
  }
  plan_covariance(herd, plan, parts);
  plan_columns(plan);
  if (litters) plan.litter_level = std::move(litters->litter_of);
  return plan;
}

}  // namespace doewright
