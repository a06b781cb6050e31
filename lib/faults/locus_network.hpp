// SPDX-License-Identifier: MIT
#pragma once
/// A pedigree and what is known at one locus, as variables and factors (DEFINITIONS 3).
///
/// Not here: where the likelihoods come from (locus_evidence), and what is asked (locus_fit).
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/herd/animal_facts.hpp>
#include <doewright/pedigree/pedigree.hpp>

#include "factor_tree.hpp"

namespace doewright {

/// A number for each of 0, 1, 2 copies of the fault allele.
using Copies = std::array<double, 3>;

/// By genetic sex: [0] does, [1] bucks.
using CopiesBySex = std::array<Copies, 2>;

/// The number for a genetic sex (0 doe, 1 buck) and copies 0..2.
inline double at(const CopiesBySex& table, int sex, int copies) noexcept {
  return table[static_cast<std::size_t>(sex)][static_cast<std::size_t>(copies)];
}

/// [sire copies][doe copies].
using ParentCopies = std::array<Copies, 3>;

/// How the allele goes from parents to a kid.
struct Transmission {
  bool x_linked = false;
  /// P(kid has k copies | parents'). `sex` 0 doe, 1 buck. A buck of an X-linked locus has 0 or 1.
  double kid(int k, int sire, int dam, int sex) const noexcept;
  /// Founders and missing parents, at allele frequency q.
  double founder(int k, double q, int sex) const noexcept;
};

/// What is known of one animal itself.
struct OwnEvidence {
  CopiesBySex likelihood = {Copies{1, 1, 1}, Copies{1, 1, 1}};
  /// A living kid of a litter of which it is not known how many were born: its table is divided by
  /// its sum, so that it says nothing of its parents. `not_shown` is then that table's factor.
  bool living_of_unknown_litter = false;
  CopiesBySex not_shown = {Copies{1, 1, 1}, Copies{1, 1, 1}};

  bool tells() const noexcept;
};

/// A parent in evidence on a pair: an animal, the unsure sire of a litter, or not known.
struct PairParent {
  std::optional<Animal> animal;
  std::optional<std::uint32_t> stand_in;
};

/// Evidence on a pair of parents: counts of kids elsewhere, kids without a row.
struct PairEvidence {
  PairParent sire, dam;
  /// Likelihood by [sire copies][doe copies]. A parent not known is a founder at `frequency`, one for
  /// each of these pieces of evidence: sum it out before (then the likelihood does not depend on it).
  ParentCopies likelihood;
};

/// All that the network is made from. Vectors have one entry an animal.
struct LocusInput {
  Transmission transmission;
  std::vector<double> frequency;     ///< Of the fault allele, by the animal's own breed.
  std::vector<Sex> sex;              ///< As recorded or used; unknown: half and half.
  std::vector<OwnEvidence> own;
  std::vector<PairEvidence> pairs;
};

/// 0 doe, 1 buck, 2 either.
int genetic_sex(Sex sex) noexcept;

/// Variables: the copies of every relevant animal that are possible by its own evidence (those with one
/// possibility are constants and stand in no scope); of every stand-in its copies, and which buck it is.
class LocusNetwork {
 public:
  /// Relevant: `asked`, every animal with evidence, and all of their ancestors.
  LocusNetwork(const Pedigree& pedigree, const LocusInput& input, std::span<const Animal> asked);

  const std::vector<std::uint32_t>& states() const noexcept { return states_; }
  const std::vector<TreeFactor>& factors() const noexcept { return factors_; }
  /// False: the evidence on one animal alone leaves nothing possible.
  bool possible() const noexcept { return possible_; }

  bool contains(Animal animal) const noexcept { return contains_[animal.position]; }
  /// Copies that are possible, ascending; \pre contains.
  const std::vector<std::uint8_t>& copies(Animal animal) const { return copies_[animal.position]; }
  /// The variable; empty: one possibility only.
  std::optional<std::uint32_t> variable(Animal animal) const;

  // The same of the unsure sire of a litter: copies of whoever it is.
  bool contains_stand_in(std::uint32_t s) const noexcept { return contains_stand_in_[s]; }
  const std::vector<std::uint8_t>& copies_of_stand_in(std::uint32_t s) const {
    return copies_stand_in_[s];
  }
  std::optional<std::uint32_t> variable_of_stand_in(std::uint32_t s) const;
  /// Allele frequency of a buck who is not on the list: a founder of the first kid's breed.
  double frequency_of_unlisted(const Pedigree& pedigree, const LocusInput& input,
                               std::uint32_t s) const;

 private:
  struct Node {  // an animal or a stand-in, as a factor sees it
    std::optional<std::uint32_t> variable;
    const std::vector<std::uint8_t>* copies = nullptr;  // null: not known
  };
  void mark_relevant(const Pedigree& pedigree, const LocusInput& input,
                     std::span<const Animal> asked);
  void add_variables(const Pedigree& pedigree, const LocusInput& input);
  void add_animal(const Pedigree& pedigree, const LocusInput& input, Animal animal);
  void add_stand_in(const Pedigree& pedigree, const LocusInput& input, std::uint32_t s);
  void add_pair(const PairEvidence& evidence);
  Node node(Animal animal) const;
  Node node_of_stand_in(std::uint32_t s) const;
  Node node_of(const PairParent& parent) const;
  template <class Value>
  void add_factor(std::span<const Node> nodes, Value value);

  std::vector<bool> contains_, contains_stand_in_;
  std::vector<std::vector<std::uint8_t>> copies_;           // by animal
  std::vector<std::vector<std::uint8_t>> copies_stand_in_;  // by stand-in
  std::vector<std::uint32_t> variable_, variable_of_stand_in_, selector_of_stand_in_;
  std::vector<std::uint32_t> states_;
  std::vector<TreeFactor> factors_;
  std::vector<std::uint32_t> kid_of_stand_in_;
  bool possible_ = true;
};

}  // namespace doewright
