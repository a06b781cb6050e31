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

/// Do papers matter for this offer: he comes (or his semen comes) from another herd.
DOEWRIGHT_EXPORT bool papers_needed(const Herd& herd, const SireOffer& offer);

}  // namespace doewright
