// SPDX-License-Identifier: MIT
#pragma once
/// What was looked at and what was found, as counts. No probability: that is faults/.
///
/// Three states, never two: found, looked and clear, not looked. An animal that nobody examined counts
/// in neither of the first two, and "removed" counts as found.
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

/// What is recorded of one animal for one fault: the worst or the latest look, as the fault's `repeat`
/// says. Horns count as an examination at birth for `polled`, sex = intersex for `intersex`.
struct LookedAt {
  Look look = Look::not_looked;
  bool removed = false;                  ///< Found, but only as removed.
  std::optional<std::uint8_t> grade;     ///< Where a grade was named.
  std::optional<std::int32_t> age_days;  ///< Of the look that counts.
  std::vector<Row> rows;                 ///< Every look, in order of the file.
};

/// A count that can be opened: rows of the examinations behind it.
struct LookCount {
  std::uint32_t animals = 0;             ///< All of them, looked at or not.
  std::uint32_t examined = 0;
  std::uint32_t found = 0;
  std::vector<Row> rows;
};

/// Evidence of one fault around one animal.
struct FaultEvidence {
  LookedAt own;
  LookedAt sire, dam;                    ///< Not looked if not known or not certain.
  bool sire_known = false, dam_known = false;
  LookCount kids;                        ///< In the book, certain sire or dam only.
  LookCount sibs;                        ///< Full and half sibs by certain parents.
  LookCount elsewhere_seen;              ///< kid_counts, word seen or blank (animals = examined).
  LookCount elsewhere_told;              ///< kid_counts, an owner's word.
};

/// Looks up examinations and counts once for the whole book; then any animal is cheap to ask.
class DOEWRIGHT_EXPORT EvidenceIndex {
 public:
  /// The herd must outlive the index.
  explicit EvidenceIndex(const Herd& herd);
  LookedAt looked_at(Animal animal, FaultIndex fault) const;
  FaultEvidence around(Animal animal, FaultIndex fault) const;

 private:
  const Herd* herd_;
  Offspring offspring_;
  std::vector<std::uint32_t> exam_first_;  // by animal, into exam_order_
  std::vector<std::uint32_t> exam_order_;
  std::vector<std::uint32_t> count_first_;
  std::vector<std::uint32_t> count_order_;
};

}  // namespace doewright
