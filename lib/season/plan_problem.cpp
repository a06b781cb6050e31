// SPDX-License-Identifier: MIT
#include <doewright/season/plan_problem.hpp>

#include <algorithm>

namespace doewright {

std::string_view word(PlanLimit limit) noexcept {
  switch (limit) {
    case PlanLimit::must_be_served:
      return "must_be_served";
    case PlanLimit::locked:
      return "locked";
    case PlanLimit::most_does:
      return "most_does";
    case PlanLimit::pens:
      return "pens";
    case PlanLimit::max_hired:
      return "max_hired";
    case PlanLimit::hire_budget:
      return "hire_budget";
  }
  return "";
}

PlanProblem lifted(const PlanProblem& problem, PlanLimit limit) {
  PlanProblem freed = problem;
  switch (limit) {
    case PlanLimit::must_be_served:
      for (PlanDoe& doe : freed.does) doe.may_be_open = true;
      break;
    case PlanLimit::locked:
      for (PlanDoe& doe : freed.does) doe.locked.reset();
      break;
    case PlanLimit::most_does:
      for (PlanSire& sire : freed.sires) sire.most_does.reset();
      break;
    case PlanLimit::pens:
      freed.pens.reset();
      break;
    case PlanLimit::max_hired:
      freed.max_hired.reset();
      break;
    case PlanLimit::hire_budget:
      freed.hire_budget.reset();
      break;
  }
  return freed;
}

bool has_limit(const PlanProblem& problem, PlanLimit limit) noexcept {
  const auto any_doe = [&](auto&& is) {
    return std::any_of(problem.does.begin(), problem.does.end(), is);
  };
  switch (limit) {
    case PlanLimit::must_be_served:
      return any_doe([](const PlanDoe& doe) { return !doe.may_be_open; });
    case PlanLimit::locked:
      return any_doe([](const PlanDoe& doe) { return doe.locked.has_value(); });
    case PlanLimit::most_does:
      return std::any_of(problem.sires.begin(), problem.sires.end(), [&](const PlanSire& sire) {
        return sire.most_does && *sire.most_does < problem.does.size();
      });
    case PlanLimit::pens:
      return problem.pens.has_value();
    case PlanLimit::max_hired:
      return problem.max_hired.has_value();
    case PlanLimit::hire_budget:
      return problem.hire_budget.has_value();
  }
  return false;
}

}  // namespace doewright
