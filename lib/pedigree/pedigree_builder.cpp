// SPDX-License-Identifier: MIT
#include <doewright/pedigree/pedigree_builder.hpp>

#include <cmath>
#include <utility>

#include <doewright/core/errors.hpp>

#include "collected.hpp"

namespace doewright {

struct PedigreeBuilder::State : Collected {};

PedigreeBuilder::PedigreeBuilder() : state_(std::make_unique<State>()) {}
PedigreeBuilder::PedigreeBuilder(PedigreeBuilder&& other) noexcept = default;
PedigreeBuilder& PedigreeBuilder::operator=(PedigreeBuilder&& other) noexcept = default;
PedigreeBuilder::~PedigreeBuilder() = default;

PedigreeBuilder::State& PedigreeBuilder::state() {
  if (!state_) state_ = std::make_unique<State>();  // it was moved from, or built
  return *state_;
}

void PedigreeBuilder::reserve(std::size_t animals, std::size_t id_bytes) {
  State& book = state();
  book.ids.reserve(animals, id_bytes);
  book.graph.sire.reserve(animals);
  book.graph.dam.reserve(animals);
  book.first_row.reserve(animals);
  book.number_of_row.reserve(animals);
  book.line_of_row.reserve(animals);
  book.table_of_row.reserve(animals);
}

void PedigreeBuilder::add(std::string_view id, std::string_view sire, std::string_view dam,
                          Row from) {
  if (id.empty()) throw UsageError("pedigree: an animal needs an id");
  State& book = state();
  const std::uint32_t animal = book.number_of(id);
  const auto row = static_cast<std::uint32_t>(book.number_of_row.size());
  book.number_of_row.push_back(animal);
  book.line_of_row.push_back(from.line);
  book.table_of_row.push_back(from.table);
  if (book.first_row[animal] != Collected::none) {
    // The parents of a later row are not even added: they would stand in the book as nobody's.
    book.findings.push_back({.code = "id-twice",
                             .animals = {Animal{animal}},
                             .rows = {book.place_of_row(book.first_row[animal]), from}});
    return;
  }
  book.first_row[animal] = row;
  const std::uint32_t sire_number = sire.empty() ? Collected::none : book.number_of(sire);
  const std::uint32_t dam_number = dam.empty() ? Collected::none : book.number_of(dam);
  book.graph.sire[animal] = sire_number;
  book.graph.dam[animal] = dam_number;
}

bool PedigreeBuilder::mention(std::string_view id) {
  if (id.empty()) throw UsageError("pedigree: an animal needs an id");
  State& book = state();
  if (book.ids.find(id) != IdTable::none) return false;
  book.mentioned.push_back(book.number_of(id));
  return true;
}

void PedigreeBuilder::add_possible_sires(std::string_view kid, std::string_view litter,
                                         std::span<const NamedChance> sires, Row from) {
  if (kid.empty()) throw UsageError("pedigree: a list of possible sires needs a kid");
  for (const NamedChance& chance : sires) {
    if (!chance.probability) continue;
    if (!std::isfinite(*chance.probability) || *chance.probability < 0.0) {
      throw UsageError("pedigree: a chance must be a number that is not negative");
    }
  }
  State& book = state();
  ListEntry entry;
  entry.kid = book.number_of(kid);
  if (!litter.empty()) entry.litter = book.litters.number_of(litter);
  for (const NamedChance& chance : sires) {
    entry.sire = chance.sire.empty() ? Collected::none : book.number_of(chance.sire);
    entry.from = chance.from == Row{} ? from : chance.from;
    entry.probability = chance.probability.value_or(ListEntry::blank);
    book.entries.push_back(entry);
  }
}

std::uint32_t Collected::number_of(std::string_view id) {
  const std::uint32_t number = ids.number_of(id);
  if (number < graph.size()) return number;
  if (number >= Pedigree::most_animals) throw UsageError("pedigree: too many animals");
  graph.sire.push_back(none);
  graph.dam.push_back(none);
  first_row.push_back(none);
  return number;
}

Row Collected::row_of(std::uint32_t number) const {
  return first_row[number] == none ? Row{} : place_of_row(first_row[number]);
}

Row Collected::row_of(ParentPlace parent) const {
  if (parent.place < 2) return row_of(parent.kid);
  return entries[graph.choices_of(parent.kid)[parent.place - 2].entry].from;
}

CutParent Collected::as_cut(ParentPlace parent) const {
  constexpr ParentColumn roles[] = {ParentColumn::sire, ParentColumn::dam, ParentColumn::possible_sire};
  return {.kid = Animal{parent.kid},
          .parent = Animal{graph.parent(parent.kid, parent.place)},
          .role = roles[parent.place < 2 ? parent.place : 2],
          .from = row_of(parent)};
}

namespace {

/// What building needs beside the rows, at its highest: roles, order, search stack, new arrays.
constexpr std::size_t bytes_an_animal = 50;

Pedigree packed(const Collected& book, std::span<const std::uint32_t> order,
                std::span<const std::uint32_t> position_of, StandIns&& stand_ins) {
  const auto slot_of = [&](std::uint32_t number) {
    return number == Collected::none ? Pedigree::none : position_of[number];
  };
  std::vector<std::uint32_t> sires(order.size()), dams(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    sires[i] = slot_of(book.graph.sire[order[i]]);
    dams[i] = slot_of(book.graph.dam[order[i]]);
    if (stand_ins.of.empty()) continue;
    if (stand_ins.certain_sire[i] != Pedigree::none) sires[i] = stand_ins.certain_sire[i];
    if (stand_ins.of[i] != Pedigree::none) sires[i] = Pedigree::stand_in_bit | stand_ins.of[i];
  }
  return Pedigree(std::move(sires), std::move(dams), std::move(stand_ins.lists));
}

/// From numbers to positions.
void give_positions(std::vector<Finding>& findings, std::span<const std::uint32_t> position_of) {
  for (Finding& finding : findings) {
    for (Animal& animal : finding.animals) animal.position = position_of[animal.position];
    for (CutParent& cut : finding.cuts) {
      cut.kid.position = position_of[cut.kid.position];
      cut.parent.position = position_of[cut.parent.position];
    }
  }
}

}  // namespace

BuiltPedigree PedigreeBuilder::build(const Run& run) && {
  const std::unique_ptr<State> own = std::move(state_);
  if (!own) return {};
  Collected& book = *own;
  const std::size_t animals = book.ids.size();
  throw_if_too_big(run, animals * bytes_an_animal + book.entries.size() * sizeof(ListEntry),
                   "putting the pedigree in order");
  make_choices(book);
  take_out_impossible_parents(book);
  throw_if_stopped(run);
  note_roles(book);

  OrderOfBirth birth = parents_first(book.graph, book.number_of_row, run);
  take_out_loops(book, birth.closing, run);
  const std::vector<std::uint32_t> order = std::move(birth.numbers);
  std::vector<std::uint32_t> position_of(animals);
  for (std::uint32_t i = 0; i < animals; ++i) position_of[order[i]] = i;

  BuiltPedigree built;
  built.pedigree = packed(book, order, position_of, make_stand_ins(book, order, position_of));
  book.graph = {};
  built.line_of.resize(animals);
  for (std::size_t i = 0; i < animals; ++i) built.line_of[i] = book.row_of(order[i]).line;
  built.animal_of_row.reserve(book.number_of_row.size());
  for (const std::uint32_t number : book.number_of_row) {
    built.animal_of_row.push_back(Animal{position_of[number]});
  }
  book.number_of_row = {};
  book.line_of_row = {};
  book.table_of_row = {};
  give_positions(book.findings, position_of);
  built.findings = std::move(book.findings);
  book.ids.renumber(position_of);
  built.ids.store_ = std::make_shared<const Ids::Store>(Ids::Store{std::move(book.ids)});
  return built;
}

}  // namespace doewright
