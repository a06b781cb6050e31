// SPDX-License-Identifier: MIT
#include "does_to_leave.hpp"

#include <algorithm>
#include <cmath>

#include <doewright/pairing/fitness.hpp>
#include <doewright/pairing/keep_reason_codes.hpp>
#include <doewright/pairing/reason_codes.hpp>

#include "keep_worth.hpp"
#include "kids_of_sire.hpp"
#include "service_turns.hpp"

namespace doewright {

namespace {

// Common practice, no source.
constexpr double prior_kiddings = 5.0;  // how many kiddings at the herd's mean each doe begins with
constexpr double far_under = 0.8;       // of the herd mean
constexpr double decline = 1.0;         // kids raised a kidding
constexpr int old_months = 120;

/// Weights order the list and the reasons of one doe; they decide nothing else.
constexpr double weight_settle = 5, weight_help = 4, weight_fault = 3, weight_raised = 2,
                 weight_decision = 1, weight_age = 0;

Reason leave_reason(std::string_view code, double weight, Animal doe, std::vector<double> numbers,
                    std::vector<Row> records) {
  return {.code = code,
          .effect = weight,
          .animals = {doe},
          .numbers = std::move(numbers),
          .records = std::move(records)};
}

class DoeRecord {
 public:
  DoeRecord(const Herd& herd, const DoeHistories& histories, Animal doe)
      : herd_(herd), doe_(doe), litters_(histories.litters(doe)) {
    turns_ = histories.turns(doe, std::nullopt, litters_);
  }

  void never_settled_or_empty(std::vector<Reason>& reasons) const {
    std::uint32_t empty = 0, last_empty = 0;
    bool settled = !litters_.empty();
    std::vector<Row> rows;
    for (const ServiceTurn& turn : turns_) {
      const bool in_kid = turn.litter != nullptr || once_found_in_kid(turn);
      settled = settled || in_kid;
      if (in_kid) last_empty = 0;
      if (in_kid || !(last_found_empty(turn) || is_over(herd_, turn))) continue;
      ++empty;
      ++last_empty;
      for (const Service* each : turn.services) rows.push_back(each->row);
    }
    if (!settled && empty > 0) {
      reasons.push_back(leave_reason(reason::leave_never_settled, weight_settle, doe_,
                                     {static_cast<double>(empty)}, std::move(rows)));
    } else if (settled && last_empty >= 2) {
      reasons.push_back(leave_reason(reason::leave_empty, weight_settle, doe_,
                                     {static_cast<double>(last_empty)}, std::move(rows)));
    }
  }

  void hard_help(std::vector<Reason>& reasons) const {
    std::uint32_t hard = 0, recorded = 0;
    std::vector<Row> rows;
    for (const DoeLitter& litter : litters_) {
      if (litter.row == nullptr || litter.row->help == KiddingHelp::unknown) continue;
      ++recorded;
      if (litter.row->help != KiddingHelp::hard) continue;
      ++hard;
      rows.push_back(litter.row->row);
    }
    if (hard < hard_kiddings_most) return;
    reasons.push_back(leave_reason(reason::leave_hard_help, weight_help, doe_,
                                   {static_cast<double>(hard), static_cast<double>(recorded)},
                                   std::move(rows)));
  }

  void kids_raised(double herd_mean, std::vector<Reason>& reasons) const {
    std::vector<double> raised;
    std::vector<Row> rows;
    for (const DoeLitter& litter : litters_) {
      const std::optional<double> number = litter.raised();
      if (!number) continue;
      raised.push_back(*number);
      rows.push_back(litter.row->row);
    }
    if (raised.empty()) return;
    const auto n = static_cast<double>(raised.size());
    const double sum = sum_of(raised, 0, raised.size());
    const double shrunken = (sum + prior_kiddings * herd_mean) / (n + prior_kiddings);
    if (shrunken < far_under * herd_mean - 1e-12) {
      reasons.push_back(leave_reason(reason::leave_few_raised, weight_raised, doe_,
                                     {sum, n, shrunken, herd_mean}, rows));
    }
    if (raised.size() < 4) return;
    const double late = sum_of(raised, raised.size() - 2, raised.size()) / 2.0;
    const double early = sum_of(raised, 0, raised.size() - 2) / (n - 2.0);
    if (early - late < decline - 1e-12) return;
    reasons.push_back(
        leave_reason(reason::leave_decline, weight_raised, doe_, {late, early}, std::move(rows)));
  }

 private:
  static double sum_of(const std::vector<double>& values, std::size_t from, std::size_t to) {
    double sum = 0.0;
    for (std::size_t i = from; i < to; ++i) sum += values[i];
    return sum;
  }

  const Herd& herd_;
  Animal doe_;
  std::vector<DoeLitter> litters_;
  std::vector<ServiceTurn> turns_;
};

/// Over all kiddings of the book of which it is written down.
std::optional<double> mean_raised(const Herd& herd) {
  double sum = 0.0, n = 0.0;
  for (const Kidding& each : herd.kiddings) {
    if (!each.kids_raised) continue;
    sum += static_cast<double>(*each.kids_raised);
    n += 1.0;
  }
  if (n == 0.0) return std::nullopt;
  return sum / n;
}

void faults_found(const Herd& herd, const EvidenceIndex& evidence, Animal doe,
                  std::vector<Reason>& reasons) {
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    if (!herd.faults[f].use) continue;
    const LookedAt look = evidence.looked_at(doe, static_cast<FaultIndex>(f));
    if (look.look != Look::found || !truly_looked_at(herd.faults[f], look)) continue;
    if (!costs_a_keeper(herd.faults[f], look)) continue;
    reasons.push_back(
        leave_reason(reason::fault_own, weight_fault, doe, {static_cast<double>(f)}, look.rows));
  }
}

void own_decision(const Herd& herd, Animal doe, std::vector<Reason>& reasons) {
  for (const DoeForward& row : herd.does) {
    if (row.doe != doe || row.decision != Decision::no) continue;
    reasons.push_back(leave_reason(reason::doe_decided, weight_decision, doe, {2.0}, {row.row}));
  }
}

void age(const Herd& herd, Animal doe, std::vector<Reason>& reasons) {
  const PartialDate born = herd.animals.born[doe.position];
  if (reasons.empty() || !born.known()) return;
  const int months = months_between(born.latest(), herd.as_of);
  if (months < old_months) return;
  reasons.push_back(
      leave_reason(reason::leave_age, weight_age, doe, {std::floor(months / 12.0)}, {}));
}

double weight_of(const DoeToLeave& doe) {
  double sum = 0.0;
  for (const Reason& each : doe.reasons) sum += each.effect;
  return sum;
}

}  // namespace

std::vector<DoeToLeave> does_to_leave(const Herd& herd, const EvidenceIndex& evidence,
                                      const std::vector<Animal>& grown_does) {
  const DoeHistories histories(herd);
  const std::optional<double> herd_mean = mean_raised(herd);
  std::vector<DoeToLeave> result;
  for (const Animal doe : grown_does) {
    DoeToLeave entry{.doe = doe, .reasons = {}};
    const DoeRecord record(herd, histories, doe);
    record.never_settled_or_empty(entry.reasons);
    record.hard_help(entry.reasons);
    faults_found(herd, evidence, doe, entry.reasons);
    if (herd_mean) record.kids_raised(*herd_mean, entry.reasons);
    own_decision(herd, doe, entry.reasons);
    age(herd, doe, entry.reasons);
    if (!entry.reasons.empty()) result.push_back(std::move(entry));
  }
  std::sort(result.begin(), result.end(), [&](const DoeToLeave& a, const DoeToLeave& b) {
    const double weight_a = weight_of(a), weight_b = weight_of(b);
    return weight_a != weight_b ? weight_a > weight_b : herd.ids[a.doe] < herd.ids[b.doe];
  });
  return result;
}

}  // namespace doewright
