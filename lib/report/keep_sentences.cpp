// SPDX-License-Identifier: MIT
#include "keep_sentences.hpp"

#include <array>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/keep_reason_codes.hpp>

namespace doewright {

namespace {

std::string who(const Herd& herd, const Reason& r, std::size_t i) {
  return display_name(herd, r.animals.at(i));
}

double num(const Reason& r, std::size_t i) {
  return r.numbers.at(i);
}

const FaultModel& fault_at(const Herd& herd, const Reason& r, std::size_t i) {
  return herd.faults.at(static_cast<std::size_t>(num(r, i)));
}

std::string kids_number(double value) {
  return std::abs(value - std::round(value)) < 1e-9 ? fixed(value, 0) : fixed(value, 1);
}

std::string money(const Herd& herd, double value) {
  return fmt::format("{} {}", fixed(std::abs(value), 0), herd.season.currency);
}

std::string chance_of(double p) {
  return p < 0.01 ? "under 1 in 100" : fmt::format("{} in 100", fixed(100.0 * p, 0));
}

std::string fault_found(const Herd& herd, const Reason& r) {
  const FaultModel& fault = fault_at(herd, r, 0);
  const double grade = num(r, 1);
  std::string text = "found in her: " + fault.name;
  if (grade >= 0.0 && static_cast<std::size_t>(grade) < fault.grades.size()) {
    const std::string& named = fault.grades[static_cast<std::size_t>(grade)];
    if (named != "yes") text += " (" + named + ")";
  }
  return text + ": do not keep her for breeding";
}

std::string merit(const Herd& herd, const Reason& r) {
  constexpr double little = 0.30;
  std::string text;
  if (std::abs(num(r, 0)) < 0.5) {
    text = "breeding values near the founders' mean";
  } else {
    text = fmt::format("breeding values worth {} {} than the founders' mean",
                       money(herd, num(r, 0)), num(r, 0) < 0.0 ? "less" : "more");
  }
  if (num(r, 1) < little) text += ", but they rest on little information: read them as level";
  return text;
}

std::string looked(const Herd& herd, const Reason& r) {
  std::string list;
  const auto n = static_cast<std::size_t>(num(r, 0));
  for (std::size_t i = 1; i <= n; ++i) {
    list += (list.empty() ? "" : "; ") + fault_at(herd, r, i).name;
  }
  return "looked at, not found: " + list;
}

std::string not_looked(const Herd&, const Reason&) {
  return "nobody has looked at her for faults: look before you decide";
}

std::string may_show(const Herd& herd, const Reason& r) {
  return fmt::format("{}: she shows it with a chance of {}, which counts for {}",
                     fault_at(herd, r, 0).name, chance_of(num(r, 1)), money(herd, num(r, 2)));
}

std::string may_carry(const Herd& herd, const Reason& r) {
  return fmt::format("{}: she carries it with a chance of {}; a gene test would tell",
                     fault_at(herd, r, 0).name, chance_of(num(r, 1)));
}

std::string kin(const Herd&, const Reason& r) {
  const double difference = num(r, 0) - num(r, 2);
  const char* than = std::abs(difference) < 0.0005 ? "as the doe kids here on average"
                     : difference < 0.0            ? "less than the doe kids here on average"
                                                   : "more than the doe kids here on average";
  return fmt::format("mean kinship {} to the {} does of the herd, herself included: {}",
                     percent(num(r, 0), 1), fixed(num(r, 1), 0), than);
}

std::string inbred(const Herd&, const Reason& r) {
  return fmt::format("she is inbred {} herself", percent(num(r, 0), 2));
}

std::string first_of_sire(const Herd& herd, const Reason& r) {
  if (num(r, 0) < 1.5) return fmt::format("the only daughter of {} to choose", who(herd, r, 1));
  return fmt::format("the first of {} daughters of {} on this list", fixed(num(r, 0), 0),
                     who(herd, r, 1));
}

std::string same_sire(const Herd& herd, const Reason& r) {
  return fmt::format("daughter of {} like {}, who stands before her: keep from more than one sire",
                     who(herd, r, 1), who(herd, r, 2));
}

std::string same_dam(const Herd& herd, const Reason& r) {
  return fmt::format("out of {} like {}, who stands before her: keep from more than one dam",
                     who(herd, r, 1), who(herd, r, 2));
}

std::string sire_unsure(const Herd&, const Reason&) {
  return "her sire is not certain or not recorded: doors may be closed that nobody sees";
}

std::string never_settled(const Herd&, const Reason& r) {
  const double seasons = num(r, 0);
  return fmt::format("put to a buck in {} season{} and never settled", fixed(seasons, 0),
                     seasons < 1.5 ? "" : "s");
}

std::string empty(const Herd&, const Reason& r) {
  return fmt::format("left empty in the last {} seasons she was put to a buck",
                     fixed(num(r, 0), 0));
}

std::string hard_help(const Herd&, const Reason& r) {
  return fmt::format("needed hard help at {} of {} kiddings: ask a veterinarian before she is bred",
                     fixed(num(r, 0), 0), fixed(num(r, 1), 0));
}

std::string few_raised(const Herd&, const Reason& r) {
  return fmt::format(
      "raised {} kids of {} kiddings: {} a kidding, allowing for how few they are; herd mean {}",
      kids_number(num(r, 0)), fixed(num(r, 1), 0), fixed(num(r, 2), 2), fixed(num(r, 3), 2));
}

std::string declined(const Herd&, const Reason& r) {
  return fmt::format("raised {} kids a kidding in her last two, {} before", fixed(num(r, 0), 1),
                     fixed(num(r, 1), 1));
}

std::string old(const Herd&, const Reason& r) {
  return fmt::format("{} years old: no reason by itself", fixed(num(r, 0), 0));
}

struct KeepEntry {
  std::string_view code;
  std::string (*words)(const Herd&, const Reason&);
};

constexpr std::array keep_entries = {
    KeepEntry{reason::keep_fault_found, fault_found},
    KeepEntry{reason::keep_merit, merit},
    KeepEntry{reason::keep_looked, looked},
    KeepEntry{reason::keep_not_looked, not_looked},
    KeepEntry{reason::keep_may_show, may_show},
    KeepEntry{reason::keep_may_carry, may_carry},
    KeepEntry{reason::keep_kin, kin},
    KeepEntry{reason::keep_inbred, inbred},
    KeepEntry{reason::keep_first_of_sire, first_of_sire},
    KeepEntry{reason::keep_same_sire, same_sire},
    KeepEntry{reason::keep_same_dam, same_dam},
    KeepEntry{reason::keep_sire_unsure, sire_unsure},
    KeepEntry{reason::leave_never_settled, never_settled},
    KeepEntry{reason::leave_empty, empty},
    KeepEntry{reason::leave_hard_help, hard_help},
    KeepEntry{reason::leave_few_raised, few_raised},
    KeepEntry{reason::leave_decline, declined},
    KeepEntry{reason::leave_age, old},
};

}  // namespace

std::string keep_sentence(const Herd& herd, const Reason& reason) {
  for (const KeepEntry& entry : keep_entries) {
    if (entry.code == reason.code) return entry.words(herd, reason);
  }
  return {};
}

}  // namespace doewright
