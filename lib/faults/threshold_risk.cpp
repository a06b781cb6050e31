// SPDX-License-Identifier: MIT
// p is a function of one scalar, x = mu + (a_s + a_d)/2, which is normal, or one of a few normals: every
// chance is a closed form or an integral over x alone.
#include "threshold_risk.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <doewright/core/normal.hpp>

#include "threshold_normal.hpp"

namespace doewright {

namespace {

struct KidLiability {
  struct Part {
    double weight, mean, var;  ///< Of x.
  };
  std::vector<Part> parts;
  double mean = 0.0, var = 0.0;  ///< Over all parts.
  double rest_var = 0.0;

  /// P(mean + sd from < x < mean + sd to).
  double between(double from, double to) const {
    if (parts.size() == 1) return normal_between(from, to);
    const double sd = std::sqrt(var);
    double sum = 0.0;
    for (const Part& part : parts) {
      const double own = std::sqrt(part.var);
      sum += part.weight * normal_between((mean + sd * from - part.mean) / own,
                                          (mean + sd * to - part.mean) / own);
    }
    return sum;
  }
};

KidLiability kid_of(std::span<const WeightedParents> mixture) {
  KidLiability kid;
  for (const auto& [weight, parents] : mixture) {
    const double var = (parents.sire_var + parents.doe_var + 2.0 * parents.cov) / 4.0;
    kid.parts.push_back({weight, (parents.sire_mean + parents.doe_mean) / 2.0, std::max(0.0, var)});
    kid.rest_var = parents.rest_var;
  }
  if (kid.parts.size() == 1) {
    kid.mean = kid.parts[0].mean;
    kid.var = kid.parts[0].var;
    return kid;
  }
  for (const auto& part : kid.parts) kid.mean += part.weight * part.mean;
  for (const auto& part : kid.parts) {
    kid.var += part.weight * (part.var + (part.mean - kid.mean) * (part.mean - kid.mean));
  }
  return kid;
}

/// f of every part's mean and whole variance, by weight.
template <class Function>
double over_parts(const KidLiability& kid, Function f) {
  if (kid.parts.size() == 1) return f(kid.mean, kid.var);
  double sum = 0.0;
  for (const auto& part : kid.parts) sum += part.weight * f(part.mean, part.var);
  return sum;
}

/// p(x), the mean of doe and buck kids.
double risk_at(const ThresholdScale& scale, double x, double rest_var) {
  return scale.unwanted(LiabilitySex::either, x, rest_var);
}

/// E[(1 - p)^m] by the trapezoidal rule in standard units of x: the integrand is smooth on the
/// scale of sd or wider, so steps of a quarter leave nothing (test: halving them changes nothing).
double none_in_litter(const ThresholdScale& scale, double mean, double var, double rest_var,
                      double litter) {
  constexpr int steps = 36;  // a quarter each, to 9 sd on both sides
  const double sd = std::sqrt(var);
  double sum = 0.0, weights = 0.0;
  for (int i = -steps; i <= steps; ++i) {
    const double z = 0.25 * i;
    const double weight = normal_density(z);
    const double clear = std::max(0.0, 1.0 - risk_at(scale, mean + sd * z, rest_var));
    sum += weight * std::pow(clear, litter);
    weights += weight;
  }
  return sum / weights;
}

/// P(p(x) <= level) where p is not monotone: the parts of the z axis where it holds, between
/// crossings.
class RiskDistribution {
 public:
  RiskDistribution(const ThresholdScale& scale, const KidLiability& kid)
      : scale_(scale), kid_(kid), sd_(std::sqrt(kid.var)) {
    for (int i = -steps; i <= steps; ++i) at_.push_back(risk(step * i));
  }

  double point(double share) const {
    double low = *std::min_element(at_.begin(), at_.end());
    double high = *std::max_element(at_.begin(), at_.end());
    low = std::max(0.0, low - (high - low));  // the least p may lie between grid points
    for (int k = 0; k < 60; ++k) {
      const double middle = (low + high) / 2.0;
      (below(middle) < share ? low : high) = middle;
    }
    return (low + high) / 2.0;
  }

 private:
  static constexpr int steps = 400;
  static constexpr double step = 0.02, far = 40.0;

  double risk(double z) const { return risk_at(scale_, kid_.mean + sd_ * z, kid_.rest_var); }

  double below(double level) const {
    double sum = at_.front() <= level ? kid_.between(-far, -step * steps) : 0.0;
    for (int i = -steps; i < steps; ++i) {
      const bool left = at_[static_cast<std::size_t>(i + steps)] <= level;
      const bool right = at_[static_cast<std::size_t>(i + 1 + steps)] <= level;
      const double from = step * i, to = step * (i + 1);
      if (left && right) sum += kid_.between(from, to);
      if (left != right) {
        const double edge = crossing(from, to, level, left);
        sum += left ? kid_.between(from, edge) : kid_.between(edge, to);
      }
    }
    return at_.back() <= level ? sum + kid_.between(step * steps, far) : sum;
  }

  double crossing(double from, double to, double level, bool left_is_below) const {
    for (int k = 0; k < 40; ++k) {
      const double middle = (from + to) / 2.0;
      ((risk(middle) <= level) == left_is_below ? from : to) = middle;
    }
    return (from + to) / 2.0;
  }

  const ThresholdScale& scale_;
  const KidLiability& kid_;
  double sd_;
  std::vector<double> at_;
};

/// A root of f between `from` and `to`, where it changes sign: false position, the Illinois way
/// (Dowell and Jarratt 1971, BIT 11:168, from memory), to 1e-13 of the axis.
template <class Function>
double root_between(double from, double to, Function f) {
  double at_from = f(from), at_to = f(to);
  if (at_from == 0.0) return from;
  if (at_to == 0.0 || (at_from > 0.0) == (at_to > 0.0)) return to;
  for (int k = 0; k < 100 && std::abs(to - from) > 1e-13; ++k) {
    const double middle = to - at_to * (to - from) / (at_to - at_from);
    const double at_middle = f(middle);
    if (at_middle == 0.0) return middle;
    if ((at_middle > 0.0) != (at_to > 0.0)) {
      from = to;
      at_from = at_to;
    } else {
      at_from /= 2.0;
    }
    to = middle;
    at_to = at_middle;
  }
  return to;
}

/// p falls to one lowest point and rises again: the usual shape where the wanted grade is in the middle.
/// Then p <= level between two crossings, and one determines the other.
class Valley {
 public:
  Valley(const ThresholdScale& scale, const KidLiability& kid)
      : scale_(scale), kid_(kid), sd_(std::sqrt(kid.var)) {
    double before = risk(-reach);
    double lowest = before;
    int turns = 0;
    bool falls = true;
    for (int i = 1; i <= 2 * cells; ++i) {
      const double z = -reach + i * reach / cells;
      const double here = risk(z);
      if (here < lowest) {
        lowest = here;
        bottom_ = z;
      }
      if (here > before && falls) {
        falls = false;
        ++turns;
      } else if (here < before && !falls) {
        falls = true;
        ++turns;
      }
      before = here;
    }
    is_one_ = turns == 1 && std::abs(bottom_) < reach;
    if (is_one_) settle_bottom();
  }
  bool is_one() const noexcept { return is_one_; }

  double point(double share) const {
    const double left = root_between(-far, bottom_, [&](double z) {
      return kid_.between(z, right_of(risk(z))) - share;
    });
    return risk(left);
  }

 private:
  static constexpr int cells = 40;
  static constexpr double reach = 8.0, far = 12.0;

  double risk(double z) const { return risk_at(scale_, kid_.mean + sd_ * z, kid_.rest_var); }

  double right_of(double level) const {
    if (risk(far) <= level) return far;
    return root_between(bottom_, far, [&](double z) { return risk(z) - level; });
  }

  /// Golden section around the lowest cell.
  void settle_bottom() {
    constexpr double golden = 0.6180339887498949;
    double low = bottom_ - reach / cells, high = bottom_ + reach / cells;
    for (int k = 0; k < 50; ++k) {
      const double a = high - golden * (high - low), b = low + golden * (high - low);
      if (risk(a) < risk(b)) {
        high = b;
      } else {
        low = a;
      }
    }
    bottom_ = (low + high) / 2.0;
  }

  const ThresholdScale& scale_;
  const KidLiability& kid_;
  double sd_, bottom_ = 0.0;
  bool is_one_ = false;
};

/// The 5 % and 95 % points of p.
void fill_interval(const ThresholdScale& scale, const KidLiability& kid, KidRisk& risk) {
  const double point = normal_quantile(0.95);
  const bool rises = scale.wanted == 0;
  if (!rises && scale.wanted < scale.doe.size() && kid.var > 0.0) {
    const Valley valley(scale, kid);
    if (valley.is_one()) {
      risk.affected_low = valley.point(0.05);
      risk.affected_high = valley.point(0.95);
      return;
    }
    const RiskDistribution distribution(scale, kid);
    risk.affected_low = distribution.point(0.05);
    risk.affected_high = distribution.point(0.95);
    return;
  }
  const double reach = point * std::sqrt(kid.var);
  risk.affected_low = risk_at(scale, kid.mean + (rises ? -reach : reach), kid.rest_var);
  risk.affected_high = risk_at(scale, kid.mean + (rises ? reach : -reach), kid.rest_var);
}

}  // namespace

double kid_rest_variance(double heritability, double f_sire, double f_dam) {
  return heritability / 2.0 * (1.0 - (f_sire + f_dam) / 2.0) + 1.0 - heritability;
}

KidRisk threshold_risk(const ThresholdScale& scale, std::span<const WeightedParents> mixture,
                       double litter) {
  const KidLiability kid = kid_of(mixture);
  const auto grades_of = [&](LiabilitySex sex) {
    std::vector<double> grades(scale.doe.size() + 1, 0.0);
    for (const auto& part : kid.parts) {
      const std::vector<double> one = scale.grades(sex, part.mean, part.var + kid.rest_var);
      for (std::size_t g = 0; g < grades.size(); ++g) grades[g] += part.weight * one[g];
    }
    return grades;
  };
  const auto unwanted = [&](LiabilitySex sex) {
    return over_parts(kid, [&](double mean, double var) {
      return scale.unwanted(sex, mean, var + kid.rest_var);
    });
  };
  KidRisk risk;
  risk.affected_doe = unwanted(LiabilitySex::doe);
  risk.affected_buck = unwanted(LiabilitySex::buck);
  risk.affected = (risk.affected_doe + risk.affected_buck) / 2.0;
  risk.grades_doe = grades_of(LiabilitySex::doe);
  risk.grades_buck = grades_of(LiabilitySex::buck);
  fill_interval(scale, kid, risk);
  risk.any_in_litter = 1.0 - over_parts(kid, [&](double mean, double var) {
    return none_in_litter(scale, mean, var, kid.rest_var, litter);
  });
  ParentLiabilities all;
  all.rest_var = kid.rest_var;
  for (const auto& [weight, parents] : mixture) {
    all.sire_mean += weight * parents.sire_mean;
    all.doe_mean += weight * parents.doe_mean;
  }
  for (const auto& [weight, parents] : mixture) {
    const double sire = parents.sire_mean - all.sire_mean, doe = parents.doe_mean - all.doe_mean;
    all.sire_var += weight * (parents.sire_var + sire * sire);
    all.doe_var += weight * (parents.doe_var + doe * doe);
    all.cov += weight * (parents.cov + sire * doe);
  }
  all.threshold_doe = scale.doe;
  all.threshold_buck = scale.buck;
  risk.liabilities = std::move(all);
  return risk;
}

}  // namespace doewright
