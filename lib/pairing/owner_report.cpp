// SPDX-License-Identifier: MIT
// DEFINITIONS 11, "owner": counts for the owner of a buck, a kid of an unsure sire by its chance.
#include <doewright/pairing/owner_report.hpp>

#include <algorithm>
#include <set>

#include <doewright/core/errors.hpp>

#include "kids_of_sire.hpp"
#include "service_turns.hpp"

namespace doewright {

namespace {

class OwnerCounts {
 public:
  OwnerCounts(const Herd& herd, Animal sire) : herd_(herd), histories_(herd) {
    report_.sire = sire;
  }

  OwnerReport count() {
    for (const Animal doe : does()) add_doe(doe);
    std::sort(report_.put.begin(), report_.put.end(), [&](const PutToHim& a, const PutToHim& b) {
      const PartialDate day_a = a.from.known() ? a.from : a.kidding;
      const PartialDate day_b = b.from.known() ? b.from : b.kidding;
      if (day_a != day_b) return day_a < day_b;
      return herd_.ids[a.doe] < herd_.ids[b.doe];
    });
    for (const PutToHim& put : report_.put) add_up(put);
    count_kids(herd_, his_kids_, report_);
    return std::move(report_);
  }

 private:
  /// Every doe that he served, that kidded to him, or that is the dam of a kid of his.
  std::set<Animal> does() {
    std::set<Animal> result;
    for (const Service& each : herd_.services) {
      if (each.sire == report_.sire) result.insert(each.doe);
    }
    for (const Kidding& each : herd_.kiddings) {
      if (each.sire == report_.sire) result.insert(each.doe);
    }
    for (std::uint32_t i = 0; i < herd_.pedigree.size(); ++i) {
      const double chance = chance_of_sire(herd_.pedigree, Animal{i}, report_.sire).value_or(0.0);
      if (chance <= 0.0) continue;
      his_kids_[Animal{i}] = chance;
      if (const auto dam = herd_.pedigree.dam(Animal{i})) result.insert(*dam);
    }
    return result;
  }

  void add_doe(Animal doe) {
    const std::vector<DoeLitter> litters = histories_.litters(doe);
    std::set<const DoeLitter*> done;
    for (const ServiceTurn& turn : histories_.turns(doe, report_.sire, litters)) {
      report_.put.push_back(put_of(doe, turn));
      if (turn.litter == nullptr && kidded_too_late(turn, litters)) {
        report_.put.back().settled = false;
      }
      if (turn.litter != nullptr) done.insert(turn.litter);
    }
    for (const DoeLitter& litter : litters) {
      if (done.contains(&litter)) continue;
      const auto [share, by] = written_share(litter);
      if (!share || *share <= 0.0) continue;
      PutToHim put{.doe = doe,
                   .from = {},
                   .to = {},
                   .services = {},
                   .kidding = {},
                   .other_bucks = {},
                   .born = {},
                   .alive = {},
                   .raised = {}};
      take_kidding(put, litter, *share, by);
      report_.put.push_back(std::move(put));
    }
  }

  PutToHim put_of(Animal doe, const ServiceTurn& turn) {
    PutToHim put{.doe = doe,
                 .from = turn.services.front()->from,
                 .to = {},
                 .running = turn.running,
                 .services = {},
                 .kidding = {},
                 .other_bucks = {},
                 .born = {},
                 .alive = {},
                 .raised = {}};
    if (!turn.running) put.to = PartialDate::of(turn.last);
    for (const Service* each : turn.services) put.services.push_back(each->row);
    put.tested = !turn.checks.empty();
    put.found_in_kid = once_found_in_kid(turn);
    put.found_empty = last_found_empty(turn);
    put.other_bucks = others(doe, turn);
    put.settled = put.found_in_kid;
    if (turn.litter == nullptr) {
      put.too_early = !put.settled && !put.found_empty && !is_over(herd_, turn);
      return put;
    }
    auto [share, by] = written_share(*turn.litter);
    if (!share) {
      share = 1.0 / static_cast<double>(1 + put.other_bucks.size());
      by = put.other_bucks.empty() ? HisBy::served_alone : HisBy::shared;
    }
    put.settled = *share > 0.0;  // in kid to another, if she kidded to another
    if (put.settled) take_kidding(put, *turn.litter, *share, by);
    return put;
  }

  /// In kid by a check, and she then kidded too long after his last day: it was not to him.
  static bool kidded_too_late(const ServiceTurn& turn, const std::vector<DoeLitter>& litters) {
    constexpr std::int32_t longest_pregnancy = 170;
    if (turn.checks.empty()) return false;
    const Date last_check = turn.checks.back()->date.latest();
    return std::any_of(litters.begin(), litters.end(), [&](const DoeLitter& litter) {
      return litter.date.known() && litter.date.earliest() > last_check &&
             litter.date.earliest() <= last_check + longest_pregnancy;
    });
  }

  /// Other bucks with her in the same weeks: from 30 days before his first day to 30 after his
  /// last, and not before or after a kidding that parts them.
  std::vector<Animal> others(Animal doe, const ServiceTurn& turn) const {
    constexpr std::int32_t weeks = 30;
    std::set<Animal> found;
    for (const Service* each : histories_.services(doe)) {
      if (each->sire == report_.sire || !each->from.known()) continue;
      if (service_ends(herd_, *each) >= turn.first - weeks &&
          service_begins(*each) <= turn.last + weeks) {
        found.insert(each->sire);
      }
    }
    return {found.begin(), found.end()};
  }

  /// His chance as the book has it, over the kids of the litter; empty: no sire is written down.
  std::pair<std::optional<double>, HisBy> written_share(const DoeLitter& litter) const {
    double sum = 0.0;
    std::size_t told = 0;
    bool unsure = false;
    const auto of_row = [&]() -> std::optional<double> {
      if (litter.row == nullptr || !litter.row->sire) return std::nullopt;
      return *litter.row->sire == report_.sire ? 1.0 : 0.0;
    };
    for (const Animal kid : litter.kids) {
      auto chance = chance_of_sire(herd_.pedigree, kid, report_.sire);
      unsure = unsure || (chance && *chance > 0.0 && *chance < 1.0);
      if (!chance) chance = of_row();
      if (!chance) continue;
      sum += *chance;
      ++told;
    }
    if (told > 0) {
      return {sum / static_cast<double>(told), unsure ? HisBy::possible : HisBy::recorded};
    }
    return {of_row(), HisBy::recorded};
  }

  void take_kidding(PutToHim& put, const DoeLitter& litter, double share, HisBy by) {
    put.settled = put.kidded = true;
    put.kidding = litter.date;
    put.share = share;
    put.by = by;
    put.born = litter.born();
    put.alive = litter.alive();
    put.raised = litter.raised();
    for (const Animal kid : litter.kids) {  // a kid without a sire of its own is the kidding's
      if (!chance_of_sire(herd_.pedigree, kid, report_.sire)) his_kids_[kid] = share;
    }
  }

  void add_up(const PutToHim& put) {
    ++report_.served;
    report_.not_written += put.services.empty() ? 1u : 0u;
    report_.tested += put.tested ? 1u : 0u;
    report_.settled += put.settled ? 1u : 0u;
    report_.kidded += put.kidded ? 1u : 0u;
    report_.too_early += put.too_early ? 1u : 0u;
    report_.two_bucks += put.other_bucks.empty() ? 0u : 1u;
    if (!put.kidded) return;
    const auto add = [&](KidTally& tally, const std::optional<double>& number) {
      if (number) {
        tally.kids += put.share * *number;
      } else {
        ++tally.not_recorded;
      }
    };
    add(report_.born, put.born);
    add(report_.alive, put.alive);
    add(report_.raised, put.raised);
  }

  const Herd& herd_;
  DoeHistories histories_;
  OwnerReport report_;
  KidsOfSire his_kids_;
};

}  // namespace

OwnerReport owner_report(const Herd& herd, Animal sire) {
  if (sire.position >= herd.pedigree.size()) throw UsageError("owner: no such animal");
  return OwnerCounts(herd, sire).count();
}

}  // namespace doewright
