// SPDX-License-Identifier: MIT
#include "side_tables.hpp"

#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

enum class Named : std::uint8_t { subject, parent, list };

/// A column in which a table names animals.
struct AnimalColumn {
  std::string_view name;
  Named how = Named::subject;
};

std::vector<AnimalColumn> animal_columns(Table table) {
  switch (table) {
    case Table::possible_sires:
      return {{"kid"}};
    case Table::examinations:
    case Table::gene_tests:
    case Table::records:
    case Table::health_tests:
      return {{"animal"}};
    case Table::kid_counts:
      return {{"sire"}, {"dam", Named::parent}};
    case Table::heats:
    case Table::pregnancy_checks:
      return {{"doe"}};
    case Table::services:
      return {{"doe"}, {"sire"}};
    case Table::kiddings:
      return {{"doe"}, {"sire", Named::parent}};
    case Table::does:
      return {{"doe"}, {"sire", Named::parent}, {"not_sires", Named::list}};
    case Table::sires:
      return {{"sire"}};
    default:
      return {};
  }
}

template <class Entries>
std::unordered_map<std::string, std::uint16_t> numbers_of_keys(const Entries& entries) {
  std::unordered_map<std::string, std::uint16_t> numbers;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    numbers.try_emplace(lower_ascii(entries[i].key), static_cast<std::uint16_t>(i));
  }
  return numbers;
}

/// Says that a key is not there, and which one may have been meant.
template <class Entries>
void unknown_key(TableReader& table, std::size_t column, std::string_view code,
                 std::string_view what, std::string_view where, const Entries& entries) {
  const std::string_view cell = table.text(column);
  std::vector<std::string_view> keys;
  for (const auto& entry : entries) keys.push_back(entry.key);
  table.error(
      code, table.place(column),
      cell.empty() ? fmt::format("the {} is blank", what)
                   : fmt::format("there is no {} {}", what, quoted(cell)),
      cell.empty() ? fmt::format("write the key it has in {}, or take the row out", where)
                   : did_you_mean(near_word(lower_ascii(cell), keys),
                                  fmt::format("describe it in {}", where)));
}

}  // namespace

std::vector<Mention> mention_animals(const BookFiles& files, const KnownIds& known,
                                     PedigreeBuilder& builder, const Run& run) {
  std::vector<Mention> mentions;
  for (const auto& [table, file] : files) {
    const std::vector<AnimalColumn> wanted = animal_columns(table);
    if (wanted.empty()) continue;
    throw_if_stopped(run);
    std::vector<ColumnName> columns;
    for (const AnimalColumn& column : wanted) columns.push_back({column.name});
    TableReader reader(file.text(), file_name(table), table, columns, nullptr);
    Place place;  // of the cell: counted once, whatever it names; line 0: not yet
    const auto mention = [&](std::string_view id, std::size_t column) {
      if (id.empty() || is_unknown_mark(id) || has_control(id)) return;
      if (id == "0" && wanted[column].how == Named::parent && !known.has_zero) return;
      if (!known.left_out.empty() && known.left_out.contains(std::string(id))) return;
      if (!builder.mention(id)) return;
      if (place.line == 0) place = reader.place(column);
      mentions.push_back({std::string(id), reader.row(), place.column});
    };
    while (reader.next()) {
      for (std::size_t c = 0; c < wanted.size(); ++c) {
        place = {};
        if (wanted[c].how == Named::list) {
          for (const std::string_view id : parts_of_list(reader.text(c))) mention(id, c);
        } else {
          mention(reader.text(c), c);
        }
      }
    }
  }
  return mentions;
}

SideReading::SideReading(Herd& herd, Future future, Complaints& complaints, const Run& run)
    : herd_(herd),
      future_(future),
      complaints_(complaints),
      run_(run),
      faults_(numbers_of_keys(herd.faults)),
      traits_(numbers_of_keys(herd.traits)) {}

std::optional<Animal> SideReading::animal(TableReader& table, std::size_t column) {
  const auto id = table.id(column);
  if (!id) return std::nullopt;
  table.about(*id);
  const auto animal = herd_.ids.find(*id);
  if (animal) return animal;
  if (is_unknown_mark(*id)) {
    table.error("id-empty", table.place(column),
                fmt::format("{} does not say which animal", quoted(*id)),
                "write the id of the animal, or take the row out");
  } else {
    leave_out();  // every other id was mentioned before the pedigree was built
  }
  return std::nullopt;
}

std::optional<Animal> SideReading::parent(TableReader& table, std::size_t column,
                                          UnknownMarks& marks) const {
  const auto id = table.id_or_blank(column);
  if (!id) return std::nullopt;
  const auto animal = herd_.ids.find(*id);
  if (!animal && (is_unknown_mark(*id) || *id == "0")) marks.note(table.place(column));
  return animal;
}

std::optional<FaultIndex> SideReading::fault(TableReader& table, std::size_t column) const {
  const auto found = faults_.find(lower_ascii(table.text(column)));
  if (found != faults_.end()) return found->second;
  unknown_key(table, column, "fault-unknown", "fault", "faults.toml", herd_.faults);
  return std::nullopt;
}

std::optional<TraitIndex> SideReading::trait(TableReader& table, std::size_t column) const {
  const auto found = traits_.find(lower_ascii(table.text(column)));
  if (found != traits_.end()) return found->second;
  unknown_key(table, column, "trait-unknown", "trait", "traits.toml", herd_.traits);
  return std::nullopt;
}

void read_side_tables(const BookFiles& files, SideReading& reading) {
  using Read = void (*)(std::string_view, SideReading&);
  static constexpr std::pair<Table, Read> readers[] = {
      {Table::examinations, read_examinations},
      {Table::kid_counts, read_kid_counts},
      {Table::gene_tests, read_gene_tests},
      {Table::records, read_records},
      {Table::health_tests, read_health_tests},
      {Table::heats, read_heats},
      {Table::services, read_services},
      {Table::pregnancy_checks, read_pregnancy_checks},
      {Table::kiddings, read_kiddings},
      {Table::does, read_does},
      {Table::sires, read_sires},
  };
  for (const auto& [table, read] : readers) {
    if (const auto file = files.find(table); file != files.end())
      read(file->second.text(), reading);
  }
}

}  // namespace doewright
