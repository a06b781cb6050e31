// SPDX-License-Identifier: MIT
#pragma once
/// animals.csv: its rows go to the pedigree builder, its other columns wait until positions are known.
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include <doewright/core/date.hpp>
#include <doewright/core/run.hpp>
#include <doewright/herd/animal_facts.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

#include "complaints.hpp"
#include "table_reader.hpp"

namespace doewright {

/// Of a kid with possible sires: what decides whether it shares its sire with litter mates.
struct KidFacts {
  std::string dam, litter;
  PartialDate born;
};

class AnimalsTable {
 public:
  /// Reads the whole table into `builder`. `kids` are filled in for the ids they hold.
  AnimalsTable(std::string_view text, std::string_view file, Date as_of, Future future,
               PedigreeBuilder& builder, std::unordered_map<std::string, KidFacts>& kids,
               Complaints& complaints, const Run& run);

  bool usable() const noexcept { return usable_; }
  std::size_t rows() const noexcept { return rows_; }
  std::size_t rows_left_out() const noexcept { return left_out_; }

  /// The columns by position. What is said of an animal twice counts as the first row says.
  AnimalFacts facts(const BuiltPedigree& built) &&;

 private:
  struct Text {
    std::uint32_t row;
    std::string_view text;
  };
  enum TextKind { name, litter, breeder, tags, registration, also, colour, note, text_kinds };

  void read_row(TableReader& table, PedigreeBuilder& builder,
                std::unordered_map<std::string, KidFacts>& kids);
  std::string parent(TableReader& table, std::size_t column);
  std::uint32_t breed_of(TableReader& table);
  std::uint32_t breed_number(std::string_view breed_name);
  void keep_text(TableReader& table, TextKind kind, std::size_t column);
  bool has_id_zero();
  void say_unknown_marks(Complaints& complaints) const;

  std::string_view text_;
  std::string file_;
  Date as_of_;
  Future future_;
  bool usable_ = false;
  std::size_t rows_ = 0, left_out_ = 0;
  std::size_t unknown_marks_ = 0;
  std::uint32_t first_unknown_mark_ = 0;
  std::optional<bool> has_id_zero_;

  std::vector<Sex> sex_;
  std::vector<PartialDate> born_, left_;
  std::vector<Horns> horns_;
  std::vector<bool> gone_;
  std::vector<LeftWhy> left_why_;
  std::vector<std::uint32_t> breed_, owner_;
  std::vector<Text> texts_[text_kinds];
  std::deque<std::string> unquoted_;  // texts that do not stand so in the file
  std::vector<std::string> breed_names_;
  std::unordered_map<std::string, std::uint32_t> breed_numbers_, mix_numbers_, owner_numbers_;
  std::vector<std::vector<BreedShare>> mixes_ = {{}};
  std::vector<std::string> owners_ = {""};
};

}  // namespace doewright
