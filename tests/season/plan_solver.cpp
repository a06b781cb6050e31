// SPDX-License-Identifier: MIT
// Problems from standard input, solutions to standard output, for twins_plan.py and for a look by
// hand.
//
//   plan_solver [ALTERNATIVES]
//
// A problem is words between blanks, "-" for nothing: DOES SIRES MAX_HIRED PENS BUDGET; a sire:
// HIRE_COST MOST_DOES OWN NEEDS_PEN FROM TO (days); a doe: MAY_BE_OPEN LOCKED OPEN_VALUE, then a
// value a sire. A solution is one line: FEASIBLE PROVEN OBJECTIVE GAP, the number of unserved does,
// then the sire of each doe; a line of the same form for each alternative, "next" before it.
#include <charconv>
#include <cstdlib>
#include <iostream>
#include <string>

#include <fmt/format.h>

#include <doewright/season/solve.hpp>

using namespace doewright;

namespace {

std::optional<std::int64_t> word_in() {
  std::string text;
  if (!(std::cin >> text)) std::exit(2);
  if (text == "-") return std::nullopt;
  std::int64_t number = 0;
  const auto end = std::from_chars(text.data(), text.data() + text.size(), number);
  if (end.ec != std::errc{} || end.ptr != text.data() + text.size()) std::exit(2);
  return number;
}

std::int64_t number_in() {
  return word_in().value();
}

template <class T>
std::optional<T> limit_in() {
  const auto number = word_in();
  return number ? std::optional(static_cast<T>(*number)) : std::nullopt;
}

std::optional<Date> day_in() {
  const auto day = limit_in<std::int32_t>();
  return day ? std::optional(Date{*day}) : std::nullopt;
}

PlanProblem problem_in(std::size_t does) {
  PlanProblem problem;
  const auto sires = static_cast<std::size_t>(number_in());
  problem.max_hired = limit_in<unsigned>();
  problem.pens = limit_in<unsigned>();
  problem.hire_budget = word_in();
  for (std::size_t s = 0; s < sires; ++s) {
    PlanSire sire;
    sire.hire_cost = number_in();
    sire.most_does = limit_in<unsigned>();
    sire.own = number_in() != 0;
    sire.needs_pen = number_in() != 0;
    sire.from = day_in();
    sire.to = day_in();
    problem.sires.push_back(sire);
  }
  problem.values = Grid<std::optional<std::int64_t>>(does, sires);
  for (std::size_t d = 0; d < does; ++d) {
    PlanDoe doe;
    doe.may_be_open = number_in() != 0;
    doe.locked = limit_in<std::size_t>();
    problem.does.push_back(doe);
    problem.open_values.push_back(word_in());
    for (std::size_t s = 0; s < sires; ++s) problem.values(d, s) = word_in();
  }
  return problem;
}

void say(const PlanChoice& choice) {
  fmt::print("{} {} {} {} {}", int{choice.feasible}, int{choice.proven_optimal}, choice.objective,
             choice.gap, choice.unserved.size());
  for (const auto& sire : choice.sire_of_doe) {
    sire ? fmt::print(" {}", *sire) : fmt::print(" -");
  }
  fmt::print("\n");
}

}  // namespace

int main(int argc, char** argv) {
  const auto count = argc > 1 ? static_cast<std::size_t>(std::atoi(argv[1])) : 0;
  for (std::size_t does = 0; std::cin >> does;) {
    const PlanProblem problem = problem_in(does);
    say(solve(problem));
    for (const PlanChoice& next : alternatives(problem, count)) {
      fmt::print("next ");
      say(next);
    }
  }
}
