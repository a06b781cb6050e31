// SPDX-License-Identifier: MIT
#include "locus_risk.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>
#include <vector>

#include "locus_records.hpp"

namespace doewright {

namespace {

constexpr double same_point = 1e-12;  // DEFINITIONS 11: points of an interval within that are one

double mean_over(const std::array<double, 9>& value, const JointCopies& joint) {
  return std::inner_product(value.begin(), value.end(), joint.begin(), 0.0);
}

/// The smallest risk whose cumulated probability reaches the share.
double point_of(const std::array<double, 9>& risk, const JointCopies& joint, double share) {
  std::vector<std::pair<double, double>> points;  // risk, probability; those that can be
  for (std::size_t cell = 0; cell < 9; ++cell) {
    if (joint[cell] > 0.0) points.emplace_back(risk[cell], joint[cell]);
  }
  std::sort(points.begin(), points.end());
  double cumulated = 0.0;
  for (std::size_t k = 0; k < points.size(); ++k) {
    cumulated += points[k].second;
    const bool last = k + 1 == points.size();
    if (!last && points[k + 1].first - points[k].first <= same_point) continue;  // one point
    if (last || cumulated >= share - same_point) return points[k].first;
  }
  return 0.0;
}

}  // namespace

KidOfCopies kid_of_copies(const FaultModel& fault, bool x_linked) {
  const Transmission from{x_linked};
  KidOfCopies result;
  for (int sex = 0; sex < 2; ++sex) {
    const auto& shown = sex == 0 ? fault.shown_doe : fault.shown_buck;
    const Copies any = chance_shown(fault, sex);
    auto& affected = sex == 0 ? result.affected_doe : result.affected_buck;
    auto& carrier = sex == 0 ? result.carrier_doe : result.carrier_buck;
    auto& grades = sex == 0 ? result.grades_doe : result.grades_buck;
    if (shown) grades.assign(fault.grades.size(), {});
    for (int i = 0; i < 3; ++i) {
      for (int j = 0; j < 3; ++j) {
        const auto cell = static_cast<std::size_t>(3 * i + j);
        for (int k = 0; k < 3; ++k) {
          const auto copies = static_cast<std::size_t>(k);
          const double chance = from.kid(k, i, j, sex);
          affected[cell] += chance * any[copies];
          if (k > 0) carrier[cell] += chance * (1.0 - any[copies]);
          for (std::size_t g = 0; g < grades.size(); ++g) {
            if (copies < shown->rows.size()) grades[g][cell] += chance * shown->rows[copies][g];
          }
        }
      }
    }
  }
  for (std::size_t cell = 0; cell < 9; ++cell) {
    result.affected[cell] = 0.5 * (result.affected_doe[cell] + result.affected_buck[cell]);
  }
  return result;
}

KidRisk risk_of_joint(const KidOfCopies& kid, const JointCopies& joint, double litter) {
  KidRisk risk;
  risk.joint = joint;
  risk.affected = mean_over(kid.affected, joint);
  risk.affected_doe = mean_over(kid.affected_doe, joint);
  risk.affected_buck = mean_over(kid.affected_buck, joint);
  risk.affected_low = point_of(kid.affected, joint, 0.05);
  risk.affected_high = point_of(kid.affected, joint, 0.95);
  risk.carrier_doe = mean_over(kid.carrier_doe, joint);
  risk.carrier_buck = mean_over(kid.carrier_buck, joint);
  risk.carrier = 0.5 * (*risk.carrier_doe + *risk.carrier_buck);
  for (const auto& grade : kid.grades_doe) risk.grades_doe.push_back(mean_over(grade, joint));
  for (const auto& grade : kid.grades_buck) risk.grades_buck.push_back(mean_over(grade, joint));
  for (std::size_t cell = 0; cell < 9; ++cell) {
    if (joint[cell] <= 0.0) continue;
    const double none = std::pow(std::max(0.0, 1.0 - kid.affected[cell]), litter);
    risk.any_in_litter += joint[cell] * (1.0 - none);
  }
  return risk;
}

}  // namespace doewright
