// SPDX-License-Identifier: MIT
#pragma once
/// What the keeper declares of this season: does put forward, sires on offer, prices and limits.
///
/// Money is in the keeper's currency, never converted. Every default is a value to be set: `set`
/// names the keys that the keeper wrote, so that reports can say which defaults were used.
#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/core/table.hpp>
#include <doewright/export.hpp>

namespace doewright {

enum class KidsFor : std::uint8_t { either, keep, meat };
enum class Decision : std::uint8_t { none, go, wait, no };
enum class Terms : std::uint8_t { unknown, own, hired, visit, semen };
enum class SemenKind : std::uint8_t { unknown, fresh, frozen, surgical };
enum class Verdict : std::uint8_t { go, caution, avoid };

DOEWRIGHT_EXPORT std::string_view word(KidsFor kids_for) noexcept;
DOEWRIGHT_EXPORT std::string_view word(Decision decision) noexcept;
DOEWRIGHT_EXPORT std::string_view word(Terms terms) noexcept;
DOEWRIGHT_EXPORT std::string_view word(SemenKind kind) noexcept;
DOEWRIGHT_EXPORT std::string_view word(Verdict verdict) noexcept;

/// A row of does.csv: a doe put forward this season.
struct DoeForward {
  Animal doe;
  KidsFor kids_for = KidsFor::either;  ///< Blank is either.
  std::optional<double> weight_kg;
  PartialDate weighed;
  std::optional<double> grown_weight_kg;
  std::optional<double> condition;     ///< 1..5.
  Decision decision = Decision::none;  ///< The keeper's word wins and is printed.
  std::optional<Animal> sire;          ///< Locked.
  std::vector<Animal> not_sires;
  std::string note;
  Row row;  ///< Line 0: no does.csv, put forward as a living doe.
};

/// A row of sires.csv: a sire on offer this season.
struct SireOffer {
  Animal sire;
  Terms terms = Terms::unknown;
  PartialDate from, to;  ///< First and last day with the does.
  std::optional<std::uint32_t> most_does;
  std::optional<double> fee, fee_per_doe, cost_per_day, haul, tests_cost, value_if_lost;
  std::optional<std::uint32_t> straws;
  SemenKind semen = SemenKind::unknown;
  std::optional<std::uint32_t> served, settled;  ///< His record elsewhere.
  std::optional<double> conception;              ///< Per heat, 0..1.
  std::string owner, note;
  Row row;  ///< Line 0: no sires.csv, on offer as a living buck.
};

/// A number for all, or by breed with `other` for the rest. Breed names are compared without case.
struct ByBreed {
  double other = 0.0;
  std::map<std::string, double> named;  ///< Lower-case breed name.
};

struct Fate {
  double doe_kept = 0.0;  ///< Share of doe kids kept or sold for breeding; the rest: meat.
  double buck_kept = 0.0;
};

struct GestationClass {
  double mean = 150.0;
  double sd = 3.0;
};

/// Limits act at or above: note, caution, avoid.
using ThreeLimits = std::array<double, 3>;

/// season.toml with its defaults (INTERFACE section 1).
struct Season {
  std::string currency = "EUR";
  std::string own_herd = "own";
  bool north = true;
  std::optional<Date> kid_from, kid_to;
  std::optional<std::uint32_t> pens;
  std::optional<std::uint32_t> max_hired;
  std::optional<double> hire_budget;
  std::optional<Date> as_of;
  std::optional<std::uint32_t> keepers_wanted;
  ByBreed breed_inbreeding = {.other = 0.02, .named = {}};
  double unknown_kinship = 0.0625;

  struct Kid {
    double value_keep = 250.0, value_meat = 110.0;
    double litter_size = 1.85, litter_size_first = 1.48;
    double survive = 0.90;
  } kid;

  Fate fate_keep = {0.8, 0.0}, fate_either = {0.3, 0.0}, fate_meat = {0.0, 0.0};
  double open_value = 0.0;

  struct Limits {
    ThreeLimits keep = {0.03125, 0.0625, 0.125};
    ThreeLimits meat = {0.0625, 0.125, 0.25};
    std::array<double, 2> lethal = {0.01, 0.05};  ///< Caution, avoid.
    std::array<double, 2> doe_months = {7.0,
                                        8.0};  ///< Hold under the first, caution under the second.
    std::array<double, 2> doe_weight_share = {0.65, 0.75};
    std::array<double, 2> condition = {2.0, 4.0};
    double rest_days = 60.0;
  } limits;

  struct Settle {
    double proven = 0.80, yearling = 0.75, buck_kid = 0.65, semen = 0.45, never = 0.05;
    double infertile_proven = 0.02, infertile_unproven = 0.05, heat_noticed = 0.80;
    std::array<double, 12> cycling = {0.8, 0.5, 0.2,  0.1,  0.1,  0.1,
                                      0.2, 0.5, 0.85, 0.97, 0.97, 0.95};
  } settle;

  std::map<std::string, GestationClass> gestation = {{"dwarf", {146.0, 3.0}},
                                                     {"unknown", {150.0, 3.0}}};
  std::map<std::string, std::string> gestation_class_of_breed = {
      {"nigerian", "dwarf"}};  ///< Lower case.

  struct Papers {
    std::vector<std::string> required = {"CAE", "CL"};
    double max_age_months = 12.0;
    std::uint32_t isolation_days = 30;
  } papers;

  /// What it costs to find something out about a sire before deciding; empty: not known. Never taken
  /// off any worth: it is set beside what finding out is worth.
  struct FindOutCosts {
    std::optional<double> gene_test;  ///< One test.
    std::optional<double> kids;       ///< Looking at some of his earlier kids, all together.
    std::optional<double> papers;     ///< More of his papers.
  } find_out;

  double loss_per_month = 0.01;
  Verdict polled_rule = Verdict::avoid;  ///< avoid, or caution where the keeper says so.

  /// Dotted keys the keeper wrote, such as "kid.value_keep": all others are defaults.
  std::set<std::string> set;

  /// Fate of the kids of a doe with this kids_for.
  DOEWRIGHT_EXPORT const Fate& fate(KidsFor kids_for) const noexcept;
  /// Limits on inbreeding for this kids_for: either counts as keep.
  DOEWRIGHT_EXPORT const ThreeLimits& inbreeding_limits(KidsFor kids_for) const noexcept;
};

}  // namespace doewright
