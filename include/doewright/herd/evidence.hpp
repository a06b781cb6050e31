// SPDX-License-Identifier: MIT
#pragma once
/// What was looked at and what was found, as counts. No probability: that is faults/.
///
/// Three states, never two: found, looked and clear, not looked. An animal that nobody examined
/// counts in neither of the first two, and "removed" counts as found.
#include <cstdint>
#include <optional>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/table.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/offspring.hpp>

namespace doewright {

enum class Look : std::uint8_t { not_looked, clear, found };

/// One sign of one fault in one animal: a row of examinations.csv, or something said elsewhere in
/// the book (DEFINITIONS 11): horns are a look at birth for `polled`, sex = intersex is a yes of
/// `intersex`, and a doe that has kidded is a no of `intersex` at 365 days.
struct Sign {
  Found found = Found::grade;
  std::uint8_t grade = 0;  ///< Only for Found::grade.
  PartialDate date;
  std::optional<std::int32_t> age_days;
  double detection = 1.0;  ///< Chance that a showing animal was seen to be so at that age.
  Row row;
};

/// Chance that an animal that shows the fault is seen to do so at this age: the step of `detection`
/// that its age has reached, 0 before the first, the lowest if the age is not recorded; 1 without
/// steps.
DOEWRIGHT_EXPORT double detection_at(const FaultModel& fault, std::optional<std::int32_t> age_days);

/// Does the fault show in this sex? A wether is a buck, an intersex animal a genetic doe; an animal
/// of unknown sex may be either. Thresholds show in both.
DOEWRIGHT_EXPORT bool is_scored(const FaultModel& fault, Sex sex) noexcept;

/// What is recorded of one animal for one fault: the worst or the latest look, as the fault's
/// `repeat` says (DEFINITIONS 11). Worst: unwanted before wanted, a named grade before yes or
/// removed, then the later in `grades`, then the higher detection. Latest: the last date, undated
/// first; of one date the worst.
///
/// No information, so not looked: a sex that is not scored, and a clear look at an age at which
/// nothing is seen yet. Their rows are listed all the same.
struct LookedAt {
  Look look = Look::not_looked;
  bool removed = false;                  ///< Found, but only as removed.
  std::optional<std::uint8_t> grade;     ///< Where a grade was named.
  std::optional<std::int32_t> age_days;  ///< Of the look that counts.
  double detection = 1.0;                ///< Of the look that counts; see Sign.
  std::vector<Row> rows;                 ///< Every look, in order of the file.
};

/// A count that can be opened: rows of the examinations behind it.
struct LookCount {
  std::uint32_t animals = 0;  ///< All of them, looked at or not.
  std::uint32_t examined = 0;
  std::uint32_t found = 0;
  std::vector<Row> rows;
};

/// What gene tests say of one animal: the newest result. Repeats of one sample (same laboratory and
/// date) that differ count for nothing, as do none at all.
struct GeneTested {
  std::optional<std::uint8_t> copies;  ///< 0, 1, 2 of the fault allele.
  std::vector<Row> rows;
};

/// Evidence of one fault around one animal.
struct FaultEvidence {
  LookedAt own;
  GeneTested test, sire_test,
      dam_test;        ///< Of itself and of its parents, as far as these are certain.
  LookedAt sire, dam;  ///< Not looked if not known or not certain.
  bool sire_known = false, dam_known = false;
  LookCount kids;  ///< In the book, certain sire or dam only.
  LookCount sibs;  ///< Full and half sibs by certain parents.
  /// kid_counts of which it is the sire or the dam, word seen or blank (animals = examined).
  LookCount elsewhere_seen;
  LookCount elsewhere_told;  ///< kid_counts, an owner's word.
  /// Gene tests of its kids, and of its sibs: examined = tested, found = with one copy at least.
  LookCount kids_tested, sibs_tested;
};

/// Looks up examinations and counts once for the whole book; then any animal is cheap to ask.
class DOEWRIGHT_EXPORT EvidenceIndex {
 public:
  /// The herd must outlive the index. Cost: three passes; 16 bytes an animal, 4 a row.
  explicit EvidenceIndex(const Herd& herd);
  /// \throws UsageError, all calls: there is no such animal or fault.
  LookedAt looked_at(Animal animal, FaultIndex fault) const;
  GeneTested tested(Animal animal, FaultIndex fault) const;
  FaultEvidence around(Animal animal, FaultIndex fault) const;
  /// All signs, examinations first in order of the file, whether they tell anything or not.
  std::vector<Sign> signs(Animal animal, FaultIndex fault) const;

 private:
  void add_signs_elsewhere(Animal animal, FaultIndex fault, std::vector<Sign>& signs) const;
  void add(Animal animal, FaultIndex fault, LookCount& count) const;
  void add_test(Animal animal, FaultIndex fault, LookCount& count) const;

  const Herd* herd_;
  Offspring offspring_;
  std::vector<std::uint32_t> exam_first_;  // by animal, into exam_order_
  std::vector<std::uint32_t> exam_order_;
  std::vector<std::uint32_t> count_first_;  // by sire and by dam
  std::vector<std::uint32_t> count_order_;
  std::vector<std::uint32_t> kidding_first_;  // by doe
  std::vector<std::uint32_t> kidding_order_;
};

}  // namespace doewright
