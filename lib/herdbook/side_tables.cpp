// SPDX-License-Identifier: MIT
#include "side_tables.hpp"

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

std::vector<std::string_view> animal_columns(Table table) {
  switch (table) {
    case Table::examinations:
    case Table::gene_tests:
    case Table::records:
    case Table::health_tests: return {"animal"};
    case Table::kid_counts: return {"sire", "dam"};
    case Table::heats:
    case Table::pregnancy_checks: return {"doe"};
    case Table::services:
    case Table::kiddings: return {"doe", "sire"};
    case Table::does: return {"doe", "sire", "not_sires"};
    case Table::sires: return {"sire"};
    case Table::possible_sires: return {"kid"};
    default: return {};
  }
}

std::vector<Mention> mention_animals(const BookFiles& files, PedigreeBuilder& builder) {
  std::vector<Mention> mentions;
  for (const auto& [table, file] : files) {
    const auto names = animal_columns(table);
    if (names.empty()) continue;
    std::vector<ColumnName> columns;
    for (const std::string_view name : names) columns.push_back({name});
    TableReader reader(file.text(), file_name(table), table, columns, nullptr);
    while (reader.next()) {
      for (std::size_t c = 0; c < columns.size(); ++c) {
        std::string_view cell = reader.text(c);
        if (is_unknown_mark(cell)) continue;
        while (!cell.empty()) {
          const std::size_t end =
              names[c] == "not_sires" ? std::min(cell.find(';'), cell.size()) : cell.size();
          const std::string_view id = trimmed(cell.substr(0, end));
          cell.remove_prefix(std::min(end + 1, cell.size()));
          if (id.empty() || has_control(id) || !builder.mention(id)) continue;
          mentions.push_back({std::string(id), reader.row(), reader.place(c).column});
        }
      }
    }
  }
  return mentions;
}

std::size_t read_side_tables(const BookFiles& files, Herd& herd, Future future,
                             Complaints& complaints) {
  SideReading reading{herd, future, complaints};
  for (const auto& [table, file] : files) {
    const std::string_view text = file.text();
    switch (table) {
      case Table::examinations: read_examinations(text, reading); break;
      case Table::kid_counts: read_kid_counts(text, reading); break;
      case Table::gene_tests: read_gene_tests(text, reading); break;
      case Table::records: read_records(text, reading); break;
      case Table::health_tests: read_health_tests(text, reading); break;
      case Table::heats: read_heats(text, reading); break;
      case Table::services: read_services(text, reading); break;
      case Table::pregnancy_checks: read_pregnancy_checks(text, reading); break;
      case Table::kiddings: read_kiddings(text, reading); break;
      case Table::does: read_does(text, reading); break;
      case Table::sires: read_sires(text, reading); break;
      default: break;
    }
  }
  return reading.left_out;
}

std::optional<Animal> animal_of(TableReader& table, std::size_t column, const Herd& herd,
                                bool required) {
  const auto id = required ? table.id(column) : table.id_or_blank(column);
  if (!id || (!required && is_unknown_mark(*id))) return std::nullopt;
  if (required) table.about(*id);
  const auto animal = herd.ids.find(*id);
  if (!animal && is_unknown_mark(*id)) {
    table.error("id-empty", table.place(column),
                fmt::format("'{}' does not say which animal", printable(*id)),
                "write the id of the animal, or take the row out");
  }
  return animal;
}

std::optional<FaultIndex> fault_of(TableReader& table, std::size_t column, const Herd& herd) {
  const std::string_view cell = table.text(column);
  const std::string wanted = lower_ascii(cell);
  std::vector<std::string_view> keys;
  for (std::size_t f = 0; f < herd.faults.size(); ++f) {
    if (lower_ascii(herd.faults[f].key) == wanted) return static_cast<FaultIndex>(f);
    keys.push_back(herd.faults[f].key);
  }
  const auto near = nearest(wanted, keys);
  table.error("fault-unknown", table.place(column),
              cell.empty() ? "the fault is blank"
                           : fmt::format("there is no fault '{}'", printable(cell)),
              near ? fmt::format("did you mean '{}'?", *near) : "describe it in faults.toml");
  return std::nullopt;
}

std::optional<TraitIndex> trait_of(TableReader& table, std::size_t column, const Herd& herd) {
  const std::string_view cell = table.text(column);
  const std::string wanted = lower_ascii(cell);
  std::vector<std::string_view> keys;
  for (std::size_t t = 0; t < herd.traits.size(); ++t) {
    if (lower_ascii(herd.traits[t].key) == wanted) return static_cast<TraitIndex>(t);
    keys.push_back(herd.traits[t].key);
  }
  const auto near = nearest(wanted, keys);
  table.error("trait-unknown", table.place(column),
              cell.empty() ? "the trait is blank"
                           : fmt::format("there is no trait '{}'", printable(cell)),
              near ? fmt::format("did you mean '{}'?", *near) : "describe it in traits.toml");
  return std::nullopt;
}

}  // namespace doewright
