// SPDX-License-Identifier: MIT
#pragma once
/// One threshold fault, fitted once for a herd: what is known of everybody's liability, and the
/// risk of any pair.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>
#include <doewright/faults/kid_risk.hpp>
#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/kinship/kinship.hpp>

#include "threshold_evidence.hpp"

namespace doewright {

struct ThresholdOptions {
  bool with_told = false;  ///< Take in kid_counts that are an owner's word.
  std::size_t most_ends = 5;  ///< Animals found without the end of which both ends are tried.
};

struct ThresholdState;

/// Posterior of all liabilities given every look and count (DEFINITIONS 4), by expectation
/// propagation on the animals with evidence and their ancestors; animals that nobody looked at
/// change nothing, to the last bit, unless they are ancestors of one that was looked at. Litter
/// mates are independent given their parents. Immutable, cheap to copy; const calls are safe from
/// any number of threads.
///
/// Where the wanted grade is a middle one, an animal found with the fault, at which end nobody said, has
/// a liability of two peaks, which one normal distribution fits badly. So both ends are tried: up to
/// `most_ends` such animals, every combination a fit of its own, weighed by how likely it makes all
/// evidence. The rest (the least related to each other) stay two-peaked: see sides_unknown().
///
/// Accuracy  risks within 0.005 of the exact ones (tests/faults/test_threshold_*.cpp), but for the
///           records that sides_unknown() counts.
/// Cost      a sparse factorisation and its selected inverse a round, some 10 to 40 rounds; times 2
///           for each animal whose end is tried.
class ThresholdFit {
 public:
  /// \throws UsageError if there is no such fault, it is no threshold fault, its heritability is
  /// not
  ///         in (0, 1) or it has no incidence for every border; Cancelled, LimitError.
  /// `herd` and `evidence` are not kept.
  ThresholdFit(const Herd& herd, FaultIndex fault, const Kinship& kinship,
               const EvidenceIndex& evidence, ThresholdOptions options, const Run& run = {});

  /// Of the additive part a, without mu. `shows`: chance that the animal is, or would be found, in
  /// an unwanted grade, its own examination included; 1 if found. Not a chance for its kids.
  struct LiabilityOf {
    double mean = 0.0, sd = 0.0;
    double shows = 0.0;
  };
  /// All calls: \throws UsageError if an animal is not of the pedigree.
  LiabilityOf of(Animal animal) const;
  std::vector<LiabilityOf> of(std::span<const Animal> animals, const Run& run = {}) const;

  /// Row sire, column doe; litter[d]: kids born of doe d, a real exponent, at least 0.
  /// \throws UsageError if `litter` has not one entry a doe.
  Grid<KidRisk> kids(std::span<const Animal> sires, std::span<const Animal> does,
                     std::span<const double> litter, const Run& run = {}) const;

  /// Joint worlds of a (where the incidence is uncertain: of mu + a): row = world, column = animal.
  /// World w of a seed is the same for any number of draws. One call, one joint distribution: ask
  /// for all animals at once.
  Grid<double> draw(std::span<const Animal> animals, std::size_t draws, std::uint64_t seed) const;

  /// Has evidence moved the animal's a by less than a twentieth of its prior spread, and narrowed it by
  /// less than 2 %?
  bool hardly_touched(Animal animal) const;

  /// Every piece of evidence: animals looked at in pedigree order, then counts in order of the
  /// file.
  std::span<const ThresholdSite> sites() const noexcept;

  /// What taking one site out would change, to first order: its factor is removed, the others stay.
  /// One number a site, new less old: of the posterior mean of the animal's a; of its `shows`; of
  /// the pair's `affected`. (Where both ends are tried: the mean over them.)
  std::vector<double> removal_effect(Animal asked) const;
  std::vector<double> removal_effect_on_shows(Animal asked) const;
  std::vector<double> removal_effect(Pairing pairing) const;

  std::size_t liabilities() const noexcept;  ///< Of how many one distribution is.
  bool converged() const noexcept;  ///< False: the factors of the last round stand (ep_fit.hpp).
  int rounds() const noexcept;
  /// Animals found with a fault whose wanted grade is a middle one, at which end nobody said, beyond
  /// those of which both ends were tried. From the first on the risk of a pair with k such kids missed
  /// the exact one by 0.0053, 0.028, 0.064 and 0.10 for k = 1 to 4 in a case with uncertain incidence,
  /// by 0.006, 0.017 and 0.035 for k = 2 to 4 with a known one (tests/faults/test_threshold_sides.cpp).
  std::size_t sides_unknown() const noexcept;
  const ThresholdScale& scale() const noexcept;

 private:
  /// One normal distribution, and its chance.
  struct Part {
    std::shared_ptr<const ThresholdState> state;
    double weight = 1.0;
  };
  const ThresholdState& first() const noexcept { return *parts_.front().state; }
  template <class Effects>
  std::vector<double> over_parts(Effects effects) const;

  std::vector<Part> parts_;
  std::size_t sides_unknown_ = 0;
};

}  // namespace doewright
