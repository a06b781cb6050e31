// SPDX-License-Identifier: MIT
#include "keep_reasons.hpp"

#include <algorithm>

#include <doewright/pairing/keep_reason_codes.hpp>
#include <doewright/pairing/reason_codes.hpp>

#include "keep_worth.hpp"
#include "kids_of_sire.hpp"

namespace doewright {

namespace {

constexpr double worth_saying = 1.0;         // money
constexpr double chance_worth_saying = 0.1;  // of carrying

class KidReasons {
 public:
  KidReasons(const Herd& herd, const Genetics& genetics, const EvidenceIndex& evidence,
             const KeepAdvice& advice)
      : herd_(herd), genetics_(genetics), evidence_(evidence), advice_(advice) {
    for (const DoeKid& kid : advice.kids) mean_kinship_ += kid.kinship_to_herd;
    if (!advice.kids.empty()) mean_kinship_ /= static_cast<double>(advice.kids.size());
  }

  std::vector<Reason> of(const DoeKid& kid) {
    reasons_.clear();
    faults_found(kid);
    merit(kid);
    looks(kid);
    parents_faults(kid);
    chances(kid);
    sisters(kid);
    kin(kid);
    std::stable_sort(reasons_.begin(), reasons_.end(),
                     [](const Reason& a, const Reason& b) { return a.effect > b.effect; });
    return std::move(reasons_);
  }

 private:
  void add(std::string_view code, double effect, std::vector<Animal> animals,
           std::vector<double> numbers, std::vector<Row> records = {}) {
    reasons_.push_back({.code = code,
                        .effect = effect,
                        .animals = std::move(animals),
                        .numbers = std::move(numbers),
                        .records = std::move(records)});
  }

  void faults_found(const DoeKid& kid) {
    for (const KeepFault& fault : kid.faults) {
      if (!fault.speaks_against) continue;
      add(reason::keep_fault_found, 1e6 + fault.cost, {kid.kid},
          {static_cast<double>(fault.fault),
           fault.grade ? static_cast<double>(*fault.grade) : -1.0},
          evidence_.looked_at(kid.kid, fault.fault).rows);
    }
  }

  void merit(const DoeKid& kid) {
    double most = 0.0;
    bool any = false;
    for (const MeritFit& fit : genetics_.merit) {
      for (const TraitIndex trait : fit.traits()) {
        if (herd_.traits[trait].value_keep == 0.0) continue;
        any = true;
        most = std::max(most, fit.of(kid.kid, trait).reliability);
      }
    }
    if (any) add(reason::keep_merit, 1000.0, {kid.kid}, {kid.index, most});
  }

  void looks(const DoeKid& kid) {
    std::vector<double> clear = {0.0};
    std::vector<Row> rows;
    bool looked = false;
    for (const KeepFault& fault : kid.faults) {
      const LookedAt look = evidence_.looked_at(kid.kid, fault.fault);
      if (!truly_looked_at(herd_.faults[fault.fault], look)) continue;
      looked = true;
      if (look.look != Look::clear) continue;
      clear.push_back(static_cast<double>(fault.fault));
      rows.insert(rows.end(), look.rows.begin(), look.rows.end());
    }
    clear[0] = static_cast<double>(clear.size() - 1);
    if (clear.size() > 1) {
      add(reason::keep_looked, 500.0, {kid.kid}, std::move(clear), std::move(rows));
    }
    if (!looked) add(reason::keep_not_looked, 2000.0, {kid.kid}, {});
  }

  void parents_faults(const DoeKid& kid) {
    const auto sire = herd_.pedigree.sire(kid.kid), dam = herd_.pedigree.dam(kid.kid);
    for (const KeepFault& fault : kid.faults) {
      const FaultModel& model = herd_.faults[fault.fault];
      const auto index = static_cast<double>(fault.fault);
      const auto say = [&](std::string_view code, std::optional<Animal> parent) {
        if (!parent) return;
        const LookedAt look = evidence_.looked_at(*parent, fault.fault);
        if (look.look != Look::found || !truly_looked_at(model, look)) return;
        if (costs_a_keeper(model, look)) {
          add(code, 400.0 + fault.cost, {kid.kid, *parent}, {index}, look.rows);
        }
      };
      say(reason::fault_sire, sire);
      say(reason::fault_dam, dam);
    }
  }

  void chances(const DoeKid& kid) {
    for (const KeepFault& fault : kid.faults) {
      const auto index = static_cast<double>(fault.fault);
      if (fault.look != Look::found && fault.cost >= worth_saying && fault.carries < fault.shows) {
        add(reason::keep_may_show, 300.0 + fault.cost, {kid.kid}, {index, fault.shows, fault.cost});
      }
      const bool matters = herd_.faults[fault.fault].cost_carried > 0.0;
      if (matters && fault.carries >= chance_worth_saying) {
        add(reason::keep_may_carry, 300.0 + fault.cost, {kid.kid}, {index, fault.carries});
      }
    }
  }

  /// Spread: the first kid of a sire or dam on the list is named, the later ones say who is before.
  void sisters(const DoeKid& kid) {
    const auto sire = herd_.pedigree.sire(kid.kid), dam = herd_.pedigree.dam(kid.kid);
    const DoeKid* by_sire = nullptr;
    const DoeKid* by_dam = nullptr;
    double daughters = 0.0;
    for (const DoeKid& other : advice_.kids) {
      const bool same_sire = sire && herd_.pedigree.sire(other.kid) == sire;
      daughters += same_sire ? 1.0 : 0.0;
      if (other.rank >= kid.rank) continue;
      if (same_sire && by_sire == nullptr) by_sire = &other;
      if (dam && herd_.pedigree.dam(other.kid) == dam && by_dam == nullptr) by_dam = &other;
    }
    if (!sire) add(reason::keep_sire_unsure, 200.0, {kid.kid}, {});
    if (by_sire != nullptr) add(reason::keep_same_sire, 200.0, {kid.kid, *sire, by_sire->kid}, {});
    if (sire && by_sire == nullptr) {
      add(reason::keep_first_of_sire, 200.0, {kid.kid, *sire}, {daughters});
    }
    if (by_dam != nullptr) add(reason::keep_same_dam, 210.0, {kid.kid, *dam, by_dam->kid}, {});
  }

  void kin(const DoeKid& kid) {
    add(reason::keep_kin, 100.0, {kid.kid},
        {kid.kinship_to_herd, static_cast<double>(advice_.herd_does), mean_kinship_});
    const double f = genetics_.kinship.inbreeding_of(kid.kid);
    if (f >= advice_.door_limit) add(reason::keep_inbred, 150.0, {kid.kid}, {f});
  }

  const Herd& herd_;
  const Genetics& genetics_;
  const EvidenceIndex& evidence_;
  const KeepAdvice& advice_;
  double mean_kinship_ = 0.0;
  std::vector<Reason> reasons_;
};

}  // namespace

void give_reasons(const Herd& herd, const Genetics& genetics, const EvidenceIndex& evidence,
                  KeepAdvice& advice) {
  std::vector<std::vector<Reason>> reasons;
  KidReasons words(herd, genetics, evidence, advice);
  for (const DoeKid& kid : advice.kids) reasons.push_back(words.of(kid));
  for (std::size_t k = 0; k < advice.kids.size(); ++k) {
    advice.kids[k].reasons = std::move(reasons[k]);
  }
}

}  // namespace doewright
