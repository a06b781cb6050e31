// SPDX-License-Identifier: MIT
#include <doewright/season/worth_of_knowing.hpp>

#include <algorithm>
#include <cmath>

#include <doewright/herd/evidence.hpp>
#include <doewright/pairing/what_if.hpp>
#include <doewright/pedigree/offspring.hpp>

#include "answers_of.hpp"

namespace doewright {

namespace {

constexpr double least_worth = 0.5;  // money; under it there is nothing to say

/// A question that may be put: which fault of which sire, and the money behind it.
struct Question {
  std::size_t sire = 0, f = 0;  ///< f: index into PairingTable::faults.
  unsigned kids = 0;
  double money = 0.0;
};

class Asking {
 public:
  Asking(const Herd& herd, const Genetics& genetics, const PairingTable& table,
         const SeasonPlan& plan, const FindOutOptions& options, const Run& run)
      : herd_(herd),
        genetics_(genetics),
        table_(table),
        plan_(plan),
        options_(options),
        run_(run),
        offspring_(herd.pedigree),
        evidence_(herd) {}

  std::vector<WorthOfKnowing> all() const {
    std::vector<WorthOfKnowing> result;
    for (const Question& question : asked([&](auto& q) { return can_be_tested(q); })) {
      result.push_back(worth_of_test(question));
    }
    for (const Question& question : asked([&](auto& q) { return has_kids(q); })) {
      result.push_back(worth_of_kids(question));
    }
    for (const Question& question : with_blanks()) {
      result.push_back(worth_of_papers(question.sire));
    }
    result.erase(std::remove_if(result.begin(), result.end(),
                                [](const auto& worth) { return worth.worth < least_worth; }),
                 result.end());
    std::stable_sort(result.begin(), result.end(), [](const auto& a, const auto& b) {
      return std::llround(a.worth * 1e6) > std::llround(b.worth * 1e6);
    });
    return result;
  }

 private:
  /// What the fault costs over all does that may be served, a ruled out pair by its whole gain.
  double money_behind(std::size_t sire, std::size_t f) const {
    double sum = 0.0;
    for (const DoeAccount& doe : table_.does) {
      if (doe.fitness.on_hold()) continue;
      for (const PairingAccount& pair : doe.sires) {
        if (pair.offer != sire || !pair.money) continue;
        const bool out = pair.verdict == Verdict::avoid && pair.faults[f].cost > 0.0;
        sum += pair.faults[f].cost +
               (out ? std::max(0.0, pair.money->value - herd_.season.open_value) : 0.0);
      }
    }
    return sum;
  }

  template <class MayBe>
  std::vector<Question> asked(const MayBe& may_be) const {
    std::vector<Question> questions;
    for (std::size_t s = 0; s < table_.sires.size(); ++s) {
      for (std::size_t f = 0; f < table_.faults.size(); ++f) {
        Question question{.sire = s, .f = f, .kids = 0, .money = money_behind(s, f)};
        if (question.money >= least_worth && may_be(question)) questions.push_back(question);
      }
    }
    return most_money(std::move(questions));
  }

  std::vector<Question> most_money(std::vector<Question> questions) const {
    std::stable_sort(questions.begin(), questions.end(), [](const auto& a, const auto& b) {
      return std::llround(a.money * 1e6) > std::llround(b.money * 1e6);
    });
    if (questions.size() > options_.most_questions) questions.resize(options_.most_questions);
    return questions;
  }

  /// What his blanks cost over all does that may be served, a ruled out pair by its whole gain.
  std::vector<Question> with_blanks() const {
    std::vector<Question> questions;
    for (std::size_t s = 0; s < table_.sires.size(); ++s) {
      Question question{.sire = s, .f = 0, .kids = 0, .money = 0.0};
      for (const DoeAccount& doe : table_.does) {
        if (doe.fitness.on_hold()) continue;
        for (const PairingAccount& pair : doe.sires) {
          const KidInbreeding& f = pair.kid_inbreeding;
          if (pair.offer != s || !pair.money || f.used <= f.as_recorded) continue;
          question.money -= pair.money->inbreeding * (1.0 - f.as_recorded / f.used);
          if (pair.verdict != Verdict::avoid) continue;
          question.money += std::max(0.0, pair.money->value - herd_.season.open_value);
        }
      }
      if (question.money >= least_worth) questions.push_back(question);
    }
    return most_money(std::move(questions));
  }

  const FaultModel& model(std::size_t f) const { return herd_.faults[table_.faults[f]]; }
  Animal buck(std::size_t sire) const { return table_.sires[sire].offer.sire; }

  bool can_be_tested(Question& question) const {
    const FaultModel& fault = model(question.f);
    if (fault.kind != FaultKind::locus || !fault.same_locus_as.empty() || fault.key == "polled") {
      return false;
    }
    return std::none_of(
        herd_.gene_tests.begin(), herd_.gene_tests.end(), [&](const GeneTest& test) {
          return test.animal == buck(question.sire) && test.fault == table_.faults[question.f];
        });
  }

  /// Earlier kids of his that nobody has looked at: in the book, and elsewhere by his record.
  bool has_kids(Question& question) const {
    if (model(question.f).key == "polled") return false;
    unsigned kids = 0;
    for (const Animal kid : offspring_.of(buck(question.sire))) {
      const bool there = !herd_.animals.gone[kid.position];
      kids += there && evidence_.looked_at(kid, table_.faults[question.f]).look == Look::not_looked;
    }
    kids += table_.sires[question.sire].offer.settled.value_or(0);
    question.kids = std::min(options_.kids, kids);
    return question.kids > 0;
  }

  std::int64_t best_after(const PairingTable& after) const {
    return solve(plan_problem(herd_, after).problem, options_.effort, run_).objective;
  }

  /// What the plan that stands is worth in that table.
  std::int64_t kept_in(const PairingTable& after) const {
    double gained = 0.0;
    for (const PlannedPair& pair : plan_.pairings) {
      gained += after.does[pair.doe].sires[pair.account].money->value -
                table_.does[pair.doe].sires[pair.account].money->value;
    }
    return plan_.choice.objective + std::llround(gained * 1e6);
  }

  /// What follows from these records; nothing changes where they contradict others.
  PossibleAnswer answered(unsigned found, double chance, const Herd& book) const {
    PossibleAnswer answer{found, chance, plan_.choice.objective, plan_.choice.objective};
    const Genetics fitted = refitted(genetics_, book, {.seed = options_.seed}, run_);
    WhatIf what;
    for (std::size_t i = 0; i < table_.faults.size(); ++i) {
      if (!book.faults[table_.faults[i]].use) continue;
      what.faults.push_back(table_.faults[i]);
      if (!fitted.faults[i].possible()) return answer;
    }
    const PairingTable after = revalued(herd_, fitted, table_, what, run_);
    answer.objective = best_after(after);
    answer.kept = kept_in(after);
    return answer;
  }

  void mean_of(WorthOfKnowing& worth) const {
    const bool one_gene = herd_.faults[*worth.fault].kind == FaultKind::locus;
    double mean = 0.0;
    for (const PossibleAnswer& answer : worth.answers) {
      const std::int64_t without = one_gene ? plan_.choice.objective : answer.kept;
      mean += answer.chance * static_cast<double>(answer.objective - without);
    }
    worth.worth = std::max(0.0, mean / 1e6);
  }

  WorthOfKnowing worth_of_test(const Question& question) const {
    WorthOfKnowing worth{.sire = question.sire,
                         .what = FindOut::gene_test,
                         .fault = table_.faults[question.f],
                         .answers = {}};
    unsigned copies = 0;
    for (const double chance :
         answers_of_test(herd_, genetics_, table_, question.sire, question.f)) {
      Herd book = for_one_fault(herd_, *worth.fault);
      GeneTest test;
      test.animal = buck(question.sire);
      test.fault = *worth.fault;
      test.copies = static_cast<std::uint8_t>(copies);
      test.laboratory = "asked";
      book.gene_tests.push_back(test);
      worth.answers.push_back(answered(copies++, chance, book));
    }
    mean_of(worth);
    return worth;
  }

  WorthOfKnowing worth_of_kids(const Question& question) const {
    WorthOfKnowing worth{.sire = question.sire,
                         .what = FindOut::kids,
                         .fault = table_.faults[question.f],
                         .kids = question.kids,
                         .answers = {}};
    unsigned affected = 0;
    for (const double chance :
         answers_of_kids(herd_, genetics_, table_, question.sire, question.f, question.kids)) {
      Herd book = for_one_fault(herd_, *worth.fault);
      KidCount count;
      count.sire = buck(question.sire);
      count.fault = *worth.fault;
      count.examined = question.kids;
      count.affected = affected;
      book.kid_counts.push_back(count);
      worth.answers.push_back(answered(affected++, chance, book));
    }
    mean_of(worth);
    return worth;
  }

  WorthOfKnowing worth_of_papers(std::size_t sire) const {
    WorthOfKnowing worth{.sire = sire, .what = FindOut::papers, .fault = {}, .answers = {}};
    const WhatIf what{.faults = {}, .papers_of = sire};
    const std::int64_t best = best_after(revalued(herd_, genetics_, table_, what, run_));
    worth.worth = std::max(0.0, static_cast<double>(best - plan_.choice.objective) / 1e6);
    return worth;
  }

  const Herd& herd_;
  const Genetics& genetics_;
  const PairingTable& table_;
  const SeasonPlan& plan_;
  const FindOutOptions& options_;
  const Run& run_;
  Offspring offspring_;
  EvidenceIndex evidence_;
};

}  // namespace

std::string_view word(FindOut what) noexcept {
  switch (what) {
    case FindOut::gene_test:
      return "gene-test";
    case FindOut::kids:
      return "kids";
    case FindOut::papers:
      return "papers";
  }
  return "";
}

std::vector<WorthOfKnowing> worth_of_knowing(const Herd& herd, const Genetics& genetics,
                                             const PairingTable& table, const SeasonPlan& plan,
                                             const FindOutOptions& options, const Run& run) {
  if (!plan.choice.feasible || table.does.empty() || table.sires.empty()) return {};
  return Asking(herd, genetics, table, plan, options, run).all();
}

}  // namespace doewright
