// SPDX-License-Identifier: MIT
#pragma once
/// The tables beside animals.csv. They are read twice: once for the animals they name, before the
/// pedigree is built, and once for what they say of them.
#include <map>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include <doewright/core/run.hpp>
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

/// What animals.csv says of ids, for the tables beside it.
struct KnownIds {
  const std::unordered_set<std::string>& left_out;  ///< Of a day after as-of: not in the book.
  bool has_zero;                                    ///< There is an animal of the id `0`.
};

/// Every animal named in the side tables that is not in the builder yet goes into it.
std::vector<Mention> mention_animals(const BookFiles& files, const KnownIds& known,
                                     PedigreeBuilder& builder, const Run& run);

/// How the side tables are read. `herd` has its pedigree, ids, faults, traits, season and animals.
class SideReading {
 public:
  SideReading(Herd& herd, Future future, Complaints& complaints, const Run& run);

  /// Rows of these tables that were left out because they are of a day after as-of.
  std::size_t left_out() const noexcept { return left_out_; }
  void leave_out() noexcept { ++left_out_; }

  Herd& herd() const noexcept { return herd_; }
  Complaints& complaints() const noexcept { return complaints_; }
  PartialDate date(TableReader& table, std::size_t column) const {
    return table.date(column, future_, herd_.as_of);
  }
  /// Calls `read` for every row.
  template <class Read>
  void each_row(TableReader& table, Read read) const {
    for (std::size_t n = 1; table.next(); ++n) {
      if (n % (1u << 13) == 0) throw_if_stopped(run_);
      read();
    }
  }

  /// The animal the row is about; nothing if the cell is blank or no id (said), or if the animal is
  /// of a later day (counted).
  std::optional<Animal> animal(TableReader& table, std::size_t column);
  /// A parent beside it; blank, and marks for "not known", are nothing.
  std::optional<Animal> parent(TableReader& table, std::size_t column, UnknownMarks& marks) const;

  /// The fault or trait that a cell names; nothing if it names none (said, with the nearest key).
  std::optional<FaultIndex> fault(TableReader& table, std::size_t column) const;
  std::optional<TraitIndex> trait(TableReader& table, std::size_t column) const;

 private:
  Herd& herd_;
  Future future_;
  Complaints& complaints_;
  const Run& run_;
  std::unordered_map<std::string, std::uint16_t> faults_, traits_;  // keys in lower case
  std::size_t left_out_ = 0;
};

/// All of them.
void read_side_tables(const BookFiles& files, SideReading& reading);

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

}  // namespace doewright
