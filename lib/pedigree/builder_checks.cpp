// SPDX-License-Identifier: MIT
// What cannot stand in a pedigree, and what a keeper should know about it.
#include <algorithm>
#include <utility>

#include "collected.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_listed = 12;

void add_row(Finding& finding, Row row) {
  if (row != Row{}) finding.rows.push_back(row);
}

/// Takes the parent out and says so in the finding.
void cut(Collected& book, Finding& finding, ParentPlace parent) {
  ++finding.cuts_in_all;
  if (finding.cuts.size() < most_listed) finding.cuts.push_back(book.as_cut(parent));
  book.graph.forget_parent(parent.kid, parent.place);
}

void take_out_itself(Collected& book, std::uint32_t kid) {
  Finding finding{.code = "own-parent", .animals = {Animal{kid}}};
  for (std::uint32_t place = 0; place < book.graph.places_of(kid); ++place) {
    if (book.graph.parent(kid, place) != kid) continue;
    const Row row = book.row_of(ParentPlace{kid, place});
    if (finding.rows.empty() || finding.rows.back() != row) add_row(finding, row);
    cut(book, finding, {kid, place});
  }
  if (!finding.cuts.empty()) book.findings.push_back(std::move(finding));
}

void take_out_second_place(Collected& book, std::uint32_t kid) {
  const std::uint32_t sire = book.graph.sire[kid];
  const std::uint32_t dam = book.graph.dam[kid];
  if (dam == Collected::none) return;
  for (std::uint32_t place = 0; place < book.graph.places_of(kid); ++place) {
    if (place == 1 || book.graph.parent(kid, place) != dam) continue;
    Finding finding{.code = "same-parent-twice", .animals = {Animal{kid}, Animal{dam}}};
    add_row(finding, book.row_of(kid));
    if (place >= 2) add_row(finding, book.row_of(ParentPlace{kid, place}));
    cut(book, finding, {kid, sire == dam ? 1 : place});
    book.findings.push_back(std::move(finding));
  }
}

/// For every animal a kid that names it as sire, dam, or in a list: the first in the order of the
/// rows.
struct Roles {
  explicit Roles(std::size_t animals)
      : kid_as_sire(animals, Collected::none), kid_as_dam(animals, Collected::none) {}
  std::vector<std::uint32_t> kid_as_sire, kid_as_dam;
};

Roles roles_of(const Collected& book) {
  const ParentGraph& graph = book.graph;
  Roles roles(graph.size());
  const auto note = [](std::vector<std::uint32_t>& kid_as, std::uint32_t parent,
                       std::uint32_t kid) {
    if (parent != Collected::none && kid_as[parent] == Collected::none) kid_as[parent] = kid;
  };
  const auto note_kid = [&](std::uint32_t kid) {
    note(roles.kid_as_sire, graph.sire[kid], kid);
    note(roles.kid_as_dam, graph.dam[kid], kid);
    for (const Choice& choice : graph.choices_of(kid)) note(roles.kid_as_sire, choice.sire, kid);
  };
  for (const std::uint32_t kid : book.number_of_row) note_kid(kid);
  for (const ListEntry& entry : book.entries) note_kid(entry.kid);  // kids without a row
  return roles;
}

/// Where the kid names this sire, certain or possible.
Row row_of_sire(const Collected& book, std::uint32_t kid, std::uint32_t sire) {
  for (std::uint32_t place = 0; place < book.graph.places_of(kid); ++place) {
    if (place != 1 && book.graph.parent(kid, place) == sire) {
      return book.row_of(ParentPlace{kid, place});
    }
  }
  return {};
}

void note_both_roles(Collected& book, const Roles& roles, std::uint32_t animal) {
  const std::uint32_t as_sire = roles.kid_as_sire[animal];
  const std::uint32_t as_dam = roles.kid_as_dam[animal];
  if (as_sire == Collected::none || as_dam == Collected::none) return;
  Finding finding{.code = "both-roles",
                  .animals = {Animal{animal}, Animal{as_sire}, Animal{as_dam}}};
  add_row(finding, book.row_of(animal));
  add_row(finding, row_of_sire(book, as_sire, animal));
  add_row(finding, book.row_of(as_dam));
  book.findings.push_back(std::move(finding));
}

void note_parent_added(Collected& book, std::uint32_t parent, std::uint32_t kid, Row row) {
  Finding finding{.code = "parent-added", .animals = {Animal{parent}, Animal{kid}}};
  add_row(finding, row);
  book.findings.push_back(std::move(finding));
}

/// Possible sires whom nobody needs in the end (an ignored list, a chance of 0) are in the book
/// too. \param listed  by number: the entry that names the animal as a sire, or none.
std::vector<std::uint32_t> entries_by_sire(const Collected& book) {
  std::vector<std::uint32_t> listed;
  if (book.entries.empty()) return listed;
  listed.assign(book.graph.size(), Collected::none);
  for (std::uint32_t i = 0; i < book.entries.size(); ++i) {
    const std::uint32_t sire = book.entries[i].sire;
    if (sire != Collected::none && listed[sire] == Collected::none) listed[sire] = i;
  }
  return listed;
}

void note_animals_without_row(Collected& book, const Roles& roles) {
  const std::vector<std::uint32_t> listed = entries_by_sire(book);
  for (std::uint32_t animal = 0; animal < book.graph.size(); ++animal) {
    if (book.first_row[animal] != Collected::none) continue;
    const std::uint32_t as_sire = roles.kid_as_sire[animal];
    const std::uint32_t as_dam = roles.kid_as_dam[animal];
    if (as_sire != Collected::none) {
      note_parent_added(book, animal, as_sire, row_of_sire(book, as_sire, animal));
    } else if (as_dam != Collected::none) {
      note_parent_added(book, animal, as_dam, book.row_of(as_dam));
    } else if (!listed.empty() && listed[animal] != Collected::none) {
      const ListEntry& entry = book.entries[listed[animal]];
      note_parent_added(book, animal, entry.kid, entry.from);
    } else if (!std::binary_search(book.mentioned.begin(), book.mentioned.end(), animal)) {
      Finding finding{.code = "kid-added", .animals = {Animal{animal}}};
      const auto entry =
          std::lower_bound(book.entries.begin(), book.entries.end(), animal,
                           [](const ListEntry& e, std::uint32_t kid) { return e.kid < kid; });
      if (entry != book.entries.end() && entry->kid == animal) add_row(finding, entry->from);
      book.findings.push_back(std::move(finding));
    }
  }
}

}  // namespace

void take_out_impossible_parents(Collected& book) {
  for (std::uint32_t kid = 0; kid < book.graph.size(); ++kid) {
    take_out_itself(book, kid);
    take_out_second_place(book, kid);
  }
}

void note_roles(Collected& book) {
  const Roles roles = roles_of(book);
  for (std::uint32_t animal = 0; animal < book.graph.size(); ++animal) {
    note_both_roles(book, roles, animal);
  }
  note_animals_without_row(book, roles);
}

void take_out_loops(Collected& book, std::span<const ParentPlace> closing, const Run& run) {
  for (Knot& knot : find_knots(book.graph, closing, run)) {
    // The loop begins with the animal of the earliest row, or the first met where there is no row.
    const auto earliest =
        std::min_element(knot.loop.begin(), knot.loop.end(), [&](std::uint32_t a, std::uint32_t b) {
          return std::pair(book.first_row[a], a) < std::pair(book.first_row[b], b);
        });
    std::rotate(knot.loop.begin(), earliest, knot.loop.end());
    Finding finding{.code = "loop", .animals_in_all = knot.loop.size()};
    for (std::size_t i = 0; i < std::min(most_listed, knot.loop.size()); ++i) {
      finding.animals.push_back(Animal{knot.loop[i]});
      add_row(finding, book.row_of(knot.loop[i]));
    }
    for (const ParentPlace& parent : knot.closing) cut(book, finding, parent);
    book.findings.push_back(std::move(finding));
  }
}

}  // namespace doewright
