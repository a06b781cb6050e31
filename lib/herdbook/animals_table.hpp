// SPDX-License-Identifier: MIT
#pragma once
/// animals.csv: its rows go to the pedigree builder, its other columns wait until positions are
/// known.
#include <array>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/run.hpp>
#include <doewright/herd/animal_facts.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "breed_column.hpp"
#include "complaints.hpp"
#include "table_reader.hpp"

namespace doewright {

/// Of a kid with possible sires: what decides whether it shares its sire with litter mates.
struct KidFacts {
  std::string dam, litter;
  PartialDate born;
  bool read = false;  ///< Its row was met; of two rows the first counts.
};
using KidsById = std::unordered_map<std::string, KidFacts>;

class AnimalsTable {
 public:
  /// Reads the whole table into `builder`. `kids` are filled in for the ids they hold.
  AnimalsTable(std::string_view text, std::string_view file, Date as_of, Future future,
               PedigreeBuilder& builder, KidsById& kids, Complaints& complaints, const Run& run);

  bool usable() const noexcept { return usable_; }
  /// Animals born after as-of, where that was set by hand: their rows are left out.
  const std::unordered_set<std::string>& left_out() const noexcept { return left_out_; }
  /// Was there a row of the id `0`? Only then is a parent written `0` an animal.
  bool has_zero() const noexcept { return has_zero_; }

  /// The columns by position. What is said of an animal twice counts as the first row says.
  AnimalFacts facts(const BuiltPedigree& built) &&;

 private:
  struct Text {
    std::uint32_t row;
    std::string_view text;
  };
  enum TextKind { name, litter, breeder, tags, registration, also, colour, note, text_kinds };

  void read_row(TableReader& table, PedigreeBuilder& builder, KidsById& kids);
  void read_facts(TableReader& table, PartialDate born);
  void read_leaving(TableReader& table);
  void read_owner(TableReader& table);
  std::string_view parent(TableReader& table, std::size_t column);
  bool is_zero_somewhere();
  void keep_text(TableReader& table, TextKind kind, std::size_t column);
  void give_texts(const BuiltPedigree& built, AnimalFacts& facts);

  std::string_view text_;
  std::string file_;
  Date as_of_;
  Future future_;
  bool usable_ = false;
  std::uint32_t rows_ = 0;  // given to the builder
  std::unordered_set<std::string> left_out_;
  UnknownMarks unknown_marks_, unknown_ids_;
  bool has_zero_ = false;
  std::optional<bool> zero_somewhere_;

  // By row, as far as the file has the column.
  std::vector<Sex> sex_;
  std::vector<PartialDate> born_, left_;
  std::vector<Horns> horns_;
  std::vector<bool> gone_;
  std::vector<LeftWhy> left_why_;
  std::vector<std::uint32_t> breed_, owner_;
  std::array<std::vector<Text>, text_kinds> texts_;
  std::deque<std::string> unquoted_;  // texts that do not stand so in the file
  BreedColumn breeds_;
  std::unordered_map<std::string, std::uint32_t> owner_numbers_;
  std::vector<std::string> owners_ = {""};
};

}  // namespace doewright
