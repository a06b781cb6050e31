// SPDX-License-Identifier: MIT
#pragma once
/// Many short texts, each kept once and numbered from 0: one run of bytes, the place where each
/// text begins in it, and a hash table of numbers. No allocation a text.
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include <doewright/pedigree/ids.hpp>

namespace doewright {

class IdTable {
 public:
  static constexpr std::uint32_t none = 0xFFFFFFFFu;

  std::size_t size() const noexcept { return start_.size(); }

  void reserve(std::size_t texts, std::size_t bytes);

  /// The number of the text; a new one gets number size().
  std::uint32_t number_of(std::string_view text);

  /// The number of the text, or none.
  std::uint32_t find(std::string_view text) const noexcept;

  /// \pre number < size().
  std::string_view text_of(std::uint32_t number) const noexcept;

  /// Gives every text a new number. \pre new_number is a permutation of 0 .. size() - 1.
  void renumber(std::span<const std::uint32_t> new_number);

 private:
  std::size_t slot_of(std::string_view text) const noexcept;
  void grow(std::size_t slots);

  std::vector<char> bytes_;  // before each text its length, seven bits a byte, low bits first
  std::vector<std::uint64_t> start_;  // by number
  std::vector<std::uint32_t> slots_;  // numbers; a power of two, at most six in ten taken
};

struct Ids::Store {
  IdTable table;
};

}  // namespace doewright
