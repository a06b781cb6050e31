// SPDX-License-Identifier: MIT
#include <doewright/faults/proving.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <doewright/core/errors.hpp>

#include "locus_records.hpp"

namespace doewright {

namespace {

constexpr std::uint32_t most_kids = 100'000;
constexpr std::array mates = {ProvingMate::affected, ProvingMate::carrier,
                              ProvingMate::own_daughter, ProvingMate::random_doe,
                              ProvingMate::clear_doe};

/// Copies of a mate: P(0), P(1), P(2).
Copies mate_copies(const FaultModel& fault, const Transmission& from, std::uint8_t sire,
                   ProvingMate mate, double q) {
  Copies result{};
  switch (mate) {
    case ProvingMate::affected:
      return {0.0, 0.0, 1.0};
    case ProvingMate::carrier:
      return {0.0, 1.0, 0.0};
    case ProvingMate::own_daughter:
      for (int k = 0; k < 3; ++k) result[static_cast<std::size_t>(k)] = from.kid(k, sire, 0, 0);
      return result;
    case ProvingMate::random_doe:
    case ProvingMate::clear_doe:
      for (int k = 0; k < 3; ++k) result[static_cast<std::size_t>(k)] = from.founder(k, q, 0);
      break;
  }
  if (mate == ProvingMate::clear_doe) {
    const Copies shown = chance_shown(fault, 0);
    double sum = 0.0;
    for (std::size_t k = 0; k < 3; ++k) sum += result[k] *= 1.0 - shown[k];
    for (double& p : result) p /= sum;
  }
  return result;
}

/// Smallest n with carries(n) <= limit; carries falls with n where proving works at all.
template <class Carries>
std::optional<std::uint32_t> smallest(Carries carries, double limit) {
  if (carries(0) <= limit) return 0;
  if (!(carries(most_kids) <= limit)) return std::nullopt;
  std::uint32_t low = 0, high = most_kids;
  while (high - low > 1) {
    const std::uint32_t middle = low + (high - low) / 2;
    (carries(middle) <= limit ? high : low) = middle;
  }
  return high;
}

}  // namespace

std::string_view word(ProvingMate mate) noexcept {
  switch (mate) {
    case ProvingMate::affected:
      return "affected doe";
    case ProvingMate::carrier:
      return "carrier doe";
    case ProvingMate::own_daughter:
      return "own daughter";
    case ProvingMate::random_doe:
      return "any doe";
    case ProvingMate::clear_doe:
      return "clear doe";
  }
  return "";
}

double clear_kid_probability(const FaultModel& fault, std::uint8_t copies, ProvingMate mate,
                             double frequency) {
  const Transmission from{fault.inheritance == Inheritance::x_linked};
  const Copies doe = mate_copies(fault, from, copies, mate, frequency);
  double clear = 0.0;
  double sexes = 0.0;
  for (int sex = 0; sex < 2; ++sex) {
    if (!(sex == 0 ? fault.shown_doe : fault.shown_buck)) continue;
    const Copies shown = chance_shown(fault, sex);
    sexes += 1.0;
    for (int d = 0; d < 3; ++d) {
      for (int k = 0; k < 3; ++k) {
        clear += doe[static_cast<std::size_t>(d)] * from.kid(k, copies, d, sex) *
                 (1.0 - shown[static_cast<std::size_t>(k)]);
      }
    }
  }
  return sexes > 0.0 ? clear / sexes : 1.0;
}

Proof prove(const Herd& herd, const FaultFit& fit, Animal sire, const Run& run) {
  const FaultModel& fault = herd.faults[fit.fault()];
  Proof proof;
  if (fault.kind != FaultKind::locus) return proof;
  const std::vector<Animal> asked = {sire};
  const AnimalFault known = fit.animals(asked, run).front();
  const std::array<double, 3> now = known.copies.value();
  proof.prior = now[1] + now[2];
  const Locus locus = locus_of(herd, fit.fault());
  const double q = allele_frequencies(herd, locus)[sire.position];
  const FaultModel& base = herd.faults[locus.base];
  FaultModel sign = fault;  // a sign is inherited as its gene
  sign.inheritance = base.inheritance;

  for (const ProvingMate mate : mates) {
    std::array<double, 3> clear{};
    for (std::uint8_t k = 0; k < 3; ++k) clear[k] = clear_kid_probability(sign, k, mate, q);
    // In units of the likeliest, so that the powers of many kids do not all vanish.
    double likeliest = 0.0;
    for (std::size_t k = 0; k < 3; ++k) likeliest = now[k] > 0.0 ? std::max(likeliest, clear[k]) : likeliest;
    const auto carries = [&](std::uint32_t kids) {
      const auto all_clear = [&](std::size_t k) {
        return likeliest > 0.0 ? now[k] * std::pow(clear[k] / likeliest, kids) : 0.0;
      };
      const double none = all_clear(0);
      const double some = all_clear(1) + all_clear(2);
      return none + some > 0.0 ? some / (none + some) : 1.0;
    };
    const auto classical = [&](std::uint32_t kids) { return std::pow(clear[1], kids); };
    for (const double level : {0.95, 0.99}) {
      ProvingGoal goal{mate, level, {}, {}};
      const double limit = (1.0 - level) * (1.0 + 1e-12);
      if (clear[1] < clear[0] || *proof.prior <= limit) goal.kids = smallest(carries, limit);
      if (clear[1] < 1.0) goal.kids_classical = smallest(classical, limit);
      proof.mates.push_back(goal);
    }
  }
  const CopiesBySex reads_clear = likelihood_of_test(sign, 0);
  double sum = 0.0;
  double some = 0.0;
  for (int k = 0; k < 3; ++k) {
    const double p = now[static_cast<std::size_t>(k)] * at(reads_clear, 1, k);
    sum += p;
    if (k > 0) some += p;
  }
  proof.before = proof.prior;
  if (sum > 0.0) proof.after_clear = some / sum;
  return proof;
}

}  // namespace doewright
