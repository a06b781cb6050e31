// SPDX-License-Identifier: MIT
#include <doewright/season/buck_gaps.hpp>

#include <algorithm>
#include <tuple>

#include <doewright/pairing/doe_review.hpp>
#include <doewright/timing/offer.hpp>
#include <doewright/timing/stay_terms.hpp>
#include <doewright/timing/whose.hpp>

namespace doewright {

namespace {

constexpr double certain = 0.95;
constexpr std::int32_t same_season_days = 100;
constexpr double sds_of_gestation = 6.0;

/// A buck's days with one doe.
struct PenDays {
  Animal sire;
  Date from, to;
};

class BuckGapFinder {
 public:
  BuckGapFinder(const Herd& herd, const PairingTable& table)
      : herd_(herd), table_(table), offspring_(herd.pedigree), shares_(breed_shares(herd)) {}

  std::vector<BuckGap> gaps(std::span<const std::size_t> used) {
    for (const DoeAccount& doe : table_.does) of_doe(doe.doe.doe);
    for (const std::size_t before : used) {
      for (const std::size_t after : used) of_stays(before, after);
    }
    std::stable_sort(gaps_.begin(), gaps_.end(),
                     [](const BuckGap& a, const BuckGap& b) { return a.before_to < b.before_to; });
    return std::move(gaps_);
  }

 private:
  std::vector<PenDays> pens_of(Animal doe) const {
    std::vector<PenDays> pens;
    const std::optional<Service> latest = served_this_season(herd_, offspring_, doe);
    if (!latest) return pens;
    for (const Service& service : herd_.services) {
      if (service.doe != doe || service.how != ServiceHow::pen || !service.from.known()) continue;
      PenDays pen{service.sire, service.from.earliest(), herd_.as_of};
      if (service.to.known()) {
        pen.to = service.to.latest();
      } else {
        pen.to = day_he_left(herd_, service.sire).value_or(herd_.as_of);
      }
      if (pen.from > herd_.as_of || pen.to < pen.from) continue;
      if (pen.to < latest->from.earliest() - same_season_days) continue;  // another season
      pens.push_back(pen);
    }
    std::stable_sort(pens.begin(), pens.end(), [](const PenDays& a, const PenDays& b) {
      return std::tie(a.from, a.to) < std::tie(b.from, b.to);
    });
    return pens;
  }

  void of_doe(Animal doe) {
    const std::vector<PenDays> pens = pens_of(doe);
    for (std::size_t k = 1; k < pens.size(); ++k) {
      const PenDays &first = pens[k - 1], &next = pens[k];
      const int days = next.from - first.to - 1;
      if (first.sire == next.sire || days >= least_gap_days) continue;
      const auto same = std::find_if(gaps_.begin(), gaps_.end(), [&](const BuckGap& gap) {
        return gap.before == first.sire && gap.after == next.sire && gap.before_to == first.to &&
               gap.after_from == next.from;
      });
      if (same != gaps_.end()) {
        same->does.push_back(doe);
        continue;
      }
      const std::vector<BuckOdds> bucks = {odds_on(first.sire, first.from),
                                           odds_on(next.sire, next.from)};
      const std::vector<Exposure> stays = {{0, first.from, first.to}, {1, next.from, next.to}};
      gaps_.push_back({first.sire,
                       next.sire,
                       first.to,
                       next.from,
                       days,
                       unclear_kiddings(bucks, herd_.season.settle.never, stays, class_of(doe)),
                       {doe}});
    }
  }

  void of_stays(std::size_t b, std::size_t a) {
    const SireAccount &before = table_.sires[b], &after = table_.sires[a];
    const auto pen = [](const SireAccount& sire) {
      return sire.offer.terms != Terms::visit && sire.offer.terms != Terms::semen &&
             sire.from <= sire.to;
    };
    if (before.offer.sire == after.offer.sire || !pen(before) || !pen(after)) return;
    const int days = after.from - before.to - 1;
    if (days < 0 || days >= least_gap_days || after.to < herd_.as_of) return;
    const bool named = std::any_of(gaps_.begin(), gaps_.end(), [&](const BuckGap& gap) {
      return gap.before == before.offer.sire && gap.after == after.offer.sire;
    });
    if (named) return;
    const StayTerms first = stay_terms(herd_, before.offer, before.proven);
    const StayTerms next = stay_terms(herd_, after.offer, after.proven);
    const std::vector<BuckOdds> bucks = {{first.conception, first.infertile},
                                         {next.conception, next.infertile}};
    const std::vector<Exposure> stays = {{0, before.from, before.to}, {1, after.from, after.to}};
    gaps_.push_back({before.offer.sire,
                     after.offer.sire,
                     before.to,
                     after.from,
                     days,
                     unclear_kiddings(bucks, herd_.season.settle.never, stays, widest_class()),
                     {}});
  }

  BuckOdds odds_on(Animal sire, Date day) const {
    return buck_odds_on(herd_, offspring_, sire, day, false);
  }

  GestationClass class_of(Animal doe) const {
    return gestation_of(herd_.season, shares_[doe.position], herd_.animals.breed_names);
  }

  GestationClass widest_class() const {
    GestationClass widest{.mean = 150.0, .sd = 0.0};
    for (const DoeAccount& doe : table_.does) {
      const GestationClass hers = class_of(doe.doe.doe);
      if (hers.sd > widest.sd) widest = hers;
    }
    return widest;
  }

  const Herd& herd_;
  const PairingTable& table_;
  Offspring offspring_;
  std::vector<std::vector<BreedShare>> shares_;
  std::vector<BuckGap> gaps_;
};

}  // namespace

double unclear_kiddings(std::span<const BuckOdds> bucks, double never,
                        std::span<const Exposure> stays, const GestationClass& gestation) {
  DoeOdds does = all_cycling();
  does.never = never;
  const ConceptionDays days = conception_days(does, bucks, stays);
  const auto most = static_cast<int>(gestation.mean + sds_of_gestation * gestation.sd) + 1;
  const int least = std::max(1, static_cast<int>(gestation.mean - sds_of_gestation * gestation.sd));
  const std::size_t length = days.by_buck.empty() ? 0 : days.by_buck.front().size();
  double all = 0.0, unclear = 0.0;
  for (int x = least; x < most + static_cast<int>(length); ++x) {
    double sum = 0.0, largest = 0.0;
    for (const auto& row : days.by_buck) {
      double his = 0.0;
      for (std::size_t t = 0; t < length; ++t) {
        if (row[t] > 0.0) his += row[t] * gestation_chance(gestation, x - static_cast<int>(t));
      }
      sum += his;
      largest = std::max(largest, his);
    }
    all += sum;
    if (largest < certain * sum) unclear += sum;
  }
  return all > 0.0 ? unclear / all : 0.0;
}

std::vector<BuckGap> buck_gaps(const Herd& herd, const PairingTable& table,
                               std::span<const std::size_t> used) {
  return BuckGapFinder(herd, table).gaps(used);
}

}  // namespace doewright
