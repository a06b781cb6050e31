// SPDX-License-Identifier: MIT
#pragma once
/// Whom to keep and who may leave: doe kids ranked for keeping with the doors each closes, kids to
/// look at, buck kids to castrate, does whose record says leave. It advises; the keeper decides.
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/core/reason.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/evidence.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pairing/genetics.hpp>

namespace doewright {

/// A kid is born within so many months before as-of, by its youngest possible age. Assumed.
inline constexpr int keep_months = 14;

/// One fault in one doe kid.
struct KeepFault {
  FaultIndex fault = 0;
  Look look = Look::not_looked;       ///< Her own examination.
  std::optional<std::uint8_t> grade;  ///< As found, if a grade was named.
  bool speaks_against = false;        ///< Found, and it costs a keeper something: she ranks last.
  double shows = 0.0;    ///< Chance that she shows it, her own examination included; 1 if found.
  double carries = 0.0;  ///< One gene: at least one copy, and it does not show. Else 0.
  double cost = 0.0;     ///< Her part of the expected cost, money.
};

/// A sire that could hardly be used on her.
struct ClosedDoor {
  Animal sire;
  double inbreeding = 0.0;  ///< Of their kids: kinship of the two, as recorded.
};

/// One doe kid. DEFINITIONS 11.
///
///   value = index - cost
///   index = sum over traits of value_keep x her own breeding value      (MeritIndex::keep)
///   cost  = (1 - L) max(0, base keep + index)                                   lethal faults
///         + L not_kept (1 - product of (1 - shows))                   faults of default cost
///         + L sum of shows x cost_keep of the grade + L sum of carries x cost_carried
///   L = product over lethal faults of (1 - shows);  not_kept = max(0, base keep - base meat)
///
/// Money above or below a faultless doe kid at the founders' merit, which is 0: not her price, and
/// what her own inbreeding costs is not in it. The larger of the chances with and without an
/// owner's word counts. Where no grade was found, the cost is shared over the unwanted grades as
/// they are among base animals (one gene: as her copies give them). Source of the prices:
/// DEFINITIONS 7.
struct DoeKid {
  Animal kid;
  std::uint32_t rank = 0;  ///< 1 is first.
  double value = 0.0;
  double index = 0.0;
  double cost = 0.0;
  bool fault_found = false;  ///< Some fault speaks against her.
  /// Mean kinship to all living does of the own herd, doe kids and herself among them.
  double kinship_to_herd = 0.0;
  std::vector<KeepFault> faults;   ///< Every fault in use, in their order.
  std::vector<ClosedDoor> closes;  ///< Closest first, ties by id.
  std::vector<Reason> reasons;     ///< Codes keep.* and fault.sire, fault.dam; weightiest first.
};

/// Buck kids are castrated or parted from does by three months (common practice, no source; how and
/// when it may be done is for a veterinarian and local law).
struct CastrateBy {
  Animal kid;
  Date by;  ///< Three months after the first day he can have been born.
};

struct DoeToLeave {
  Animal doe;
  std::vector<Reason> reasons;  ///< Codes leave.*, fault.own, doe.decided; weightiest first.
};

struct KeepAdvice {
  std::vector<DoeKid> kids;          ///< By rank.
  std::vector<Animal> not_examined;  ///< Kids of either sex nobody looked at for any fault; by id.
  std::vector<CastrateBy> castrate;  ///< By day, then by id.
  std::vector<DoeToLeave> leave;     ///< Weightiest first, ties by id.
  std::uint32_t herd_does = 0;       ///< Does that kinship_to_herd is the mean over.
  double door_limit = 0.0;           ///< The note limit of kids to keep.
};

/// Doe kids: own herd, living, sex doe, born within keep_months, no kid and no kidding yet.
/// Ranked: those with a fault that speaks against them last; then by value in whole millionths,
/// larger first; then by kinship_to_herd in whole millionths, smaller first; then by id.
///
/// Doors: every sire on sires.csv, and every living buck with a kid or a parent of the own herd
/// (left or not), whose kinship to her is at or above the note limit.
///
/// Leave: living grown does of the own herd. Put to a buck and never settled; empty in the last two
/// seasons; hard help twice; a fault found that costs a keeper; kids raised, shrunken
/// (sum + 5 x herd mean) / (kiddings + 5), under 0.8 of the herd mean; a kid less raised a kidding in
/// the last two kiddings than in two or more before; the keeper's own decision `no`; and, beside
/// another reason only, ten years of age. Shares and counts are common practice, no source.
/// Cost: a block of kinships kids x (does + bucks), one look-up a kid and fault.
DOEWRIGHT_EXPORT KeepAdvice keep_advice(const Herd& herd, const Genetics& genetics,
                                        const Run& run = {});

}  // namespace doewright
