// SPDX-License-Identifier: MIT
#include "possible_sires_table.hpp"

#include <array>
#include <unordered_map>

#include <fmt/format.h>

#include "litters.hpp"

namespace doewright {

namespace {

enum : std::size_t { c_kid, c_sire, c_probability, c_litter };
constexpr std::array<ColumnName, 4> columns = {
    {{"kid", true}, {"sire", true}, {"probability"}, {"litter"}}};

}  // namespace

KidsById kids_with_lists(std::string_view text) {
  KidsById kids;
  TableReader table(text, file_name(Table::possible_sires), Table::possible_sires, columns,
                    nullptr);
  while (table.next()) kids.try_emplace(std::string(table.text(c_kid)));
  return kids;
}

std::vector<PossibleRow> read_possible_sires(std::string_view text, const KnownIds& known,
                                             std::size_t& left_out, Complaints& complaints) {
  std::vector<PossibleRow> rows;
  TableReader table(text, file_name(Table::possible_sires), Table::possible_sires, columns,
                    &complaints);
  UnknownMarks marks;
  std::unordered_map<std::string, std::uint32_t> lines;  // of kid and sire
  while (table.next()) {
    const auto kid = table.id(c_kid);
    if (!kid) continue;
    table.about(*kid);
    if (is_unknown_mark(*kid)) {  // never one shared animal
      table.error("id-empty", table.place(c_kid),
                  fmt::format("{} does not say which animal", quoted(*kid)),
                  "write the id of the kid, or take the row out");
      continue;
    }
    if (known.left_out.contains(std::string(*kid))) {
      ++left_out;
      continue;
    }
    PossibleRow row;
    row.kid = *kid;
    const std::string_view cell = table.text(c_sire);
    if (is_unknown_mark(cell) || (cell == "0" && !known.has_zero)) {
      marks.note(table.place(c_sire));
    } else {
      const auto sire = table.id(c_sire);
      if (!sire) continue;
      row.sire = *sire;
      const auto [earlier, is_new] = lines.try_emplace(row.kid + '\0' + row.sire, table.row().line);
      if (!is_new) {
        table.error("id-twice", table.place(c_sire),
                    fmt::format("{} is on the list of {} already (line {}), and the rows differ",
                                quoted(*sire), quoted(*kid), earlier->second),
                    "take one of the two rows out");
        continue;
      }
    }
    row.probability = table.amount(c_probability);
    row.litter = table.words_of(c_litter);
    row.row = table.row();
    rows.push_back(std::move(row));
  }
  marks.say(complaints, file_name(Table::possible_sires),
            "his chance goes to a buck not in the book; leave the row out to say the same");
  return rows;
}

void add_possible_sires(const std::vector<PossibleRow>& rows, const KidsById& kids,
                        const BookFiles& files, PedigreeBuilder& builder) {
  std::vector<ListedKid> listed;  // in the order of first mention
  std::vector<std::vector<const PossibleRow*>> lists;
  std::unordered_map<std::string_view, std::size_t> number_of;
  for (const PossibleRow& row : rows) {
    const auto [entry, is_new] = number_of.try_emplace(row.kid, listed.size());
    if (is_new) {
      listed.push_back({row.kid, {}, {}});
      lists.emplace_back();
    }
    ListedKid& kid = listed[entry->second];
    if (kid.litter.empty()) kid.litter = row.litter;
    if (!row.sire.empty()) kid.sires.push_back(row.sire);
    lists[entry->second].push_back(&row);
  }
  const std::vector<std::string> draws = shared_draws(listed, kids, files);
  for (std::size_t i = 0; i < listed.size(); ++i) {
    std::vector<NamedChance> chances;
    for (const PossibleRow* row : lists[i]) {
      chances.push_back({.sire = row->sire, .probability = row->probability, .from = row->row});
    }
    builder.add_possible_sires(listed[i].id, draws[i], chances, lists[i].front()->row);
  }
}

std::vector<PossibleSire> used_possible_sires(const std::vector<PossibleRow>& rows,
                                              const Herd& herd) {
  std::vector<PossibleSire> used;
  for (const PossibleRow& row : rows) {
    const auto kid = herd.ids.find(row.kid), sire = herd.ids.find(row.sire);
    if (!kid || !sire) continue;
    for (const SireChance& chance : herd.pedigree.possible_sires(*kid)) {
      if (chance.sire != *sire) continue;
      used.push_back({*kid, *sire, chance.probability, row.litter, row.row});
    }
  }
  return used;
}

}  // namespace doewright
