// SPDX-License-Identifier: MIT
#pragma once
/// What is written down of each animal beside its parents, as columns.
#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/date.hpp>
#include <doewright/export.hpp>

namespace doewright {

enum class Sex : std::uint8_t { unknown, doe, buck, wether, intersex };
enum class Horns : std::uint8_t {
  unknown,
  horned,
  polled
};  ///< As born; a disbudded goat is horned.
enum class LeftWhy : std::uint8_t { unknown, sold, died, slaughtered, returned };

/// Words of the herd book: "doe", "polled", "sold"; empty for unknown.
DOEWRIGHT_EXPORT std::string_view word(Sex sex) noexcept;
DOEWRIGHT_EXPORT std::string_view word(Horns horns) noexcept;
DOEWRIGHT_EXPORT std::string_view word(LeftWhy why) noexcept;

/// A text for some of the animals. Costs nothing where it is blank: 12 bytes and the text where
/// not.
class DOEWRIGHT_EXPORT TextColumn {
 public:
  /// Replaces the whole column. `positions` ascending, each with its text.
  void assign(std::vector<std::uint32_t> positions, std::vector<std::string_view> texts);
  /// Empty if nothing is recorded.
  std::string_view operator[](Animal animal) const noexcept;
  bool empty() const noexcept { return positions_.empty(); }

 private:
  std::vector<std::uint32_t> positions_;
  std::vector<std::uint64_t> ends_;
  std::string bytes_;
};

/// Share of one breed in an animal.
struct BreedShare {
  std::uint16_t breed = 0;  ///< Index into AnimalFacts::breed_names.
  double share = 1.0;
};

/// Columns of animals.csv by pedigree position. Every vector has one entry an animal.
struct AnimalFacts {
  std::vector<std::uint32_t> line;  ///< In animals.csv; 0: named elsewhere only.
  std::vector<Sex> sex;
  std::vector<PartialDate> born;
  std::vector<Horns> horns;
  std::vector<bool> gone;  ///< `left` or `left_why` is filled: no longer in anybody's herd.
  std::vector<PartialDate> left;
  std::vector<LeftWhy> left_why;
  /// Positions of animals of which it does not count that they lived or died young, so far as lethal
  /// faults go: set aside, because it contradicts other records.
  std::set<std::uint32_t> survival_set_aside;

  std::vector<std::string> breed_names;              ///< As first written; compared without case.
  std::vector<std::vector<BreedShare>> breed_mixes;  ///< [0] is empty: not recorded.
  std::vector<std::uint32_t> breed_mix;              ///< Into breed_mixes, as recorded.

  std::vector<std::string> owners;   ///< [0] is "": not recorded.
  std::vector<std::uint32_t> owner;  ///< Into owners.

  TextColumn name, litter, breeder, tags, registration, also, colour, note;
};

}  // namespace doewright
