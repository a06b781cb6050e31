// SPDX-License-Identifier: MIT
#pragma once
/// Whose kid, by dates: which of the bucks a doe was with fits the day she kidded. Not DNA, and
/// nothing is written back: the weights are values for the keeper.
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>
#include <doewright/timing/settling.hpp>

namespace doewright {

/// A doe with a buck: a service that was seen (a heat), or a stay in which nobody saw one.
struct SireExposure {
  std::size_t buck = 0;  ///< Index into the list of bucks given beside.
  Date from, to;         ///< Seen: from is the day, to is not looked at.
  bool seen = false;
  std::optional<double> conception = {};  ///< Of a service seen, where it is not the buck's: semen.
};

/// Chances of the bucks, in their order; with `unrecorded` they sum to 1.
struct SireChances {
  std::vector<double> by_buck;
  double unrecorded = 1.0;  ///< A service nobody wrote down.
};

/// The chances of the sires of a litter born on day `kidded`, infertile bucks averaged over: one
/// state a buck, in all that he served and in his semen.
///
/// Weight of buck s = sum over days t of f_s(t) g(kidded - t), g = gestation_chance(). Services
/// seen within 2 days of the first of them are one heat (its bucks share it), each buck on his own
/// first day in it. Without a service seen, f is the settling formula of 21-day cycles. With some:
///   heat i          c_s x product over earlier heats of (1 - c) x product over k >= 1 of
///                   (1 - c(t_1 - 21k)) over stays before the first heat x .05 a later heat
///   before heat 1   c_s(t) / 21 x product over k >= 1 of (1 - c(t - 21k)) x .05 a heat
///   between heats   stays count nothing
///   after heat m    h(t) c_s(t), h(t) = sum over d of h(t-d) (1 - c(t-d)) g21(d), h(t_m) = open
///                   after it, g21 = whole days of N(21, 1.5)
/// A service nobody saw weighs .01/60 of the sum of all f. She kidded, so does that never settle
/// and the share cycling cancel; conception / (1 - never), at most 1, is used. .05: pregnant does
/// that still stand (assumed); .01 and 60 days: assumed.
///
/// \return  No exposure at all, or none that can have led to this day: unrecorded 1 (of the second
///          only as far as its weight is 0).
/// \throws  UsageError, LimitError as conception_days().
/// Accuracy within 1e-12 of enumeration (tests/timing/test_whose.cpp).
DOEWRIGHT_EXPORT SireChances whose_kid(std::span<const BuckOdds> bucks, double never,
                                       std::span<const SireExposure> exposures, Date kidded,
                                       const GestationClass& gestation);

/// One exposure of the book, as it was used.
struct ExposureUsed {
  Animal sire;
  Date from, to;
  ServiceHow how = ServiceHow::unknown;
  bool seen = false;
  double conception = 0.0;  ///< Per heat, by his age on `from` or as written in sires.csv.
  double infertile = 0.0;
  Row row;
};

struct KidSire {
  Animal sire;
  double probability = 0.0;
};

/// The answer for one kid.
struct WhoseKid {
  Animal kid;
  std::optional<Animal> dam;
  std::optional<Date> kidding_day;  ///< Empty: not recorded to the day; then no chances.
  GestationClass gestation;
  std::vector<ExposureUsed> exposures;  ///< Of her dam since the kidding before, at most a year.
  std::vector<KidSire> sires;           ///< Largest first, ties by id; the bucks of `exposures`.
  double unrecorded = 1.0;              ///< With no exposures nothing is known: 1.
};

/// Works out the sires of these kids from services.csv, kiddings.csv and the kids' birth days.
/// kidding_day: the kid's birth, else the one kidding of her dam that its birth year or month
/// allows. A `pen` without a last
/// day was still running at the kidding, or when the buck left the herd; other blanks end on their
/// first day. A buck's chance per heat: sires.csv's `conception` or record if he is on offer, else
/// by his age. \throws UsageError if a kid is not in the book.
DOEWRIGHT_EXPORT std::vector<WhoseKid> whose_kids(const Herd& herd, const Offspring& offspring,
                                                  std::span<const Animal> kids);

/// Kids worth asking for: sire not certain, dam with a service in the year before the birth. By id.
DOEWRIGHT_EXPORT std::vector<Animal> kids_of_uncertain_sire(const Herd& herd);

/// A buck on a given day: as stay_terms(), his age counted on that day, semen as in sires.csv.
DOEWRIGHT_EXPORT BuckOdds buck_odds_on(const Herd& herd, const Offspring& offspring, Animal sire,
                                       Date day, bool by_semen);

}  // namespace doewright
