// SPDX-License-Identifier: MIT
#pragma once
/// The records of a trait as the model takes them: value, animal, level of every fixed effect.
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <doewright/herd/herd.hpp>

#include "birth_litters.hpp"

namespace doewright {

/// A classification: its levels in order (numbers by size, texts by bytes, blank last).
struct RecordLevels {
  std::string effect;
  std::vector<std::string> names;  ///< Empty: not recorded.
  std::vector<std::uint32_t> of;   ///< By record.
  std::vector<std::size_t> records;
};

struct TraitRecords {
  std::vector<Animal> animals;
  std::vector<double> values;  ///< Corrected for the animal's own inbreeding.
  std::vector<RecordLevels> fixed;
  std::vector<std::uint32_t> group;  ///< By record, also where it is no fixed effect.
  std::uint32_t groups = 0;
  bool with_age = false;
  std::vector<std::optional<double>> age;  ///< By record, days.
  std::size_t size() const noexcept { return animals.size(); }
};

/// `f`: inbreeding, by animal. `litters` may be null where birth_type is not a fixed effect.
TraitRecords trait_records(const Herd& herd, TraitIndex trait, std::span<const double> f,
                           const BirthLitters* litters);

/// By record: some group in which its animal has a record is linked (DEFINITIONS 11). Here by
/// animal.
std::vector<bool> linked_animals(const Pedigree& pedigree, const TraitRecords& records);

}  // namespace doewright
