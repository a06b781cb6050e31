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

/// One possible sire by name. Blank chances share what is left. A blank name is a buck not in the
/// book: his chance is taken, and nobody gets it.
struct NamedChance {
  std::string_view sire;
  std::optional<double> probability;
  Row from = {};  ///< Where he is named; none: the row given for the whole list.
};

/// In which column an animal is named as a parent.
enum class ParentColumn : std::uint8_t { sire, dam, possible_sire };

/// A parent that the pedigree leaves out, because it cannot stand. A possible sire's chance is left
/// to bucks that are not in the book.
struct CutParent {
  Animal kid;
  Animal parent;
  ParentColumn role = ParentColumn::sire;
  Row from = {};  ///< Where it is named.
};

/// What building noticed. Only facts: herdbook turns them into complaints. By code, the animals,
/// and after the bar the rows (as far as there are any):
///
/// - "id-twice": the animal | first entry, later entry.
/// - "own-parent": the animal | where it names itself.
/// - "same-parent-twice": kid, parent | the kid's row, and the entry if it is a possible sire.
/// - "sire-and-possible": kid with a certain sire and a list of possible ones | its row, the
/// list's.
/// - "chance-sum": kid whose list sums to more than 1 (rescaled) | the list's.
/// - "litter-lists": two kids of one `litter` whose lists differ, so that each has a stand-in
/// of
///   its own | both lists'.
/// - "both-roles": the animal, a kid as sire, a kid as dam | its row, where the kids name it.
/// - "parent-added": parent or possible sire without a row of its own, a kid | where the kid names
/// it.
/// - "kid-added": kid of a list, named nowhere else and not by mention() | the list's.
/// - "loop": a shortest loop of a knot, each a kid of the next, the last a kid of the first | of
/// these
///   animals. One a knot.
struct Finding {
  std::string_view code;
  std::vector<Animal> animals = {};
  std::vector<Row> rows = {};
  std::size_t animals_in_all = 0;  ///< Of a loop: its length; no more than 12 animals are listed.
  /// What was left out of the pedigree because of it ("own-parent", "same-parent-twice", "loop"):
  /// at most 12 of cuts_in_all. Each one, put back alone, would break the rule again.
  std::vector<CutParent> cuts = {};
  std::size_t cuts_in_all = 0;
};

struct BuiltPedigree {
  Pedigree pedigree;
  Ids ids;
  /// Line of each animal's row by position; 0: added as a parent, it has no row of its own.
  std::vector<std::uint32_t> line_of;
  /// For each row added, in order of adding, the animal it became. A second row of the same id
  /// names the same animal (and is a finding).
  std::vector<Animal> animal_of_row;
  std::vector<Finding> findings;
};

/// Collects rows in any order, then builds. Positions are parents first, else the order of the
/// rows: an animal stands right after those of its ancestors that have a later row, or none.
/// Animals without a row that are nobody's parent come last.
///
/// build() always returns a pedigree, so that every problem of every file can be named in one go.
/// What cannot stand is read as unknown and is a finding: own parent, loops (the parents that close
/// one), a second row of an id, the dam where sire and dam are one animal, a possible sire who is
/// the dam, the list of possible sires where a certain one is given. Whoever must not go on after a
/// finding, looks at the findings. The loop named is a shortest one of its knot; in a knot of many
/// thousand animals the search is bounded and a longer one may be named.
///
/// Stand-ins: kids with the same non-empty `litter` and the same list share one, whoever their dams
/// are; every other kid has one of its own. (Rules by dam and dates: the caller passes the name of
/// the draw that it found.) A list that comes to one buck with probability 1 (within 1e-12) is no stand-in: he is
/// the sire. The chances used can be read from Pedigree::possible_sires.
///
/// Cost: time grows with rows times a hash look-up; memory while building is the bytes of the ids
/// and about 90 bytes an animal, of which some 35 and the ids' bytes stay in the result.
class DOEWRIGHT_EXPORT PedigreeBuilder {
 public:
  PedigreeBuilder();
  PedigreeBuilder(PedigreeBuilder&&) noexcept;
  PedigreeBuilder& operator=(PedigreeBuilder&&) noexcept;
  ~PedigreeBuilder();

  void reserve(std::size_t animals, std::size_t id_bytes);

  /// One animal. Empty sire or dam: not known. \throws UsageError if the id is empty.
  void add(std::string_view id, std::string_view sire, std::string_view dam, Row from = {});

  /// An animal named elsewhere in the book, without a row of its own and with unknown parents;
  /// nothing happens if it is there already. Returns true if it was added.
  bool mention(std::string_view id);

  /// The possible sires of a kid. A second call for the same kid adds to its list; its first
  /// non-empty litter counts. A buck named twice in a list gets both chances, a chance of 0 leaves
  /// him out. \throws UsageError if the kid is empty or a probability is negative or not finite.
  void add_possible_sires(std::string_view kid, std::string_view litter,
                          std::span<const NamedChance> sires, Row from = {});

  /// \throws LimitError, Cancelled. The builder is empty afterwards.
  BuiltPedigree build(const Run& run = {}) &&;

 private:
  struct State;
  State& state();
  std::unique_ptr<State> state_;
};

}  // namespace doewright
