// SPDX-License-Identifier: MIT
#pragma once
/// The kids of every animal: asked for, never built lazily.
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/export.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// Kids by parent, in pedigree order. A value; const calls are safe from any number of threads.
/// Cost: one pass to build; 4 bytes an animal and 4 a known parent.
class DOEWRIGHT_EXPORT Offspring {
 public:
  explicit Offspring(const Pedigree& pedigree);

  /// Kids of which the animal is the certain sire or the dam. \throws UsageError if it is not there.
  std::span<const Animal> of(Animal parent) const;
  /// Kids of stand-in s of the pedigree.
  std::span<const Animal> of_stand_in(std::uint32_t s) const;
  /// Stand-ins that have the animal among their candidates, ascending.
  std::span<const std::uint32_t> stand_ins_of(Animal sire) const;

 private:
  std::size_t animals_ = 0;
  std::vector<std::uint32_t> first_;  // animals, then stand-ins, then one past the end
  std::vector<Animal> kids_;
  std::vector<std::uint32_t> candidate_first_;
  std::vector<std::uint32_t> candidate_of_;
};

}  // namespace doewright
