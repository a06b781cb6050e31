// SPDX-License-Identifier: MIT
#pragma once
/// What happened and what was looked at: the rows of the other tables, as plain values.
///
/// Every list is in the order of the file's rows. A blank is an empty optional or an unknown date,
/// never zero. Ages are days.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/core/table.hpp>
#include <doewright/export.hpp>
#include <doewright/herd/animal_facts.hpp>

namespace doewright {

/// An index into Herd::faults or Herd::traits.
using FaultIndex = std::uint16_t;
using TraitIndex = std::uint16_t;

/// What an examiner found: a grade of the fault, or that something had been removed (shown, grade
/// unknown). "yes" of a fault with named grades is `unwanted`: shown, grade not said.
enum class Found : std::uint8_t { grade, unwanted, removed };

/// One look at one animal for one fault.
struct Examination {
  Animal animal;
  FaultIndex fault = 0;
  Found found = Found::grade;
  std::uint8_t grade = 0;  ///< Index into FaultModel::grades; only for `grade`.
  PartialDate date;
  std::optional<std::int32_t> age_days;  ///< As written, or from date and birth; else blank.
  std::string by, note;
  Row row;
};

/// Kids elsewhere of one sire, known only as a count.
struct KidCount {
  Animal sire;
  FaultIndex fault = 0;
  std::uint32_t examined = 0;
  std::uint32_t affected = 0;
  std::optional<Animal> dam;
  Sex sex = Sex::unknown;
  PartialDate date;
  bool told = false;  ///< An owner's word; blank in the file is seen.
  std::string source;
  Row row;
};

struct GeneTest {
  Animal animal;
  FaultIndex fault = 0;
  std::uint8_t copies = 0;  ///< As the laboratory reports: 0, 1, 2.
  PartialDate date;
  std::string laboratory;
  Row row;
};

struct Record {
  Animal animal;
  TraitIndex trait = 0;
  double value = 0.0;
  PartialDate date;
  std::string group;
  std::optional<std::int32_t> parity;
  std::optional<std::int32_t> age_days;
  Row row;
};

struct HealthTest {
  Animal animal;
  std::string disease, result;
  PartialDate date;
  std::string laboratory;
  Row row;
};

struct Heat {
  Animal doe;
  PartialDate date;
  Row row;
};

enum class ServiceHow : std::uint8_t { unknown, seen, pen, visit, semen };

struct Service {
  Animal doe;
  Animal sire;
  PartialDate from;
  PartialDate to;  ///< Unknown: blank in the file (seen: = from; pen: running).
  ServiceHow how = ServiceHow::unknown;
  Row row;
};

enum class PregnancyResult : std::uint8_t { in_kid, empty, unclear };
enum class PregnancyHow : std::uint8_t { unknown, scan, blood, milk, hand };

struct PregnancyCheck {
  Animal doe;
  PartialDate date;
  PregnancyResult result = PregnancyResult::unclear;
  PregnancyHow how = PregnancyHow::unknown;
  std::optional<std::int32_t> kids;
  std::optional<std::int32_t> days;  ///< Age of the pregnancy as read.
  Row row;
};

enum class KiddingHelp : std::uint8_t { unknown, none, some, hard };

struct Kidding {
  Animal doe;
  PartialDate date;
  std::optional<std::int32_t> kids_born, kids_alive, kids_raised;
  KiddingHelp help = KiddingHelp::unknown;
  std::optional<Animal> sire;
  std::string note;
  Row row;
};

/// A list of possible sires as written, beside the pedigree that uses it.
struct PossibleSire {
  Animal kid;
  Animal sire;
  double probability = 0.0;  ///< As used: blanks filled in, rescaled if above 1.
  std::string litter;
  Row row;
};

DOEWRIGHT_EXPORT std::string_view word(ServiceHow how) noexcept;
DOEWRIGHT_EXPORT std::string_view word(PregnancyResult result) noexcept;
DOEWRIGHT_EXPORT std::string_view word(PregnancyHow how) noexcept;
DOEWRIGHT_EXPORT std::string_view word(KiddingHelp help) noexcept;

}  // namespace doewright
