// SPDX-License-Identifier: MIT
#pragma once
/// Which health papers of a sire are missing before he comes. A result is a fact of its date and no
/// guarantee; what a result means is for a veterinarian.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/table.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

enum class PaperState : std::uint8_t {
  in_order,      ///< A dated negative result, young enough, taken at six months of age or later.
  missing,       ///< No test of this disease is recorded.
  too_old,       ///< Older than season.papers.max_age_months.
  undated,       ///< The day of the sample is not recorded, so its age is not known.
  too_young,     ///< Taken under six months of age: too young to tell.
  age_unknown,   ///< His birth is not recorded closely enough to tell his age at the sample.
  not_negative,  ///< The result is not plainly negative: ask a veterinarian.
};
DOEWRIGHT_EXPORT std::string_view word(PaperState state) noexcept;

struct Paper {
  std::string disease;
  PaperState state = PaperState::missing;
  PartialDate date;    ///< Of the newest test, if there is one.
  std::string result;  ///< As written.
  Row row;
};

/// One entry for each disease in season.papers.required, in that order. The newest test counts.
DOEWRIGHT_EXPORT std::vector<Paper> papers(const Herd& herd, Animal sire);

/// A health test on record whose result is not plainly negative. Whatever the result says, what it means
/// is for a veterinarian.
struct HealthPositive {
  std::string disease;  ///< As written.
  std::string result;   ///< As written; may be blank.
  PartialDate date;     ///< Of the sample; may be unknown.
  /// Filled where the newest test of the disease is plainly negative: the date of that test. Then this is
  /// the newest of the results before it that were not; an undated one counts as the oldest.
  std::optional<PartialDate> negative_since;
  Row row;
  bool stands() const noexcept { return !negative_since; }  ///< The newest result of its disease.
};

/// Every disease, asked for in season.papers or not, of which the animal has a result on record that is not
/// plainly negative: one entry each, those that stand first, else in the order of the table. No entry says
/// nothing of health. Cost: a pass over health_tests, squared in the tests of the animal.
DOEWRIGHT_EXPORT std::vector<HealthPositive> positives(const Herd& herd, Animal animal);

/// Do papers matter for this offer: he comes (or his semen comes) from another herd.
DOEWRIGHT_EXPORT bool papers_needed(const Herd& herd, const SireOffer& offer);

}  // namespace doewright
