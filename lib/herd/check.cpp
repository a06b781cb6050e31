// SPDX-License-Identifier: MIT
#include <utility>

#include <fmt/format.h>

#include "checks.hpp"

namespace doewright {

Problem problem_at(Severity severity, std::string_view code, Row row, std::string_view animal,
                   std::string message, std::string remedy) {
  Problem problem;
  problem.severity = severity;
  problem.code = code;
  problem.file = file_name(row.table);
  problem.line = row.line;
  problem.animal = animal;
  problem.message = std::move(message);
  problem.remedy = std::move(remedy);
  return problem;
}

Row row_of(const Herd& herd, Animal animal) {
  return {Table::animals, herd.animals.line[animal.position]};
}

std::string line_text(const Herd& herd, Animal animal) {
  const std::uint32_t line = herd.animals.line[animal.position];
  return line == 0 ? " (no row of its own)" : fmt::format(" (line {})", line);
}

std::vector<bool> listed_kids(const Herd& herd) {
  std::vector<bool> listed;
  if (herd.possible_sires.empty()) return listed;
  listed.resize(herd.pedigree.size());
  for (const PossibleSire& entry : herd.possible_sires) listed[entry.kid.position] = true;
  return listed;
}

void check(const Herd& herd, const SayProblem& say) {
  check_sexes(herd, say);
  check_parent_dates(herd, say);
  check_kidding_gaps(herd, say);
  check_dates_of_facts(herd, say);
  check_looks(herd, say);
}

std::vector<Problem> check(const Herd& herd) {
  std::vector<Problem> problems;
  check(herd, [&](Problem&& problem) { problems.push_back(std::move(problem)); });
  return problems;
}

}  // namespace doewright
