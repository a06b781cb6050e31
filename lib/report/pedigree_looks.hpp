// SPDX-License-Identifier: MIT
#pragma once
/// The parts that pedigree_words() puts together.
#include "pedigree_words.hpp"

namespace doewright {

void say_who(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);
/// In this order: each reads what the one before it said.
void say_known(const PedigreeReport& report, PedigreeWords& words);
void say_inbreeding(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);
void say_shared(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);
void say_looks(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);
void say_tests(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);
void say_records(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);

/// "a, b, c".
std::string joined(const std::vector<std::string>& parts, std::string_view between = ", ");

/// Counts of places are whole but for uncertain sires: "7" or "11.5".
std::string places_counted(double value);

/// "found", "looked and clear", "not looked": the three states, never two.
std::string_view word(Look look) noexcept;

/// What an examiner wrote down: the grade's name, "yes", "removed".
std::string found_in_words(const FaultModel& fault, const Examination& look);

}  // namespace doewright
