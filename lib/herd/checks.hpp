// SPDX-License-Identifier: MIT
#pragma once
/// The parts of check(), and the words they share.
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/problem.hpp>
#include <doewright/core/table.hpp>
#include <doewright/herd/herd.hpp>

namespace doewright {

void check_sexes(const Herd& herd, const SayProblem& say);  // sex-use, wether-sire
void check_parent_dates(const Herd& herd,
                        const SayProblem& say);  // born-before-parent ... parent-old
void check_kidding_gaps(const Herd& herd, const SayProblem& say);  // kiddings-close
void check_dates_of_facts(const Herd& herd,
                          const SayProblem& say);           // before-born, service-after-left
void check_looks(const Herd& herd, const SayProblem& say);  // sex-not-scored, count-own-farm

/// A problem of a whole row.
Problem problem_at(Severity severity, std::string_view code, Row row, std::string_view animal,
                   std::string message, std::string remedy);

/// The animal's own row; line 0 if it has none.
Row row_of(const Herd& herd, Animal animal);

/// " (line 9)", or " (no row of its own)".
std::string line_text(const Herd& herd, Animal animal);

/// Kids that stand in possible_sires.csv: their sire is judged there, not in animals.csv. Empty if
/// there are none.
std::vector<bool> listed_kids(const Herd& herd);

}  // namespace doewright
