// SPDX-License-Identifier: MIT
// DEFINITIONS 7 for one doe kid that is there: base and merit are her own, chances include her
// look.
#include "keep_worth.hpp"

#include <algorithm>

namespace doewright {

namespace {

/// How the unwanted grades are shared out in a doe that shows the fault; sums to 1.
std::vector<double> unwanted_shares(const FaultModel& model, const AnimalFault& state) {
  std::vector<double> share(model.grades.size(), 0.0);
  if (model.kind == FaultKind::locus) {
    if (model.shown_doe && state.copies) {
      for (std::size_t c = 0; c < model.shown_doe->rows.size() && c < 3; ++c) {
        for (std::size_t g = 0; g < share.size(); ++g) {
          share[g] += (*state.copies)[c] * model.shown_doe->rows[c][g];
        }
      }
    }
  } else {
    std::vector<double> above = model.incidence_above;  // in the grade after this one, or later
    for (std::size_t g = 0; g < model.incidence_above_doe.size() && g < above.size(); ++g) {
      above[g] = model.incidence_above_doe[g];
    }
    double before = 1.0;
    for (std::size_t g = 0; g < share.size(); ++g) {
      const double next = g < above.size() ? above[g] : 0.0;
      share[g] = std::max(0.0, before - next);
      before = next;
    }
  }
  share[model.wanted] = 0.0;
  double sum = 0.0;
  for (const double each : share) sum += each;
  for (std::size_t g = 0; g < share.size(); ++g) {
    const double evenly = g == model.wanted ? 0.0 : 1.0 / static_cast<double>(share.size() - 1);
    share[g] = sum > 0.0 ? share[g] / sum : evenly;
  }
  return share;
}

double cost_if_shown(const FaultModel& model, const KeepFault& fault, const AnimalFault& state) {
  if (model.cost_keep.empty()) return 0.0;
  if (fault.look == Look::found && fault.grade) return model.cost_keep[*fault.grade];
  const std::vector<double> share = unwanted_shares(model, state);
  double cost = 0.0;
  for (std::size_t g = 0; g < share.size(); ++g) cost += share[g] * model.cost_keep[g];
  return cost;
}

KeepFault keep_fault(const FaultModel& model, FaultIndex index, const LookedAt& look,
                     const AnimalFault& state) {
  KeepFault fault{.fault = index, .look = look.look, .grade = look.grade};
  if (look.removed) fault.grade.reset();
  fault.speaks_against = look.look == Look::found && costs_a_keeper(model, look);
  fault.shows = look.look == Look::found ? 1.0 : std::clamp(state.shows, 0.0, 1.0);
  if (state.copies) fault.carries = std::max(0.0, 1.0 - (*state.copies)[0] - fault.shows);
  return fault;
}

}  // namespace

bool costs_a_keeper(const FaultModel& model, const LookedAt& look) {
  if (model.cost_keep.empty() || model.lethal_by_days) return true;
  if (look.grade && !look.removed) return model.cost_keep[*look.grade] > 0.0;
  return std::any_of(model.cost_keep.begin(), model.cost_keep.end(),
                     [](double cost) { return cost > 0.0; });
}

std::vector<KeepChances> keep_chances(const Herd& herd, const EvidenceIndex& evidence,
                                      const std::vector<FaultFit>& fits,
                                      const std::vector<FaultFit>& told,
                                      std::span<const Animal> kids, const Run& run) {
  std::vector<KeepChances> result(kids.size());
  for (std::size_t f = 0; f < fits.size(); ++f) {
    const FaultIndex index = fits[f].fault();
    const FaultModel& model = herd.faults[index];
    const std::vector<AnimalFault> states = fits[f].animals(kids, run);
    std::vector<AnimalFault> heard;
    if (!told.empty() && told[f].has_told() && told[f].possible()) {
      heard = told[f].animals(kids, run);
    }
    for (std::size_t k = 0; k < kids.size(); ++k) {
      const bool worse = !heard.empty() && heard[k].shows > states[k].shows;
      const AnimalFault& state = worse ? heard[k] : states[k];
      const KeepFault fault = keep_fault(model, index, evidence.looked_at(kids[k], index), state);
      result[k].if_shown.push_back(cost_if_shown(model, fault, state));
      result[k].faults.push_back(fault);
    }
  }
  return result;
}

double charge_faults(const KidPrices& prices, double index, KeepChances& chances) {
  double lives = 1.0, none_default = 1.0, lethal_sum = 0.0, default_sum = 0.0;
  for (std::size_t f = 0; f < chances.faults.size(); ++f) {
    const double shows = chances.faults[f].shows;
    if (prices.faults[f].lethal) {
      lives *= 1.0 - shows;
      lethal_sum += shows;
    } else if (prices.faults[f].default_keep) {
      none_default *= 1.0 - shows;
      default_sum += shows;
    }
  }
  const double lost = (1.0 - lives) * std::max(0.0, prices.base[0] + index);
  const double not_kept = lives * prices.not_kept() * (1.0 - none_default);
  double sum = 0.0;
  for (std::size_t f = 0; f < chances.faults.size(); ++f) {
    KeepFault& fault = chances.faults[f];
    const FaultPrice& price = prices.faults[f];
    fault.cost = lives * fault.carries * price.carried;
    if (price.lethal) {
      if (lethal_sum > 0.0) fault.cost += lost * fault.shows / lethal_sum;
    } else if (price.default_keep) {
      if (default_sum > 0.0) fault.cost += not_kept * fault.shows / default_sum;
    } else {
      fault.cost += lives * fault.shows * chances.if_shown[f];
    }
    sum += fault.cost;
  }
  return sum;
}

}  // namespace doewright
