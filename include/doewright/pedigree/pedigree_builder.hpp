// SPDX-License-Identifier: MIT
#pragma once
/// From ids in any order to a Pedigree, with everything that is wrong said at once.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/run.hpp>
#include <doewright/core/table.hpp>
#include <doewright/export.hpp>
#include <doewright/pedigree/ids.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// One possible sire by name. Blank chances share what is left.
struct NamedChance {
  std::string_view sire;
  std::optional<double> probability;
  Row from = {};
};

/// What building noticed. Only facts: herdbook turns them into complaints.
struct Finding {
  /// "loop": animals of one shortest loop in order, each a kid of the next, the last a kid of ... the
  ///   first; one a knot. "own-parent": the animal. "same-parent-twice": kid, parent.
  /// "both-roles": the animal, then one kid as sire, one kid as dam. "id-twice": the animal, rows of
  ///   both entries (first, later). "parent-added": a parent or possible sire without a row of its
  ///   own, then one kid. "sire-and-possible": kid with a sire in animals.csv and a list of possible
  ///   ones. "chance-sum": kid whose list sums to more than 1 (rescaled).
  std::string_view code;
  std::vector<Animal> animals;
  std::vector<Row> rows;            ///< Rows of the animals or entries, as far as there are any.
  std::size_t animals_in_all = 0;   ///< Of a loop longer than the 12 animals listed: its length.
};

struct BuiltPedigree {
  Pedigree pedigree;
  Ids ids;
  /// Line of each animal's row by position; 0: added as a parent, it has no row of its own.
  std::vector<std::uint32_t> line_of;
  /// For each row added, in order of adding, the animal it became. A second row of the same id names
  /// the same animal (and is a finding).
  std::vector<Animal> animal_of_row;
  std::vector<Finding> findings;
};

/// Collects rows in any order, then builds. Positions are parents first, else the order of the rows;
/// an animal that was only named as a parent stands right before the first animal that needs it.
///
/// build() always returns a pedigree, so that every problem of every file can be named in one go. What
/// cannot stand is read as unknown and is a finding: own parent, loops (the parents that close one),
/// a second row of an id, the dam where sire and dam are one animal, the list of possible sires where
/// a certain one is given. Whoever must not go on after a finding, looks at the findings.
///
/// Stand-ins: rows of add_possible_sires with the same non-empty `litter` and the same dam and the same
/// list share one stand-in; every other kid has one of its own. (Rules by dates: the caller passes
/// the litter it found.) A list that comes to one buck with probability 1 (within 1e-12) is no
/// stand-in: he is the sire.
///
/// Cost: time grows with rows times a hash look-up; memory while building is the bytes of the ids and
/// about 60 bytes an animal.
class DOEWRIGHT_EXPORT PedigreeBuilder {
 public:
  PedigreeBuilder();
  PedigreeBuilder(PedigreeBuilder&&) noexcept;
  PedigreeBuilder& operator=(PedigreeBuilder&&) noexcept;
  ~PedigreeBuilder();

  void reserve(std::size_t animals, std::size_t id_bytes);

  /// One animal. Empty sire or dam: not known. \throws UsageError if the id is empty.
  void add(std::string_view id, std::string_view sire, std::string_view dam, Row from = {});

  /// An animal named elsewhere in the book, without a row of its own and with unknown parents; nothing
  /// happens if it is there already. Returns true if it was added.
  bool mention(std::string_view id);

  /// The possible sires of a kid. A second call for the same kid adds to its list.
  void add_possible_sires(std::string_view kid, std::string_view litter,
                          std::span<const NamedChance> sires, Row from = {});

  /// \throws LimitError, Cancelled. The builder is empty afterwards.
  BuiltPedigree build(const Run& run = {}) &&;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace doewright
