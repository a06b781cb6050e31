// SPDX-License-Identifier: MIT
#pragma once
/// What was looked at, tested and recorded, in the words of the pedigree report.
#include "pedigree_words.hpp"

namespace doewright {

void say_looks(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);
void say_tests(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);
void say_records(const Herd& herd, const PedigreeReport& report, PedigreeWords& words);

/// "found", "looked and clear", "not looked": the three states, never two.
std::string_view word(Look look) noexcept;

/// What an examiner wrote down: the grade's name, "yes", "removed".
std::string found_in_words(const FaultModel& fault, const Examination& look);

}  // namespace doewright
