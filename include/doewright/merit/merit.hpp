// SPDX-License-Identifier: MIT
#pragma once
/// Breeding values of a herd's animals by best linear unbiased prediction (BLUP, animal model),
/// with the reliability of every one and joint draws of the true ones.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/merit/mixed_model.hpp>

namespace doewright {

struct MeritOptions {
  /// Animals up to which everything is exact. Beyond, or where relationships are so tangled that
  /// the factor would be too big, equations are iterated and reliabilities are estimates.
  std::size_t exact_up_to = 30'000;
  std::uint64_t seed = 1;                 ///< Of the estimated reliabilities.
  std::size_t reliability_samples = 100;  ///< Of the same; each costs one solution. At least 2.
  double tolerance = 1e-12;               ///< Of the iteration, see MixedModelOptions.
};

/// One level of a fixed effect.
struct FixedEstimate {
  TraitIndex trait = 0;
  std::string effect;  ///< "mean", or a word of Trait::fixed.
  std::string level;  ///< Empty: not recorded; of the mean and of age_days (a change a day) always.
  double estimate = 0.0;
  std::size_t records = 0;   ///< 1: the record tells nothing but this level.
  bool set_to_zero = false;  ///< The constraint: others are differences from it.
};

/// Variances of a trait as used, in its unit squared.
struct TraitVariances {
  TraitIndex trait = 0;
  double va = 0.0;  ///< Additive genetic, of an animal with F = 0.
  double vm = 0.0;  ///< Maternal genetic.
  double direct_maternal_covariance = 0.0;
  double vpe = 0.0;      ///< Permanent environment of repeated records.
  double vlitter = 0.0;  ///< Common environment of a litter.
  double ve = 0.0;       ///< The rest.
  double per_percent_inbreeding = 0.0;
};

/// What a keeper should know of a fit.
enum class MeritRemark : std::uint8_t {
  no_records,          ///< Of this trait: every value is 0, or comes from correlated traits alone.
  no_variance,         ///< Heritability or deviation is 0: every value is 0.
  correlations_apart,  ///< The correlations cannot hold together with the maternal ones: left out.
  nearly_one,          ///< Correlations of 1 or -1 were taken as 0.999 of that.
  not_converged,       ///< The iteration ended early: values are not final.
};
struct MeritNote {
  MeritRemark remark = MeritRemark::no_records;
  TraitIndex trait = 0;
};

/// Breeding values of one trait, or of several that are correlated and so analysed together.
/// Immutable, cheap to copy, const calls are safe from any number of threads.
///
/// The model (DEFINITIONS 6): record - b 100 F = mean + fixed effects + breeding value + permanent
/// environment (repeated records) + litter (animals born in one litter) + the dam's maternal value
/// + rest. Fixed effects are used exactly as written; a blank level is a level of its own. An
/// unknown dam's maternal value is that of an unrelated dam who kidded nobody else. Uncertain sires
/// enter by their chances (average relationships). `sex` is the recorded one.
///
/// A breeding value is the deviation from the founders' mean in the trait's unit: the animal's own,
/// not what it transmits (half of it), and the effect of its own inbreeding is not in it.
///
/// Source: Henderson (1975), Biometrics 31:423; (1976), Biometrics 32:69; (1988), J. Anim. Sci.
/// 66:1614. Accuracy: exact method within 1e-8 of dense matrices (tests/merit).
class DOEWRIGHT_EXPORT MeritFit {
 public:
  /// \throws UsageError: no trait, one twice or not there, another pedigree than the herd's,
  /// variances
  ///         that leave nothing for the rest; LimitError, Cancelled.
  MeritFit(const Herd& herd, std::vector<TraitIndex> traits, const Kinship& kinship,
           const MeritOptions& options = {}, const Run& run = {});

  struct Value {
    double breeding_value = 0.0;
    double reliability = 0.0;  ///< 0..1: 1 - PEV / ((1 + F) VA). Not the accuracy, its square.
    /// Some group with a record of its own holds a record of kin of another group (of this trait).
    /// False without a record: what is predicted then rests on kin alone.
    bool linked = false;
    bool recorded = false;        ///< It has a record of this trait itself.
    double reliability_se = 0.0;  ///< Standard error where reliabilities are estimated; else 0.
  };

  std::span<const TraitIndex> traits() const noexcept;  ///< In the order given.
  /// \throws UsageError, all calls: an animal or a trait that is not in the fit.
  Value of(Animal animal, TraitIndex trait) const;
  std::vector<Value> of(std::span<const Animal> animals, TraitIndex trait) const;
  /// The value an animal has as a dam, for her kids; empty where the trait has no maternal effect.
  std::optional<Value> maternal(Animal animal, TraitIndex trait) const;
  std::size_t records(TraitIndex trait) const;

  std::span<const FixedEstimate> effects() const noexcept;
  std::span<const TraitVariances> variances() const noexcept;  ///< In the order of traits().
  std::span<const MeritNote> notes() const noexcept;
  MeritMethod method() const noexcept;

  /// Prediction error covariance (posterior covariance of the true values). Rows and columns:
  /// animal by animal, within it trait by trait. Cost: a solution an animal and trait.
  Grid<double> error_covariance(std::span<const Animal> animals, const Run& run = {}) const;

  /// Draws from the joint posterior of true breeding values: a row a draw, columns as in
  /// error_covariance. Draw k depends on the seed, k and the animals asked for, not on `draws`.
  Grid<double> draw(std::span<const Animal> animals, std::size_t draws, std::uint64_t seed,
                    const Run& run = {}) const;

 private:
  struct State;
  std::shared_ptr<const State> state_;
};

/// Merit in money, for a kid's two fates: the sum over traits of value_keep (value_meat) x breeding
/// value. Of the animal itself: half of it goes to a kid.
struct MeritIndex {
  double keep = 0.0;
  double meat = 0.0;
};
/// \throws UsageError: no such animal. Cost: one look-up a trait.
DOEWRIGHT_EXPORT MeritIndex merit_index(const Herd& herd, std::span<const MeritFit> fits,
                                        Animal animal);

/// One fit for every group of traits joined by correlations; traits with use = true. In the order
/// of their first traits.
DOEWRIGHT_EXPORT std::vector<MeritFit> fit_merit(const Herd& herd, const Kinship& kinship,
                                                 const MeritOptions& options = {},
                                                 const Run& run = {});

}  // namespace doewright
