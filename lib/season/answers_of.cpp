// SPDX-License-Identifier: MIT
#include "answers_of.hpp"

#include <array>
#include <cmath>

#include <doewright/core/normal.hpp>
#include <doewright/herd/evidence.hpp>

namespace doewright {

namespace {

std::vector<double> binomial(unsigned n, double p) {
  std::vector<double> chances;
  double ways = 1.0;
  for (unsigned k = 0; k <= n; ++k) {
    chances.push_back(ways * std::pow(p, k) * std::pow(1.0 - p, n - k));
    ways *= static_cast<double>(n - k) / (k + 1.0);
  }
  return chances;
}

void add(std::vector<double>& to, double weight, const std::vector<double>& chances) {
  to.resize(chances.size(), 0.0);
  for (std::size_t i = 0; i < chances.size(); ++i) to[i] += weight * chances[i];
}

/// Frequency of the fault allele among unknown dams of his kids: that of his breed.
double frequency_for(const Herd& herd, const FaultModel& model, Animal sire) {
  const FaultModel* gene = &model;
  for (const FaultModel& other : herd.faults) {
    if (!model.same_locus_as.empty() && other.key == model.same_locus_as) gene = &other;
  }
  return by_breed(gene->allele_frequency, breed_shares(herd)[sire.position],
                  herd.animals.breed_names);
}

/// A kid of one gene out of an unknown dam, by the copies of the sire.
std::array<double, 3> found_by_copies(const Herd& herd, const Genetics& genetics,
                                      const FaultModel& model, std::size_t f, Animal sire) {
  const KidOfCopies kid = *genetics.faults[f].of_copies();
  const double q = frequency_for(herd, model, sire);
  const std::array<double, 3> dam = {(1.0 - q) * (1.0 - q), 2.0 * q * (1.0 - q), q * q};
  const bool does = !kid.grades_doe.empty(), bucks = !kid.grades_buck.empty();
  std::array<double, 3> found{};
  for (std::size_t s = 0; s < 3; ++s) {
    for (std::size_t d = 0; d < 3; ++d) {
      const double doe = kid.affected_doe[3 * s + d], buck = kid.affected_buck[3 * s + d];
      found[s] += dam[d] * (does && bucks ? 0.5 * (doe + buck) : does ? doe : buck);
    }
  }
  return found;
}

/// The liability of a kid out of an unknown dam, and what of it counts as found.
struct KidLiability {
  double mean = 0.0, sd = 1.0;  ///< Of the sire's additive part.
  double kid_sd = 1.0;          ///< Of the kid's given it.
  std::array<std::vector<double>, 2> thresholds;
  std::size_t wanted = 0;

  double unwanted(double additive) const {
    double sum = 0.0;
    for (const std::vector<double>& borders : thresholds) {
      const auto below = [&](std::size_t border) {
        return normal_below((borders[border] - 0.5 * additive) / kid_sd);
      };
      const double low = wanted == 0 ? 0.0 : below(wanted - 1);
      const double high = wanted == borders.size() ? 1.0 : below(wanted);
      sum += 0.5 * (1.0 - (high - low));
    }
    return sum;
  }
};

KidLiability kid_liability(const Herd& herd, const Genetics& genetics, const PairingTable& table,
                           std::size_t sire, std::size_t f) {
  const FaultModel& model = herd.faults[table.faults[f]];
  const Animal buck = table.sires[sire].offer.sire;
  const AnimalFault his = genetics.faults[f].animals({&buck, 1}).front();
  KidLiability kid{.mean = his.liability_mean.value_or(0.0),
                   .sd = his.liability_sd.value_or(0.0),
                   .thresholds = {},
                   .wanted = model.wanted};
  for (const PairingAccount& pair : table.does.front().sires) {
    if (pair.offer != sire) continue;
    kid.thresholds = {pair.faults[f].risk.liabilities->threshold_doe,
                      pair.faults[f].risk.liabilities->threshold_buck};
  }
  const double h2 = model.heritability;
  double incidence = 0.0;  // variance of it, on the scale of liability
  if (model.incidence_worth && !model.incidence_above.empty()) {
    const double plain = normal_quantile(1.0 - model.incidence_above.front());
    const double scaled = kid.thresholds[0].empty() ? plain : kid.thresholds[0].front();
    if (plain != 0.0) incidence = std::max(0.0, scaled * scaled / (plain * plain) - 1.0);
  }
  kid.kid_sd =
      std::sqrt(1.0 - h2 / 4.0 - h2 * genetics.kinship.inbreeding_of(buck) / 4.0 + incidence);
  return kid;
}

}  // namespace

std::vector<double> answers_of_test(const Herd& herd, const Genetics& genetics,
                                    const PairingTable& table, std::size_t sire, std::size_t f) {
  const FaultModel& model = herd.faults[table.faults[f]];
  const Animal buck = table.sires[sire].offer.sire;
  const std::array<double, 3> copies = genetics.faults[f]
                                           .animals({&buck, 1})
                                           .front()
                                           .copies.value_or(std::array<double, 3>{1, 0, 0});
  const double e = model.test_error;
  if (model.inheritance == Inheritance::x_linked) {
    return {copies[0] * (1.0 - e) + copies[1] * e, copies[0] * e + copies[1] * (1.0 - e)};
  }
  return {copies[0] * (1.0 - e) + copies[1] * e / 2.0,
          (copies[0] + copies[2]) * e + copies[1] * (1.0 - e),
          copies[2] * (1.0 - e) + copies[1] * e / 2.0};
}

std::vector<double> answers_of_kids(const Herd& herd, const Genetics& genetics,
                                    const PairingTable& table, std::size_t sire, std::size_t f,
                                    unsigned kids) {
  const FaultModel& model = herd.faults[table.faults[f]];
  const Animal buck = table.sires[sire].offer.sire;
  const double seen = detection_at(model, std::nullopt);
  std::vector<double> answers;
  if (model.kind == FaultKind::locus) {
    const auto copies = genetics.faults[f].animals({&buck, 1}).front().copies;
    const std::array<double, 3> found = found_by_copies(herd, genetics, model, f, buck);
    for (std::size_t c = 0; c < 3; ++c) {
      add(answers, copies ? (*copies)[c] : c == 0 ? 1.0 : 0.0, binomial(kids, seen * found[c]));
    }
    return answers;
  }
  const KidLiability kid = kid_liability(herd, genetics, table, sire, f);
  constexpr int steps = 60;  // of a tenth of a deviation on either side
  double total = 0.0;
  for (int i = -steps; i <= steps; ++i) total += normal_density(i / 10.0);
  for (int i = -steps; i <= steps; ++i) {
    const double p = seen * kid.unwanted(kid.mean + kid.sd * i / 10.0);
    add(answers, normal_density(i / 10.0) / total, binomial(kids, p));
  }
  return answers;
}

}  // namespace doewright
