// SPDX-License-Identifier: MIT
#pragma once
/// What a kid may show or carry of a fault, and how sure that is, given everything the herd book says.
#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/faults/kid_risk.hpp>
#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/kinship/kinship.hpp>

namespace doewright {

struct FaultOptions {
  bool with_told = false;   ///< Take in counts that are an owner's word.
  std::uint64_t seed = 1;   ///< Of the sampler, where exactness is out of reach, and of draws.
  /// Exact elimination holds at most so many numbers (8 bytes each); beyond: sampled. 40 million are
  /// reached at a width of about 14.
  double most_entries = 4e7;
};

/// What is known of one animal for one fault.
struct AnimalFault {
  /// Locus: chance of 0, 1, 2 copies (a buck of an X-linked locus: 0 or 1).
  std::optional<std::array<double, 3>> copies;
  std::optional<double> liability_mean, liability_sd;  ///< Threshold: of the additive part.
  /// Chance that it shows the fault, its own examination included: 1 if found. 0 in a sex in which
  /// it is not scored.
  double shows = 0.0;
  Method method = Method::exact;
  double standard_error = 0.0;  ///< Of `shows` and the copies, the largest.
  /// Sampled: so many independent draws tell as much (of the chance with that error).
  std::optional<double> effective_draws;
};

enum class EvidenceKind : std::uint8_t {
  look,         ///< It was looked at.
  alive,        ///< It lived past an age at which the fault has killed.
  died,         ///< It died before that age.
  gene_test,
  count,        ///< Kids elsewhere.
  dead_kids,    ///< Kids of a kidding without a row that died.
  living_kids,  ///< Kids of a kidding without a row that lived.
};

/// One record that moved a probability.
struct EvidenceEffect {
  EvidenceKind kind = EvidenceKind::look;
  Animal animal;             ///< Whose record it is; of a count the sire, of a kidding the doe.
  std::vector<Row> rows;
  bool told = false;
  /// With it, less without it: of the chance of carrying (one copy at least), or of the liability's
  /// mean. Effects do not add up: records repeat each other.
  double effect = 0.0;
};

/// Worlds drawn from the joint posterior: row = world; columns as asked.
struct FaultWorlds {
  Grid<std::uint8_t> copies;    ///< Locus.
  Grid<double> liabilities;     ///< Threshold: a, or mu + a where the incidence is uncertain.
};

struct FaultFitState;

/// One fault of one herd. Immutable; const calls are safe from any number of threads.
///
/// One locus: exact while the tables fit (`Method::exact`), else sampled with its standard error; never
/// propagation of single animals' chances, which is wrong for pairs. Many genes: expectation
/// propagation (`approximate`). Both from ALL records at once: looks, tests, counts, survival. An
/// animal that nobody looked at changes nothing.
/// Source: DEFINITIONS 3 to 5; Elston and Stewart (1971), Hum. Hered. 21:523; Lauritzen and
/// Spiegelhalter (1988); Minka (2001), UAI 17:362.
class DOEWRIGHT_EXPORT FaultFit {
 public:
  FaultIndex fault() const noexcept;

  /// False: the records contradict each other, and no probability can be given.
  bool possible() const noexcept;
  /// Records of which no one can be left out without the contradiction going away. Empty if possible.
  const std::vector<EvidenceEffect>& contradiction() const noexcept;
  /// Threshold with unwanted grades at both ends: animals found with the fault of which nobody said at
  /// which end, beyond the five (most related to each other) of which both ends are tried. From the first
  /// on its chances are rougher than Method::approximate promises: by 0.04 after one such look, 0.1 after
  /// four among the kids of one pair (tests/faults/test_threshold_sides.cpp).
  std::size_t ends_unsaid() const noexcept;
  /// Is there a count told by an owner, so that `with_told` makes a difference.
  bool has_told() const noexcept;

  /// All calls: \pre possible(); \throws UsageError if an animal is not in the herd, or not possible().
  std::vector<AnimalFault> animals(std::span<const Animal> animals, const Run& run = {}) const;

  /// Row sire, column doe; litter[d]: kids born to doe d, a real exponent.
  Grid<KidRisk> kids(std::span<const Animal> sires, std::span<const Animal> does,
                     std::span<const double> litter, const Run& run = {}) const;

  /// Is nothing known of a sire that is not known of any buck of his breed? `risk` is his with any doe,
  /// by kids(); `inbreeding` his F. One locus: his chance of carrying is a founder's (with that F) within
  /// 2 % of it and the sampler's error. Many genes: evidence has moved his liability by less than a
  /// twentieth of its spread, and narrowed it by less than 2 %. Not a statement on looks: kin far away may
  /// have been looked at, and tell next to nothing, or much.
  bool as_any_buck(Animal sire, double inbreeding, const KidRisk& risk) const;

  /// Locus: what a kid of parents with known copies is. Empty: a threshold fault.
  std::optional<KidOfCopies> of_copies() const;

  /// `draws` worlds: columns are these animals. Cost: one pass a world.
  FaultWorlds worlds(std::span<const Animal> animals, std::size_t draws,
                     const Run& run = {}) const;

  /// For each animal the ten nearest records (steps between parent and kid) that moved its chance, the
  /// largest effect first. Empty lists, and `too_many` set, where that would take too long.
  std::vector<std::vector<EvidenceEffect>> evidence(std::span<const Animal> animals,
                                                    bool& too_many, const Run& run = {}) const;

 private:
  friend std::vector<FaultFit> fit_faults(const Herd&, const Kinship&, const EvidenceIndex&,
                                          const FaultOptions&, const Run&);
  friend std::vector<FaultFit> fit_loci(const Herd&, const EvidenceIndex&, const FaultOptions&,
                                        const Run&);
  std::shared_ptr<const FaultFitState> state_;
};

/// One fit for each fault in use, in the order of herd.faults; signs of one gene share their work. The
/// herd must outlive the fits.
DOEWRIGHT_EXPORT std::vector<FaultFit> fit_faults(const Herd& herd, const Kinship& kinship,
                                                  const EvidenceIndex& evidence,
                                                  const FaultOptions& options = {},
                                                  const Run& run = {});

/// The faults of one gene alone, in the order of herd.faults.
DOEWRIGHT_EXPORT std::vector<FaultFit> fit_loci(const Herd& herd, const EvidenceIndex& evidence,
                                                const FaultOptions& options = {},
                                                const Run& run = {});

}  // namespace doewright
