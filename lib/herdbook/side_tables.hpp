// SPDX-License-Identifier: MIT
#pragma once
/// The tables beside animals.csv. They are read twice: once for the animals they name, before the
/// pedigree is built, and once for what they say of them.
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/table.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "complaints.hpp"
#include "file_text.hpp"
#include "table_reader.hpp"

namespace doewright {

/// Texts of the files that are there.
using BookFiles = std::map<Table, FileText>;

/// An animal that only this table names, and where.
struct Mention {
  std::string id;
  Row row;
  std::uint32_t column = 0;
};

/// Every animal named in the side tables that is not in the builder yet goes into it.
std::vector<Mention> mention_animals(const BookFiles& files, PedigreeBuilder& builder);

/// What the side tables say. `herd` has its pedigree, ids, faults, traits, season and animals.
/// Returns the rows left out because they are of a day after as-of.
std::size_t read_side_tables(const BookFiles& files, Herd& herd, Future future, Complaints& complaints);

// One a group of tables; each returns the rows left out.
struct SideReading {
  Herd& herd;
  Future future;
  Complaints& complaints;
  std::size_t left_out = 0;
};
void read_examinations(std::string_view text, SideReading& reading);
void read_kid_counts(std::string_view text, SideReading& reading);
void read_gene_tests(std::string_view text, SideReading& reading);
void read_records(std::string_view text, SideReading& reading);
void read_health_tests(std::string_view text, SideReading& reading);
void read_heats(std::string_view text, SideReading& reading);
void read_services(std::string_view text, SideReading& reading);
void read_pregnancy_checks(std::string_view text, SideReading& reading);
void read_kiddings(std::string_view text, SideReading& reading);
void read_does(std::string_view text, SideReading& reading);
void read_sires(std::string_view text, SideReading& reading);

/// The animal of a cell, which was mentioned before; nothing if the cell is blank or was no id (said).
std::optional<Animal> animal_of(TableReader& table, std::size_t column, const Herd& herd, bool required);

/// The fault or trait that a cell names; nothing if it names none (said, with the nearest key).
std::optional<FaultIndex> fault_of(TableReader& table, std::size_t column, const Herd& herd);
std::optional<TraitIndex> trait_of(TableReader& table, std::size_t column, const Herd& herd);

/// Columns in which each side table names animals, `;` between several.
std::vector<std::string_view> animal_columns(Table table);

}  // namespace doewright
