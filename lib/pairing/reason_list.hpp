// SPDX-License-Identifier: MIT
#pragma once
/// What the reasons of a pair and the questions about it share: weights, and a list that keeps order.
#include <algorithm>
#include <cmath>
#include <string_view>
#include <vector>

#include <doewright/pairing/pairing.hpp>

namespace doewright {

inline constexpr double weight_avoid = 100.0, weight_caution = 10.0, weight_record = 0.4;
inline constexpr double weight_money = 10.0, most_of_money = 9.0;

inline Verdict verdict_of(const PairingAccount& pair, std::string_view rule) {
  for (const RuleHit& hit : pair.rules) {
    if (hit.rule == rule) return hit.verdict;
  }
  return Verdict::go;
}

inline double weight_of(Verdict verdict) {
  return verdict == Verdict::avoid     ? weight_avoid
         : verdict == Verdict::caution ? weight_caution
                                       : 0.5;
}

class ReasonList {
 public:
  explicit ReasonList(std::vector<Reason>& list) : list_(list) {}
  Reason& add(std::string_view code, double effect, std::vector<Animal> animals,
              std::vector<double> numbers = {}, std::vector<Row> records = {}) {
    std::erase_if(records, [](Row row) { return row.line == 0; });
    return list_.emplace_back(
        Reason{code, effect, std::move(animals), std::move(numbers), std::move(records)});
  }
  void sort() {
    std::stable_sort(list_.begin(), list_.end(),
                     [](const Reason& a, const Reason& b) { return a.effect > b.effect; });
  }

 private:
  std::vector<Reason>& list_;
};

/// Weight of money moved: ten times its share of what the kids are worth.
inline double weight_of_money(double money, const PairingAccount& pair) {
  const double kids = std::max(std::abs(pair.money->kids), 1.0);
  return std::min(most_of_money, weight_money * std::abs(money) / kids);
}

/// Neither it, its parents nor its kids, here or elsewhere.
inline bool nobody_looked(const FaultEvidence& e) {
  return !e.test.copies && e.own.look == Look::not_looked && e.sire.look == Look::not_looked &&
         !e.sire_test.copies && !e.dam_test.copies && e.dam.look == Look::not_looked &&
         e.kids.examined == 0 && e.kids_tested.examined == 0 && e.elsewhere_seen.examined == 0 &&
         e.elsewhere_told.examined == 0;
}

/// Faults of a pair: what was found on both sides, gene tests, and what a kid may show.
void say_faults_of_pair(const Herd& herd, const PairingTable& table, const DoeAccount& doe,
                        const PairingAccount& pair, ReasonList& reasons);
/// Leaves out what a risk's sentence says already.
void drop_what_risks_say(std::vector<Reason>& reasons);
/// Questions about one pair.
void ask_of_pair(const Herd& herd, const PairingTable& table, PairingAccount& pair);

}  // namespace doewright
