// SPDX-License-Identifier: MIT
#pragma once
/// A family: animals that are kin of each other, or bound by evidence on a pair, and of nobody else.
/// What is known of one family says nothing of another, so each can be looked at by itself.
#include <cstddef>
#include <span>
#include <vector>

#include <doewright/pedigree/pedigree.hpp>

#include "locus_records.hpp"

namespace doewright {

/// The number of each animal's family, from 0, by first animal. Cost: near linear.
std::vector<std::uint32_t> families(const Pedigree& pedigree, std::span<const LocusRecord> records);

class LocusFamily {
 public:
  /// `animals`: all of one family, ascending; `own_records`: indices of its records.
  LocusFamily(const Pedigree& pedigree, const LocusInput& whole, std::span<const LocusRecord> records,
              std::vector<std::size_t> own_records, std::span<const Animal> animals);

  const Pedigree& pedigree() const noexcept { return part_.pedigree; }
  std::size_t size() const noexcept { return part_.original.size(); }
  /// Position in the family. \pre it is of it.
  Animal here(Animal whole) const;
  const std::vector<std::size_t>& records() const noexcept { return own_records_; }
  /// All of its evidence but one record (an index into all records; none: nothing is left out).
  LocusInput input_without(std::size_t record) const;
  static constexpr std::size_t none = static_cast<std::size_t>(-1);

 private:
  PairParent here(const PairParent& parent) const;

  AncestorPedigree part_;
  std::span<const LocusRecord> records_;
  std::vector<std::size_t> own_records_;
  LocusInput bare_;  // without evidence
  std::vector<std::pair<std::uint32_t, std::uint32_t>> stand_ins_;  // whole, here; ascending
};

}  // namespace doewright
