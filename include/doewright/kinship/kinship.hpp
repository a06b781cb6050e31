// SPDX-License-Identifier: MIT
#pragma once
/// Kinship between animals, what makes it, and what blanks in the pedigree may hide.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/core/grid.hpp>
#include <doewright/core/run.hpp>
#include <doewright/export.hpp>
#include <doewright/kinship/known.hpp>
#include <doewright/pedigree/pedigree.hpp>
#include <doewright/pedigree/unknown_parents.hpp>

namespace doewright {

enum class ParentRole : std::uint8_t { sire, dam };

/// One thing that the worst reading takes for true: this parent of this animal is that one.
struct Assumption {
  Animal animal;
  ParentRole parent = ParentRole::sire;
  Animal taken_as;
  friend constexpr bool operator==(const Assumption&, const Assumption&) = default;
};

enum class UnknownsBy : std::uint8_t {
  breed,            ///< One figure, or one a breed: the mean of the pair's two.
  breed_and_years,  ///< After VanRaden (1992): classes of breed and birth year, in large books.
};

/// Inbreeding of a kid of a pair, four readings of the blanks (DEFINITIONS section 2). All are F, 0..1.
///
/// **Reading 2 by breed and birth year.** Used where birth_year and breed_class are given
/// (unknown_parents() gives them for books of 10,000 or more dated animals) and make no more than
/// 4,000 classes. A missing parent belongs to the class of its kid's breed and birth year. Solved is
///   m(c) = mean of F(i) over the animals i of class c with both parents known,
///   F(i) = K(sire of i, dam of i),
/// where K follows the ordinary rules down from missing parents u of class c and v of class d with
///   K(u, v) = m(the later of c and d) in one breed (one year: the mean of the two; an unknown breed
///             counts as each), 0 between breeds;   K(u, u) = (1 + m(c)) / 2.
/// So in one breed a half-known kid has m of its own class. Then unknowns_as_breed = K(sire, doe).
///
/// By rounds from m = 0, F of the whole book in each. m only rises; where ancestors are of earlier
/// years the rounds end by themselves. They are stopped when no m changes by more than 1e-12, at 200 in
/// any case. Assumed: a kid without a birth year takes the year two after its younger parent's, else
/// two before its oldest kid's, else its breed's figure is its m; a class of fewer than ten animals
/// with both parents known takes the years before it in until there are ten, m = 0 if there are none;
/// a breed without any keeps the breed's figure.
///
/// Accuracy  within 1e-9 of a slow twin (tests/kinship/test_classes.cpp).
/// Cost      each round is one inbreeding() of the book, when the Kinship is made.
/// Source    VanRaden (1992), J. Dairy Sci. 75:3136-3144, the method from memory. Ours: the symmetric
///           rule between classes, breeds unrelated, the four assumptions.
struct KidInbreeding {
  double as_recorded = 0.0;        ///< The kinship of the parents. A floor: blanks count as unrelated.
  double unknowns_as_breed = 0.0;  ///< Best estimate: blanks count as the breed's average.
  double worst = 0.0;              ///< Largest F that one unknown parent and unsure sires can make.
  double used = 0.0;               ///< Prudent figure that value, limits and order use.
  std::vector<Assumption> worst_assumes;  ///< Only those that change F, by id of the animal.
  /// False: more unsure sires than can be settled all at once; those with the largest effects were
  /// settled one by one and improved in turn, and `worst` may be less than the very worst.
  bool worst_all_settled = true;
  UnknownsBy unknowns_by = UnknownsBy::breed;
  /// The figure reading 2 used: of the breed; by classes the mean of m over the missing ancestors of
  /// both, each by the part of the genes that comes from there.
  double breed_inbreeding = 0.0;
};

/// What one common ancestor contributes to a kinship (Wright's sense).
struct AncestorShare {
  std::optional<Animal> ancestor;  ///< Empty: "a sire not on the list" of an uncertain sire.
  double contribution = 0.0;       ///< Part of the kinship; the contributions sum to it.
};

/// One of Wright's paths: a chain of parents from one animal up to a common ancestor and down to the
/// other, in which no animal stands twice.
struct Path {
  std::optional<Animal> ancestor;  ///< As in AncestorShare.
  std::vector<Animal> animals;     ///< From a to b, both included; the ancestor is among them.
  double contribution = 0.0;       ///< (1/2)^(animals) (1 + F of the ancestor), times sire chances.
};

/// Why two animals are related.
struct Why {
  double kinship = 0.0;
  std::vector<AncestorShare> ancestors;  ///< Largest first; ties by id.
  std::vector<Path> paths;               ///< Largest first, at most as many as asked for.
  double paths_left_out = 0.0;           ///< Kinship that the paths not listed are worth together.
  /// Number of all paths (of those that are summed, see common_ancestors); exact up to 2^53, beyond
  /// that a double close to it. Paths through different candidates of one uncertain sire count apart.
  double paths_total = 0.0;
};

struct KinshipState;

/// Inbreeding and kinship of one pedigree, worked out once. Immutable, cheap to copy, const calls are
/// safe from any number of threads.
///
/// Kinship: the chance that a gene drawn from one and a gene drawn from the other come from one copy in
/// one ancestor. Half the additive relationship; the F of their kid. Not a percentage.
class DOEWRIGHT_EXPORT Kinship {
 public:
  /// \throws UsageError if a list of `unknowns` has the wrong length; LimitError, Cancelled.
  /// Cost: that of inbreeding(); with birth years and breed classes, that many times over.
  explicit Kinship(Pedigree pedigree, UnknownParents unknowns = {}, const Run& run = {});

  /// For questions about some animals and their ancestors alone: the same answers within 1e-12, where F
  /// of all is not needed for anything else. Any other animal: UsageError. \throws as the constructor;
  /// UsageError for an animal that is not there.
  /// Cost: grows with their ancestors, beside a pass over 8 bytes an animal of the book; with birth
  /// years and breed classes reading 2 makes it that of the constructor.
  static Kinship of_some(Pedigree pedigree, UnknownParents unknowns, std::span<const Animal> animals,
                         const Run& run = {});

  const Pedigree& pedigree() const noexcept;
  const UnknownParents& unknowns() const noexcept;
  /// F in pedigree order; empty if made by of_some().
  std::span<const double> inbreeding() const noexcept;
  double inbreeding_of(Animal animal) const;  ///< F of one.

  /// Kinship of two animals; of(x, x) is (1 + F(x)) / 2. Cost: grows with their ancestors.
  double of(Animal a, Animal b) const;

  /// Kinship of every row with every column.
  Grid<double> block(std::span<const Animal> rows, std::span<const Animal> columns,
                     const Run& run = {}) const;

  /// Kinship of one animal with every animal of the pedigree. Cost: two passes.
  std::vector<double> row(Animal animal) const;

  /// What is known of an animal; the same as doewright::known, looked up.
  Known known(Animal animal) const;

  /// The four readings for one pair, or for every sire (row) with every doe (column).
  KidInbreeding kid(Pairing pairing) const;
  Grid<KidInbreeding> kids(std::span<const Animal> sires, std::span<const Animal> does,
                           const Run& run = {}) const;

  /// Contributions of the common ancestors alone: largest first, ties by id. |contribution| of a c_k
  /// under 1e-12 is dropped. They sum to the kinship, unless the two have more than 3,000 ancestors (the
  /// pedigree of a breed): then only paths within the nearest generations that hold so many are summed,
  /// and what is missing lies further back.
  std::vector<AncestorShare> common_ancestors(Animal a, Animal b) const;

  /// Contributions and Wright's paths, the largest `most_paths` of them. Bounded in time even in a deep
  /// inbred pedigree, where paths are too many to list: paths_left_out says what is not shown.
  Why why(Animal a, Animal b, std::size_t most_paths = 20) const;

  /// Which of two animals counts as the sire: a buck, or one that has sired; if that does not decide,
  /// nothing, and the smaller C counts in `used`.
  std::optional<Animal> sire_of_pair(Animal a, Animal b) const;

  /// As kid(), for two animals of which nobody said who is the sire.
  KidInbreeding kid_of(Animal a, Animal b) const;

 private:
  explicit Kinship(std::shared_ptr<const KinshipState> state) : state_(std::move(state)) {}
  std::shared_ptr<const KinshipState> state_;
};

}  // namespace doewright
