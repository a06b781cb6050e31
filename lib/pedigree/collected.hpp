// SPDX-License-Identifier: MIT
#pragma once
/// What the builder has collected, and the steps from there to a pedigree.
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

#include <doewright/pedigree/pedigree_builder.hpp>

#include "id_table.hpp"
#include "parent_graph.hpp"

namespace doewright {

/// One buck of a kid's list, all by number.
struct ListEntry {
  static constexpr double blank = std::numeric_limits<double>::quiet_NaN();

  std::uint32_t kid = 0;
  std::uint32_t sire = ParentGraph::none;    ///< none: a buck not in the book.
  std::uint32_t litter = ParentGraph::none;  ///< Number of the litter's text; none: blank.
  Row from;
  double probability = blank;

  bool is_blank() const { return std::isnan(probability); }
};

/// Animals have numbers, in the order in which their ids were first met; until the end a Finding's
/// Animal holds such a number, not a position.
struct Collected {
  static constexpr std::uint32_t none = ParentGraph::none;

  IdTable ids;
  IdTable litters;
  ParentGraph graph;
  std::vector<std::uint32_t> first_row;      // by number; none: it has no row
  std::vector<std::uint32_t> number_of_row;  // by row, in order of adding
  std::vector<std::uint32_t> line_of_row;
  std::vector<Table> table_of_row;
  std::vector<ListEntry> entries;
  std::vector<std::uint32_t> mentioned;  // numbers that mention() added, ascending
  std::vector<Finding> findings;

  /// The number of an id; a new animal is added for a new one.
  std::uint32_t number_of(std::string_view id);
  Row place_of_row(std::uint32_t row) const { return {table_of_row[row], line_of_row[row]}; }

  /// The row of an animal; nothing if it has none.
  Row row_of(std::uint32_t number) const;
  /// Where the kid names the parent at this place.
  Row row_of(ParentPlace parent) const;
  CutParent as_cut(ParentPlace parent) const;
};

/// Turns the lists of possible sires into the choices of the graph: sorts the entries by kid, gives
/// the blank chances their share, adds up, rescales. Finds "sire-and-possible" and "chance-sum".
void make_choices(Collected& book);

/// Takes out own parents, and the second place where one animal fills two of a kid's. Finds
/// "own-parent" and "same-parent-twice".
void take_out_impossible_parents(Collected& book);

/// Finds "both-roles", "parent-added" and "kid-added".
void note_roles(Collected& book);

/// Finds "loop" and takes out the parents that close one.
void take_out_loops(Collected& book, std::span<const ParentPlace> closing, const Run& run);

/// The finished lists: for every animal with possible sires its stand-in, or none.
struct StandIns {
  std::vector<std::vector<SireChance>> lists;  ///< By stand-in, in the order of the first kids.
  std::vector<std::uint32_t> of;               ///< By position; empty if there are no lists.
  std::vector<std::uint32_t> certain_sire;     ///< By position, where a list came to one buck.
};

/// \param order        numbers by position, parents first.
/// \param position_of  the other way round.
/// Finds "litter-lists".
StandIns make_stand_ins(Collected& book, std::span<const std::uint32_t> order,
                        std::span<const std::uint32_t> position_of);

}  // namespace doewright
