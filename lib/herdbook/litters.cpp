// SPDX-License-Identifier: MIT
#include "litters.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <string_view>
#include <utility>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

constexpr std::int32_t days_of_one_litter = 2, days_of_one_heat = 2, days_before_birth = 200;

/// A buck with a doe: the widest that the dates allow.
struct Stay {
  std::string sire;
  Date first, last;
};

/// What the other tables say of a dam.
struct DamFacts {
  std::map<int, int> kiddings_of_year;
  std::vector<Stay> stays;  // by first day
};
using DamsById = std::map<std::string, DamFacts, std::less<>>;

void read_kidding_years(std::string_view text, DamsById& dams) {
  static constexpr std::array<ColumnName, 2> columns = {{{"doe"}, {"date"}}};
  TableReader table(text, file_name(Table::kiddings), Table::kiddings, columns, nullptr);
  DateSlip slip;
  while (table.next()) {
    const auto dam = dams.find(table.text(0));
    if (dam == dams.end()) continue;
    if (const auto date = read_date(table.text(1), slip)) {
      ++dam->second.kiddings_of_year[date->year()];
    }
  }
}

void read_stays(std::string_view text, DamsById& dams) {
  enum : std::size_t { doe, sire, from, to, how };
  static constexpr std::array<ColumnName, 5> columns = {
      {{"doe"}, {"sire"}, {"from"}, {"to"}, {"how"}}};
  TableReader table(text, file_name(Table::services), Table::services, columns, nullptr);
  DateSlip slip;
  while (table.next()) {
    const auto dam = dams.find(table.text(doe));
    if (dam == dams.end()) continue;
    const auto begin = read_date(table.text(from), slip), end = read_date(table.text(to), slip);
    if (!begin) continue;
    Date last = end ? end->latest() : begin->latest();
    const bool running = !end && lower_ascii(table.text(how)) == "pen";
    if (running) last = Date{std::numeric_limits<std::int32_t>::max() / 2};
    dam->second.stays.push_back({std::string(table.text(sire)), begin->earliest(), last});
  }
  for (auto& [id, dam] : dams) {
    std::stable_sort(dam.stays.begin(), dam.stays.end(),
                     [](const Stay& a, const Stay& b) { return a.first < b.first; });
  }
}

DamsById facts_of_dams(const KidsById& kids, const BookFiles& files) {
  DamsById dams;
  for (const auto& [id, kid] : kids) {
    if (!kid.dam.empty()) dams.try_emplace(kid.dam);
  }
  const auto kiddings = files.find(Table::kiddings), services = files.find(Table::services);
  if (kiddings != files.end()) read_kidding_years(kiddings->second.text(), dams);
  if (services != files.end()) read_stays(services->second.text(), dams);
  return dams;
}

/// Were two of the listed bucks with her within two days of each other before this birth? One pass:
/// of the stays that began earlier the one that ends last counts, and the last one of another buck.
bool two_bucks_at_once(const DamFacts& dam, const std::vector<std::string>& listed,
                       PartialDate born) {
  if (!born.known()) return false;
  const Date begin = born.earliest() - days_before_birth, end = born.latest();
  const std::set<std::string_view> wanted(listed.begin(), listed.end());
  const Stay* longest = nullptr;
  const Stay* other = nullptr;
  for (const Stay& stay : dam.stays) {
    if (stay.last < begin || stay.first > end || !wanted.contains(stay.sire)) continue;
    const Stay* rival = longest != nullptr && longest->sire == stay.sire ? other : longest;
    if (rival != nullptr && stay.first - rival->last <= days_of_one_heat) return true;
    if (longest == nullptr) {
      longest = &stay;
    } else if (stay.sire == longest->sire) {
      if (stay.last > longest->last) longest = &stay;
    } else if (stay.last > longest->last) {
      other = longest;
      longest = &stay;
    } else if (other == nullptr || stay.last > other->last) {
      other = &stay;
    }
  }
  return false;
}

/// Kids of one dam, grouped by their births.
class BirthsOfDam {
 public:
  explicit BirthsOfDam(const DamFacts& dam) : dam_(dam) {}

  /// The litter of each birth; -1: alone.
  std::vector<int> litters(const std::vector<PartialDate>& births) {
    std::vector<int> litter_of(births.size(), -1);
    std::vector<std::size_t> order(births.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    // Days first, then months, then years: what is known better makes the litters.
    const auto rank = [&](std::size_t i) {
      const PartialDate born = births[i];
      return born.to_the_day() ? 0 : born.month() != 0 ? 1 : 2;
    };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return std::pair(rank(a), births[a]) < std::pair(rank(b), births[b]);
    });
    for (const std::size_t i : order) {
      if (births[i].known()) litter_of[i] = rank(i) == 0 ? by_day(births[i]) : by_part(births[i]);
    }
    return litter_of;
  }

 private:
  struct Days {
    Date first, last;
    int litter;
  };
  struct Part {
    PartialDate born;
    int litter;
  };

  /// Births come by ascending day.
  int by_day(PartialDate born) {
    const Date day = born.earliest();
    if (days_.empty() || day - days_.back().first > days_of_one_litter) {
      days_.push_back({day, day, next_++});
    }
    days_.back().last = day;
    return days_.back().litter;
  }

  int by_part(PartialDate born) {
    const auto kiddings = dam_.kiddings_of_year.find(born.year());
    if (kiddings != dam_.kiddings_of_year.end() && kiddings->second > 1) return -1;
    std::vector<Part>& parts = parts_[born.year()];
    std::vector<int> possible;
    for (const Part& part : parts) {
      const unsigned a = part.born.month(), b = born.month();
      if (a == 0 || b == 0 || a == b) possible.push_back(part.litter);
    }
    const auto before = [](const Days& days, Date date) { return days.last < date; };
    for (auto days = std::lower_bound(days_.begin(), days_.end(), born.earliest(), before);
         days != days_.end() && days->first <= born.latest() && possible.size() < 2; ++days) {
      possible.push_back(days->litter);
    }
    if (possible.size() == 1) {
      parts.push_back({born, possible.front()});
      return possible.front();
    }
    if (possible.size() > 1) {
      const bool all_one = std::all_of(possible.begin(), possible.end(),
                                       [&](int litter) { return litter == possible.front(); });
      return all_one ? possible.front() : -1;
    }
    parts.push_back({born, next_});
    return next_++;
  }

  const DamFacts& dam_;
  std::vector<Days> days_;
  std::map<int, std::vector<Part>> parts_;  // by year
  int next_ = 0;
};

/// The entry beside the list of a kid of this dam, by the litter that animals.csv names for the kid
/// and by the entry itself: a litter mate without an entry of its own shares that draw.
using EntryOfLitter = std::map<std::pair<std::string_view, std::string_view>, std::string_view>;

EntryOfLitter entries_of_litters(const std::vector<ListedKid>& listed, const KidsById& kids) {
  EntryOfLitter entries;
  for (const ListedKid& kid : listed) {
    const auto facts = kids.find(kid.id);
    if (kid.litter.empty() || facts == kids.end() || facts->second.dam.empty()) continue;
    entries.try_emplace({facts->second.dam, kid.litter}, kid.litter);
    if (!facts->second.litter.empty()) {
      entries.try_emplace({facts->second.dam, facts->second.litter}, kid.litter);
    }
  }
  return entries;
}

}  // namespace

std::vector<std::string> shared_draws(const std::vector<ListedKid>& listed, const KidsById& kids,
                                      const BookFiles& files) {
  const DamsById dams = facts_of_dams(kids, files);
  const EntryOfLitter entries = entries_of_litters(listed, kids);
  std::vector<std::string> draws(listed.size());
  std::map<std::string_view, std::vector<std::size_t>> by_birth;  // kids of each dam
  for (std::size_t i = 0; i < listed.size(); ++i) {
    if (!listed[i].litter.empty()) {
      draws[i] = "entry " + listed[i].litter;
      continue;
    }
    const auto facts = kids.find(listed[i].id);
    if (facts == kids.end() || facts->second.dam.empty()) continue;
    const KidFacts& kid = facts->second;
    if (two_bucks_at_once(dams.at(kid.dam), listed[i].sires, kid.born)) continue;
    if (!kid.litter.empty()) {
      const auto entry = entries.find({kid.dam, kid.litter});
      draws[i] = entry != entries.end() ? fmt::format("entry {}", entry->second)
                                        : fmt::format("litter {} of {}", kid.litter, kid.dam);
    } else {
      by_birth[kid.dam].push_back(i);
    }
  }
  for (const auto& [dam, members] : by_birth) {
    std::vector<PartialDate> births;
    for (const std::size_t i : members) births.push_back(kids.at(listed[i].id).born);
    const std::vector<int> litters = BirthsOfDam(dams.find(dam)->second).litters(births);
    for (std::size_t k = 0; k < members.size(); ++k) {
      if (litters[k] >= 0) draws[members[k]] = fmt::format("born {} {}", litters[k], dam);
    }
  }
  return draws;
}

}  // namespace doewright
