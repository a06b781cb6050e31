// SPDX-License-Identifier: MIT
#pragma once
/// Who descends from whom.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/export.hpp>

namespace doewright {

/// One possible sire and the chance that he is it.
struct SireChance {
  Animal sire;
  double probability = 0.0;  ///< 0..1. A list may sum to less than 1: the rest is a buck not in the book.
};

/// The parents of n animals, parents before offspring; immutable, and without lazy state: const calls
/// are safe from any number of threads, a copy shares the arrays.
///
/// **Uncertain sires.** A kid whose sire is not certain has for sire a *stand-in*, "the buck, whoever
/// he was": a node with k possible bucks and their probabilities. Kids that share a stand-in have one
/// and the same unsure sire. A stand-in has no id, is no Animal and appears in no result. In the
/// kernels' numbering stand-in s is number size() + s; it is older than its kids and younger than
/// its bucks.
///
/// Cost: 8 bytes an animal, 12 bytes a possible sire.
/// Source of the stand-in: the average relationship matrix of Henderson (1988), J. Anim. Sci. 66:1614.
class DOEWRIGHT_EXPORT Pedigree {
 public:
  static constexpr std::uint32_t none = 0xFFFFFFFFu;          ///< In slots: parent not known.
  static constexpr std::uint32_t stand_in_bit = 0x80000000u;  ///< In slots, unless none: a stand-in.
  static constexpr std::uint32_t most_animals = 0x7FFFFFFEu;

  /// The empty pedigree.
  Pedigree();

  /// Takes packed arrays: position, none, or (sire only) stand_in_bit + s; `stand_ins[s]` lists the
  /// possible sires of stand-in s in the order of their positions.
  /// \throws UsageError  if the arrays differ in length, a parent does not stand before its kid, a
  ///         stand-in is not there, has no candidate, one twice, or chances that are not in (0, 1] or
  ///         sum to more than 1 + 1e-9. Build from ids with PedigreeBuilder.
  Pedigree(std::vector<std::uint32_t> sire_slots, std::vector<std::uint32_t> dam_slots,
           std::vector<std::vector<SireChance>> stand_ins = {});

  std::size_t size() const noexcept;       ///< Animals, stand-ins not counted.
  std::size_t stand_ins() const noexcept;

  /// The certain sire. Empty: not known, or not certain (then possible_sires has several).
  /// All calls: \throws UsageError if the animal is not of this pedigree.
  std::optional<Animal> sire(Animal animal) const;
  std::optional<Animal> dam(Animal animal) const;

  /// No one (not known), one with probability 1 (certain), or the candidates of the stand-in.
  std::vector<SireChance> possible_sires(Animal animal) const;

  /// For kernels. With work arrays indexed by slot + 1, row 0 stands for "unknown": none + 1 == 0.
  std::span<const std::uint32_t> sire_slots() const noexcept;
  std::span<const std::uint32_t> dam_slots() const noexcept;
  std::span<const SireChance> stand_in(std::uint32_t s) const;  ///< Candidates of stand-in s.

  static constexpr bool is_stand_in(std::uint32_t slot) noexcept {
    return slot != none && (slot & stand_in_bit) != 0;
  }
  static constexpr std::uint32_t stand_in_of(std::uint32_t slot) noexcept {
    return slot & ~stand_in_bit;
  }

 private:
  struct Arrays;
  std::shared_ptr<const Arrays> arrays_;
};

/// A pedigree of the ancestors of some animals (themselves included) and nobody else, in the same
/// order, and which animal of the whole pedigree each one is. Every number that looks upward only
/// (F, kinship between them, what is known) is the same in it.
struct AncestorPedigree {
  Pedigree pedigree;
  std::vector<Animal> original;  ///< By new position.
  std::vector<Animal> asked;     ///< New positions of the animals asked for, in that order.
};

/// \throws UsageError if an animal is not of this pedigree.
/// Cost: time and memory grow with the ancestors found, not with the pedigree.
DOEWRIGHT_EXPORT AncestorPedigree ancestors_only(const Pedigree& pedigree,
                                                 std::span<const Animal> animals);

}  // namespace doewright
