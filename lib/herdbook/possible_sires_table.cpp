// SPDX-License-Identifier: MIT
#include "possible_sires_table.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <map>
#include <set>

#include <fmt/format.h>

namespace doewright {

namespace {

// DEFINITIONS 1: litter mates are born within 2 days; two bucks within 2 days of each other may both
// have served; services up to 200 days before the birth are looked at.
constexpr std::int32_t days_of_one_litter = 2, days_of_one_heat = 2, days_before_birth = 200;

struct Stay {
  std::string sire;
  Date from, to;
};

/// What the other tables say of the dams in question.
struct DamFacts {
  std::map<int, int> kiddings_of_year;
  std::vector<Stay> stays;
};

std::map<std::string, DamFacts> facts_of_dams(
    const BookFiles& files, const std::unordered_map<std::string, KidFacts>& kids) {
  std::map<std::string, DamFacts> dams;
  for (const auto& [id, kid] : kids) {
    if (!kid.dam.empty()) dams[kid.dam];
  }
  DateSlip slip;
  if (const auto file = files.find(Table::kiddings); file != files.end()) {
    static constexpr std::array<ColumnName, 2> columns = {{{"doe"}, {"date"}}};
    TableReader table(file->second.text(), file_name(Table::kiddings), Table::kiddings, columns, nullptr);
    while (table.next()) {
      const auto dam = dams.find(std::string(table.text(0)));
      const auto date = read_date(table.text(1), slip);
      if (dam != dams.end() && date) ++dam->second.kiddings_of_year[date->year()];
    }
  }
  if (const auto file = files.find(Table::services); file != files.end()) {
    static constexpr std::array<ColumnName, 5> columns = {
        {{"doe"}, {"sire"}, {"from"}, {"to"}, {"how"}}};
    TableReader table(file->second.text(), file_name(Table::services), Table::services, columns, nullptr);
    while (table.next()) {
      const auto dam = dams.find(std::string(table.text(0)));
      const auto from = read_date(table.text(2), slip);
      if (dam == dams.end() || !from) continue;
      const auto to = read_date(table.text(3), slip);
      const bool running = !to && table.text(4) == "pen";
      const Date last = to ? to->latest() : running ? from->latest() + days_before_birth : from->latest();
      dam->second.stays.push_back({std::string(table.text(1)), from->earliest(), last});
    }
  }
  return dams;
}

/// Were two of the listed bucks with her within two days of each other before this birth?
bool two_bucks_at_once(const DamFacts& dam, const std::set<std::string>& listed, PartialDate born) {
  if (!born.known()) return false;
  const Date begin = born.earliest() - days_before_birth, end = born.latest();
  for (std::size_t a = 0; a < dam.stays.size(); ++a) {
    for (std::size_t b = a + 1; b < dam.stays.size(); ++b) {
      const Stay &x = dam.stays[a], &y = dam.stays[b];
      if (x.sire == y.sire || !listed.contains(x.sire) || !listed.contains(y.sire)) continue;
      const bool in_time = x.to >= begin && x.from <= end && y.to >= begin && y.from <= end;
      const std::int32_t gap = std::max(x.from, y.from) - std::min(x.to, y.to);
      if (in_time && gap <= days_of_one_heat) return true;
    }
  }
  return false;
}

bool litter_mates(const KidFacts& a, const KidFacts& b, const DamFacts& dam) {
  if (!a.litter.empty() && !b.litter.empty()) return a.litter == b.litter;
  if (!a.born.known() || !b.born.known()) return false;
  if (a.born.to_the_day() && b.born.to_the_day()) {
    return std::abs(a.born.earliest() - b.born.earliest()) <= days_of_one_litter;
  }
  if (a.born.year() != b.born.year()) return false;
  if (a.born.month() != 0 && b.born.month() != 0 && a.born.month() != b.born.month()) return false;
  const auto kiddings = dam.kiddings_of_year.find(a.born.year());
  return kiddings == dam.kiddings_of_year.end() || kiddings->second <= 1;
}

}  // namespace

std::vector<PossibleRow> read_possible_sires(std::string_view text, Complaints& complaints) {
  enum : std::size_t { kid, sire, probability, litter };
  static constexpr std::array<ColumnName, 4> columns = {
      {{"kid", true}, {"sire", true}, {"probability"}, {"litter"}}};
  std::vector<PossibleRow> rows;
  TableReader table(text, file_name(Table::possible_sires), Table::possible_sires, columns, &complaints);
  std::size_t marks = 0;
  Place first_mark;
  while (table.next()) {
    const auto id = table.id(kid);
    if (!id) continue;
    table.about(*id);
    PossibleRow row;
    row.kid = *id;
    const bool mark = is_unknown_mark(table.text(sire));
    if (mark) {
      if (marks++ == 0) first_mark = table.place(sire);
    } else {
      const auto buck = table.id(sire);
      if (!buck) continue;
      row.sire = *buck;
    }
    row.probability = table.amount(probability);
    row.litter = table.text(litter);
    row.row = table.row();
    rows.push_back(std::move(row));
  }
  if (marks > 0) {
    complaints.warning("unknown-mark", file_name(Table::possible_sires), first_mark.line, 0, {},
                       fmt::format("{} possible {} written as not known, first here", marks,
                                   marks == 1 ? "sire is" : "sires are"),
                       "his chance goes to a buck not in the book; leave the row out to say the same");
  }
  return rows;
}

void add_possible_sires(const std::vector<PossibleRow>& rows,
                        const std::unordered_map<std::string, KidFacts>& kids, const BookFiles& files,
                        PedigreeBuilder& builder) {
  std::map<std::string, std::vector<const PossibleRow*>> by_kid;
  std::vector<std::string> order;  // of first mention
  for (const PossibleRow& row : rows) {
    auto& list = by_kid[row.kid];
    if (list.empty()) order.push_back(row.kid);
    list.push_back(&row);
  }
  const auto dams = facts_of_dams(files, kids);

  // Kids of one dam without a litter of their own entry: joined into litters by what is known of them.
  std::map<std::string, std::string> litter_of;
  std::map<std::string, std::vector<std::string>> of_dam;
  for (const std::string& id : order) {
    const auto own = std::find_if(by_kid[id].begin(), by_kid[id].end(),
                                  [](const PossibleRow* row) { return !row->litter.empty(); });
    if (own != by_kid[id].end()) {
      litter_of[id] = "entry " + (*own)->litter;
      continue;
    }
    const auto facts = kids.find(id);
    if (facts == kids.end() || facts->second.dam.empty()) continue;
    std::set<std::string> listed;
    for (const PossibleRow* row : by_kid[id]) listed.insert(row->sire);
    if (!two_bucks_at_once(dams.at(facts->second.dam), listed, facts->second.born)) {
      of_dam[facts->second.dam].push_back(id);
    }
  }
  for (const auto& [dam, ids] : of_dam) {
    std::vector<std::size_t> group(ids.size());
    for (std::size_t i = 0; i < ids.size(); ++i) {
      group[i] = i;
      for (std::size_t j = 0; j < i; ++j) {
        if (!litter_mates(kids.at(ids[i]), kids.at(ids[j]), dams.at(dam))) continue;
        const std::size_t old = group[i], joined = group[j];
        for (std::size_t k = 0; k <= i; ++k) {
          if (group[k] == old) group[k] = joined;
        }
      }
    }
    for (std::size_t i = 0; i < ids.size(); ++i) {
      litter_of[ids[i]] = fmt::format("found {} {}", group[i], dam);
    }
  }

  for (const std::string& id : order) {
    std::vector<NamedChance> chances;
    for (const PossibleRow* row : by_kid[id]) {
      chances.push_back({.sire = row->sire, .probability = row->probability, .from = row->row});
    }
    const auto litter = litter_of.find(id);
    builder.add_possible_sires(id, litter == litter_of.end() ? std::string_view() : litter->second,
                               chances, by_kid[id].front()->row);
  }
}

}  // namespace doewright
