// SPDX-License-Identifier: MIT
#include <doewright/pairing/what_would_lead.hpp>

#include <algorithm>
#include <optional>

#include <doewright/pairing/reason_codes.hpp>
#include "reason_list.hpp"

namespace doewright {

namespace {

/// An answer that would be good news of a sire.
struct GoodAnswer {
  Animal sire;
  FaultIndex fault = 0;
  std::uint32_t clear_kids = 0;  ///< 0: a gene test that reads clear.
};

/// The table again, with an answer in the book.
class AnsweredBook {
 public:
  AnsweredBook(const Herd& herd, const Genetics& genetics, const ScoreOptions& asked,
               const Run& run)
      : genetics_(genetics), asked_(asked), run_(run), book_(herd), of_one_(herd) {
    asked_.draws = 0;
  }

  /// Is he first for her, and not `avoid`.
  bool leads(Animal doe, const GoodAnswer& answer) {
    put(answer, book_);
    put(answer, of_one_);
    for (FaultModel& fault : of_one_.faults) fault.use = false;
    of_one_.faults[answer.fault].use = true;
    const bool first = is_first(doe, answer);
    take_out(answer, book_);
    take_out(answer, of_one_);
    return first;
  }

 private:
  static void put(const GoodAnswer& answer, Herd& herd) {
    const PartialDate today = PartialDate::of(herd.as_of);
    if (answer.clear_kids == 0) {
      GeneTest& test = herd.gene_tests.emplace_back();
      test.animal = answer.sire;
      test.fault = answer.fault;
      test.date = today;
    } else {
      KidCount& count = herd.kid_counts.emplace_back();
      count.sire = answer.sire;
      count.fault = answer.fault;
      count.examined = answer.clear_kids;
      count.date = today;
    }
  }
  static void take_out(const GoodAnswer& answer, Herd& herd) {
    if (answer.clear_kids == 0) {
      herd.gene_tests.pop_back();
    } else {
      herd.kid_counts.pop_back();
    }
  }

  bool is_first(Animal doe, const GoodAnswer& answer) const {
    Genetics with = genetics_;
    const EvidenceIndex evidence(of_one_);
    for (std::size_t f = 0; f < with.faults.size(); ++f) {
      if (with.faults[f].fault() != answer.fault) continue;
      FaultOptions options;
      options.seed = asked_.seed;
      with.faults[f] = fit_faults(of_one_, with.kinship, evidence, options, run_).front();
      if (!with.faults[f].possible()) return false;
      if (with.faults_told.empty() || !with.faults_told[f].has_told()) continue;
      options.with_told = true;
      with.faults_told[f] = fit_faults(of_one_, with.kinship, evidence, options, run_).front();
      if (!with.faults_told[f].possible()) return false;
    }
    const PairingTable table = score(book_, with, asked_, run_);
    for (const DoeAccount& account : table.does) {
      if (account.doe.doe != doe) continue;
      const PairingAccount& first = account.sires.front();
      return first.pairing.sire == answer.sire && first.verdict != Verdict::avoid;
    }
    return false;
  }

  const Genetics& genetics_;
  ScoreOptions asked_;
  const Run& run_;
  Herd book_;
  Herd of_one_;  ///< The same with one fault in use: to fit that alone.
};

/// `avoid` for nothing but a lethal fault, which an answer may take away.
bool may_become_first(const PairingAccount& pair) {
  return std::all_of(pair.rules.begin(), pair.rules.end(), [](const RuleHit& hit) {
    return hit.verdict != Verdict::avoid || hit.rule == "lethal";
  });
}

bool shares_its_gene(const Herd& herd, const FaultModel& model) {
  return !model.same_locus_as.empty() ||
         std::any_of(herd.faults.begin(), herd.faults.end(), [&](const FaultModel& other) {
           return other.use && other.same_locus_as == model.key;
         });
}

class Questioner {
 public:
  Questioner(const Herd& herd, const Genetics& genetics, const ScoreOptions& asked,
             const WhatWouldLeadOptions& options, const Run& run)
      : herd_(herd), options_(options), answered_(herd, genetics, asked, run) {}

  void ask(const PairingTable& table, DoeAccount& doe) {
    if (doe.sires.empty() || doe.sires.front().verdict == Verdict::avoid) return;
    for (PairingAccount* pair : candidates(doe)) {
      std::optional<GoodAnswer> best;
      for (const std::size_t f : dearest_faults(table, doe.sires.front(), *pair)) {
        const auto found = least_answer(table, f, *pair);
        if (found && (!best || found->clear_kids < best->clear_kids)) best = found;
      }
      if (!best) continue;
      ReasonList questions(pair->questions);
      questions.add(reason::ask_would_lead, 1.0, {best->sire, doe.doe.doe},
                    {double(best->fault), double(best->clear_kids)});
      questions.sort();
    }
  }

 private:
  std::vector<PairingAccount*> candidates(DoeAccount& doe) const {
    std::vector<PairingAccount*> result;
    for (std::size_t s = 1; s < doe.sires.size(); ++s) {
      if (may_become_first(doe.sires[s])) result.push_back(&doe.sires[s]);
    }
    std::stable_sort(result.begin(), result.end(),
                     [](const PairingAccount* a, const PairingAccount* b) {
                       return a->money->value > b->money->value;
                     });
    result.resize(std::min(result.size(), options_.most_pairs));
    return result;
  }

  /// Indices into PairingTable::faults. A fault that costs less than he is behind cannot put him
  /// first; half as much again is allowed for, as faults are charged together.
  std::vector<std::size_t> dearest_faults(const PairingTable& table, const PairingAccount& first,
                                          const PairingAccount& pair) const {
    const double behind = first.money->value - pair.money->value;
    std::vector<std::size_t> result;
    for (std::size_t f = 0; f < pair.faults.size(); ++f) {
      const PairFault& fault = pair.faults[f];
      if (fault.cost <= 0.0 || 1.5 * fault.cost < behind) continue;
      if (fault.risk.method == Method::sampled) continue;
      if (shares_its_gene(herd_, herd_.faults[table.faults[f]])) continue;
      result.push_back(f);
    }
    std::stable_sort(result.begin(), result.end(), [&](std::size_t a, std::size_t b) {
      return pair.faults[a].cost > pair.faults[b].cost;
    });
    result.resize(std::min(result.size(), options_.most_faults));
    return result;
  }

  std::optional<GoodAnswer> least_answer(const PairingTable& table, std::size_t f,
                                         const PairingAccount& pair) {
    const FaultIndex fault = table.faults[f];
    const Animal doe = pair.pairing.doe;
    GoodAnswer answer{pair.pairing.sire, fault, 0};
    if (herd_.faults[fault].kind == FaultKind::locus) {
      const bool tested = table.sires[pair.offer].faults[f].test.copies.has_value();
      if (tested || !answered_.leads(doe, answer)) return std::nullopt;
      return answer;
    }
    answer.clear_kids = options_.most_kids;
    if (answer.clear_kids == 0 || !answered_.leads(doe, answer)) return std::nullopt;
    std::uint32_t too_few = 0;
    while (answer.clear_kids - too_few > 1) {
      const std::uint32_t middle = too_few + (answer.clear_kids - too_few) / 2;
      if (answered_.leads(doe, {answer.sire, fault, middle})) {
        answer.clear_kids = middle;
      } else {
        too_few = middle;
      }
    }
    return answer;
  }

  const Herd& herd_;
  WhatWouldLeadOptions options_;
  AnsweredBook answered_;
};

}  // namespace

void ask_what_would_lead(const Herd& herd, const Genetics& genetics, const ScoreOptions& asked,
                         PairingTable& table, const WhatWouldLeadOptions& options, const Run& run) {
  ScoreOptions again = asked;
  again.doe_kept = table.doe_kept;  // an answer on one fault is not let move whom else the keeper keeps
  Questioner questioner(herd, genetics, again, options, run);
  for (DoeAccount& doe : table.does) {
    throw_if_stopped(run);
    questioner.ask(table, doe);
  }
}

}  // namespace doewright
