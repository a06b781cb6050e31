// SPDX-License-Identifier: MIT
#pragma once
/// What the owner of a hired buck is told: counts with their denominators. Facts of the book, no
/// estimate but the chances the keeper wrote down herself.
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/core/table.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

/// How it is known that a kidding is his.
enum class HisBy : std::uint8_t {
  recorded,      ///< Sire of the kids, or sire of the kidding.
  possible,      ///< By the chances in possible_sires.csv.
  served_alone,  ///< No sire is written down; he alone served her at the time.
  shared,        ///< No sire is written down; each of the bucks that served her counts alike.
};

/// A number of kids; not recorded is never 0.
struct KidTally {
  double kids = 0.0;               ///< Each kid counts by the chance that it is his.
  std::uint32_t not_recorded = 0;  ///< Kiddings of which the number is not written down.
};

/// One doe put to him in one season: services of one doe less than 120 days apart with no kidding
/// of hers between, and the kidding that came of them. A kidding or a kid of his without a service
/// in the book is one too: she was served, it was not written down.
struct PutToHim {
  Animal doe;
  PartialDate from, to;       ///< First and last day; unknown where no service is written down.
  bool running = false;       ///< A pen that is still running.
  std::vector<Row> services;  ///< Empty: not written down.
  bool tested = false;        ///< A pregnancy check was made, 20 days after the first day or later.
  bool found_in_kid = false;  ///< By one of these checks.
  bool found_empty = false;   ///< By the last of these checks that told.
  bool settled = false;       ///< In kid by a check, or kidded; not if she kidded to another.
  bool kidded = false;        ///< To him, surely or possibly.
  bool too_early = false;     ///< Neither settled nor found empty, under 170 days since `to`.
  PartialDate kidding;        ///< If kidded.
  double share = 1.0;         ///< Chance that the kids of this kidding are his; (0, 1] if kidded.
  HisBy by = HisBy::recorded;
  std::vector<Animal> other_bucks;  ///< Served her for the same kidding, or in the same weeks.
  std::optional<double> born, alive, raised;  ///< Of the kidding as written, not times `share`.
};

/// Kids looked at for one fault.
struct OwnerLook {
  FaultIndex fault = 0;
  double examined = 0.0;
  double found = 0.0;
};

/// Kids in which one grade of one fault was found.
struct OwnerFinding {
  FaultIndex fault = 0;
  std::optional<std::uint8_t> grade;  ///< Empty: `removed`, or found without a grade.
  bool removed = false;
  double count = 0.0;
  std::vector<Row> rows;
};

/// DEFINITIONS 11, "owner". All numbers of kids are sums of chances: whole where no sire is unsure.
struct OwnerReport {
  Animal sire;
  std::vector<PutToHim> put;  ///< By first day (else the kidding's), then by id.

  // A doe counts once each season she was put to him.
  std::uint32_t served = 0;
  std::uint32_t not_written = 0;  ///< Of them: without a service in the book.
  std::uint32_t tested = 0;
  std::uint32_t settled = 0;
  std::uint32_t kidded = 0;
  std::uint32_t too_early = 0;
  std::uint32_t two_bucks = 0;  ///< Of them: served by another buck too.

  KidTally born, alive, raised;  ///< Of his kiddings.

  // Kids with a row in animals.csv.
  double kids = 0.0;
  double possible_kids = 0.0;  ///< The part of `kids` that rests on a chance under 1.
  double examined = 0.0;       ///< Looked at for at least one fault: a row of examinations.csv that
                               ///< tells something, or found. Horns alone are no look.
  double not_examined = 0.0;   ///< kids - examined.
  double doe_kids = 0.0, buck_kids = 0.0, intersex_kids = 0.0;  ///< Wethers are bucks.
  double here = 0.0, sold = 0.0, slaughtered = 0.0, died = 0.0, left_otherwise = 0.0;
  std::vector<OwnerLook> looks;        ///< Faults in use, in their order, with at least one look.
  std::vector<OwnerFinding> findings;  ///< In the same order, then by grade, removed last.
};

/// \throws UsageError if the animal is not in the herd.
/// Cost: a few passes over the book.
/// Source of 120, 170 and 20 days: assumed; a pregnancy of 170 days has ended.
DOEWRIGHT_EXPORT OwnerReport owner_report(const Herd& herd, Animal sire);

}  // namespace doewright
