// SPDX-License-Identifier: MIT
#pragma once
/// Exact sums over a product of small tables: variable elimination, kept as a tree of cliques so that
/// every marginal, pairs (pair_reader.hpp) and joint draws can be read from it.
///
/// Source: Lauritzen and Spiegelhalter (1988), J. R. Stat. Soc. B 50:157; for pedigrees Cannings,
/// Thompson and Skolnick (1978), Adv. Appl. Probab. 10:26. What we changed: one clique a variable, in
/// order of elimination; no merging.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include <doewright/core/run.hpp>

namespace doewright {

/// A function of a few variables. The first of `scope` varies fastest in `table`.
struct TreeFactor {
  std::vector<std::uint32_t> scope;  ///< Distinct.
  std::vector<double> table;
};

/// The structure alone: which variables meet in which table. Depends on scopes, not on numbers.
class TreeShape {
 public:
  /// `states[v]` >= 1 states of variable v; `order` all variables, first eliminated first.
  TreeShape(std::vector<std::uint32_t> states, const std::vector<TreeFactor>& factors,
            std::span<const std::uint32_t> order);

  std::size_t size() const noexcept { return states_.size(); }
  std::size_t entries() const noexcept { return table_begin_.back(); }  ///< Of all tables.
  std::size_t width() const noexcept { return width_; }  ///< Variables of the largest table, less 1.

  // A place is a variable's number in the order; its table is over the variable and others of later
  // places, the own one first.
  std::uint32_t place(std::uint32_t variable) const { return place_of_[variable]; }
  std::uint32_t states_at(std::uint32_t place) const { return states_[place]; }
  std::optional<std::uint32_t> parent(std::uint32_t place) const;
  std::span<const std::uint32_t> scope(std::uint32_t place) const {
    return std::span(scope_).subspan(scope_begin_[place],
                                     scope_begin_[place + 1] - scope_begin_[place]);
  }
  std::size_t table_size(std::uint32_t place) const {
    return table_begin_[place + 1] - table_begin_[place];
  }

 private:
  friend class FactorTree;
  std::vector<std::uint32_t> states_;       // by place in the order
  std::vector<std::uint32_t> place_of_;     // by variable
  std::vector<std::size_t> scope_begin_;    // by place, into scope_
  std::vector<std::uint32_t> scope_;        // places, ascending: the own one first
  std::vector<std::size_t> table_begin_;    // by place
  std::vector<std::uint32_t> parent_;       // place, or none
  std::vector<std::uint32_t> constants_;                   // factors without a variable
  std::vector<std::size_t> factor_begin_, child_begin_;    // by place, into the next two
  std::vector<std::uint32_t> factors_, children_;
  std::size_t width_ = 0;
};

/// An order of elimination of small width: minimum degree (Boost.Graph).
std::vector<std::uint32_t> minimum_degree_order(std::size_t variables,
                                                const std::vector<TreeFactor>& factors);

/// The same by minimum fill-in: slower, now and then one less wide.
std::vector<std::uint32_t> minimum_fill_order(std::size_t variables,
                                              const std::vector<TreeFactor>& factors);

/// Entries of the tables an order would need, without building them; stops counting past `most`.
double entries_of_order(const std::vector<std::uint32_t>& states,
                        const std::vector<TreeFactor>& factors,
                        std::span<const std::uint32_t> order, double most);

/// The numbers: every table holds the probability of its variables given everything.
class FactorTree {
 public:
  FactorTree(std::shared_ptr<const TreeShape> shape, const std::vector<TreeFactor>& factors,
             const Run& run = {});

  /// Without numbers yet: to be filled again and again, for draws alone.
  explicit FactorTree(std::shared_ptr<const TreeShape> shape);
  /// Up to the roots only: possible(), log_total() and draw() are right afterwards, nothing else is.
  /// The factors must have the scopes the shape was made from.
  void fill_for_draws(const std::vector<TreeFactor>& factors, const Run& run);

  /// False: the product is zero everywhere. Then nothing else may be asked.
  bool possible() const noexcept { return possible_; }
  double log_total() const noexcept { return log_total_; }  ///< Of the sum over everything.

  /// Probability of each state of a variable.
  std::vector<double> marginal(std::uint32_t variable) const;

  /// One joint draw of all variables, into `by_place`; `uniform()` is called once a variable.
  template <class Uniform>
  void draw(std::vector<std::uint8_t>& by_place, Uniform&& uniform) const {
    by_place.resize(shape_->size());
    for (std::size_t i = shape_->size(); i-- > 0;) {
      by_place[i] = draw_one(static_cast<std::uint32_t>(i), by_place, uniform());
    }
  }
  std::uint8_t drawn(std::uint32_t variable, const std::vector<std::uint8_t>& by_place) const {
    return by_place[shape_->place_of_[variable]];
  }

  const TreeShape& shape() const noexcept { return *shape_; }
  /// Joint probabilities of the variables of a place.
  std::span<const double> table(std::uint32_t place) const {
    return std::span(tables_).subspan(shape_->table_begin_[place], shape_->table_size(place));
  }

 private:
  void gather(const std::vector<TreeFactor>& factors, const Run& run);
  void spread();
  std::uint8_t draw_one(std::uint32_t place, const std::vector<std::uint8_t>& by_place,
                        double uniform) const;

  std::shared_ptr<const TreeShape> shape_;
  std::vector<double> tables_;
  std::vector<double> messages_;             // by place: table without its own variable
  std::vector<std::size_t> message_begin_;
  std::vector<std::size_t> stride_at_;       // scratch: by place; 0 between uses
  bool possible_ = true;
  double log_total_ = 0.0;
};

}  // namespace doewright
