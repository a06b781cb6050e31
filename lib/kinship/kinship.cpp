// SPDX-License-Identifier: MIT
#include <doewright/kinship/kinship.hpp>

#include <algorithm>
#include <array>
#include <utility>

#include <doewright/core/errors.hpp>

#include "state.hpp"
#include "worst.hpp"

namespace doewright {

namespace {

void check_length(std::size_t length, std::size_t animals, const char* what) {
  if (length != 0 && length != animals) {
    throw UsageError(std::string("kinship: the list ") + what + " needs one entry an animal");
  }
}

void check_lengths(const UnknownParents& u, std::size_t n) {
  check_length(u.breed_inbreeding_of.size(), n, "breed_inbreeding_of");
  check_length(u.birth_year.size(), n, "birth_year");
  check_length(u.breed_class.size(), n, "breed_class");
  check_length(u.conceived_first.size(), n, "conceived_first");
  check_length(u.conceived_last.size(), n, "conceived_last");
  check_length(u.parent_from.size(), n, "parent_from");
  check_length(u.parent_to.size(), n, "parent_to");
  check_length(u.may_be.size(), n, "may_be");
  check_length(u.used_as.size(), n, "used_as");
  check_length(u.ids.size(), n, "ids");
}

}  // namespace

KinshipState::KinshipState(Pedigree of, UnknownParents blanks, std::span<const Animal> asked,
                           const Run& run)
    : pedigree(std::move(of)), unknowns(std::move(blanks)), family(pedigree) {
  check_lengths(unknowns, pedigree.size());
  std::vector<std::uint32_t> tops;
  for (const Animal each : asked) {
    tops.push_back(checked_node(each));
  }
  Ancestry near = ancestry(family, tops);
  const NodeInbreeding here = node_inbreeding(near.family, run);
  is_part = true;
  part = std::move(near.original);
  nodes.f.assign(family.size(), 0.0);
  nodes.stand_in_own.assign(family.stand_ins(), 0.0);
  for (std::uint32_t i = 0; i < part.size(); ++i) {
    nodes.f[part[i]] = here.f[i];
    if (!near.family.is_stand_in(i)) continue;
    nodes.stand_in_own[family.list_of(part[i])] = here.stand_in_own[near.family.list_of(i)];
  }
  classed = classed_book(family, unknowns, run);
}

KinshipState::KinshipState(Pedigree of, UnknownParents blanks, const Run& run)
    : pedigree(std::move(of)), unknowns(std::move(blanks)), family(pedigree) {
  check_lengths(unknowns, pedigree.size());
  nodes = node_inbreeding(family, run);
  classed = classed_book(family, unknowns, run);
  if (family.stand_ins() == 0) return;
  f.resize(pedigree.size());
  for (std::uint32_t i = 0; i < f.size(); ++i) f[i] = nodes.f[family.node_of(Animal{i})];
}

std::uint32_t KinshipState::checked_node(Animal animal) const {
  if (animal.position >= pedigree.size()) {
    throw UsageError("kinship: an animal that is not of this pedigree");
  }
  const std::uint32_t node = family.node_of(animal);
  if (is_part && !std::binary_search(part.begin(), part.end(), node)) {
    throw UsageError("kinship: made for some animals, and this one is no ancestor of theirs");
  }
  return node;
}

KinshipState::Local KinshipState::local(std::span<const std::uint32_t> nodes_asked) const {
  Local result{ancestry(family, nodes_asked), {}, {}};
  const auto& original = result.ancestry.original;
  const Family& near = result.ancestry.family;
  result.nodes.f.resize(original.size());
  result.nodes.stand_in_own.resize(near.stand_ins());
  for (std::uint32_t i = 0; i < original.size(); ++i) {
    result.nodes.f[i] = nodes.f[original[i]];
    if (near.is_stand_in(i)) {
      result.nodes.stand_in_own[near.list_of(i)] = nodes.stand_in_own[family.list_of(original[i])];
    }
  }
  result.own = own_parts(near, result.nodes);
  return result;
}

Kinship::Kinship(Pedigree pedigree, UnknownParents unknowns, const Run& run)
    : state_(std::make_shared<const KinshipState>(std::move(pedigree), std::move(unknowns), run)) {}

Kinship Kinship::of_some(Pedigree pedigree, UnknownParents unknowns,
                         std::span<const Animal> animals, const Run& run) {
  return Kinship(
      std::make_shared<const KinshipState>(std::move(pedigree), std::move(unknowns), animals, run));
}

const Pedigree& Kinship::pedigree() const noexcept {
  return state_->pedigree;
}
const UnknownParents& Kinship::unknowns() const noexcept {
  return state_->unknowns;
}
std::span<const double> Kinship::inbreeding() const noexcept {
  return state_->inbreeding();
}

double Kinship::inbreeding_of(Animal animal) const {
  return state_->nodes.f[state_->checked_node(animal)];
}

double Kinship::of(Animal a, Animal b) const {
  if (b < a) std::swap(a, b);  // the same bits whichever is asked for first
  const std::array nodes = {state_->checked_node(a), state_->checked_node(b)};
  const auto local = state_->local(nodes);
  return kinship_column(local.ancestry.family, local.own,
                        local.ancestry.asked[0])[local.ancestry.asked[1]];
}

Grid<double> Kinship::block(std::span<const Animal> rows, std::span<const Animal> columns,
                            const Run& run) const {
  throw_if_too_big(run, rows.size() * columns.size() * sizeof(double), "a block of kinships");
  std::vector<std::uint32_t> nodes;
  for (const Animal each : rows) nodes.push_back(state_->checked_node(each));
  for (const Animal each : columns) nodes.push_back(state_->checked_node(each));
  Grid<double> result(rows.size(), columns.size());
  const auto local = state_->local(nodes);
  const auto& asked = local.ancestry.asked;
  parallel_blocks(rows.size(), 1, run, [&](std::size_t begin, std::size_t end) {
    for (std::size_t r = begin; r < end; ++r) {
      const std::vector<double> column = kinship_column(local.ancestry.family, local.own, asked[r]);
      for (std::size_t c = 0; c < columns.size(); ++c)
        result(r, c) = column[asked[rows.size() + c]];
    }
  });
  return result;
}

std::vector<double> Kinship::row(Animal animal) const {
  const std::uint32_t node = state_->checked_node(animal);
  // Where only some animals' F is worked out: D counts only of the ancestors of `animal`.
  const std::vector<double> own = own_parts(state_->family, state_->nodes);
  std::vector<double> by_node = kinship_column(state_->family, own, node);
  if (state_->family.stand_ins() == 0) return by_node;
  std::vector<double> result(state_->pedigree.size());
  for (std::uint32_t i = 0; i < result.size(); ++i)
    result[i] = by_node[state_->family.node_of(Animal{i})];
  return result;
}

Known Kinship::known(Animal animal) const {
  return doewright::known(state_->pedigree, animal);
}

namespace {

double breed_inbreeding_of_pair(const UnknownParents& u, Animal a, Animal b) {
  if (u.breed_inbreeding_of.empty()) return u.breed_inbreeding;
  return 0.5 * (u.breed_inbreeding_of[a.position] + u.breed_inbreeding_of[b.position]);
}

/// Readings 1, 2 and 4. `share_that_counts` is C of the sire.
KidInbreeding readings(const KinshipState& state, Animal a, Animal b, double kinship,
                       double known_a, double known_b, double share_that_counts) {
  KidInbreeding kid;
  kid.as_recorded = kinship;
  kid.breed_inbreeding = breed_inbreeding_of_pair(state.unknowns, a, b);
  kid.unknowns_as_breed = kinship + (1.0 - known_of_pair(known_a, known_b)) * kid.breed_inbreeding;
  kid.used = kinship + (1.0 - share_that_counts) * state.unknowns.unknown_kinship;
  return kid;
}

/// Reading 2 of large books: the kinship of the pair where missing parents are kin by class.
void read_by_classes(const KinshipState& state, std::span<const Animal> sires,
                     std::span<const Animal> does, const Run& run, Grid<KidInbreeding>& into) {
  if (!state.classed) return;
  const auto nodes_of = [&](std::span<const Animal> animals) {
    std::vector<std::uint32_t> nodes;
    for (const Animal each : animals) nodes.push_back(state.family.node_of(each));
    return nodes;
  };
  const auto rows = nodes_of(sires), columns = nodes_of(does);
  const GroupedBook& book = state.classed->book;
  const auto block = book.block(rows, columns, run);
  const std::vector<double> of_sires = book.unknowns_of(rows), of_does = book.unknowns_of(columns);
  for (std::size_t s = 0; s < sires.size(); ++s) {
    for (std::size_t d = 0; d < does.size(); ++d) {
      KidInbreeding& kid = into(s, d);
      kid.unknowns_by = UnknownsBy::breed_and_years;
      kid.unknowns_as_breed = std::max(block[s][d], kid.as_recorded);
      kid.breed_inbreeding = 0.5 * (of_sires[s] + of_does[d]);
    }
  }
}

}  // namespace

KidInbreeding Kinship::kid(Pairing pairing) const {
  const std::array sires = {pairing.sire}, does = {pairing.doe};
  return kids(sires, does)(0, 0);
}

Grid<KidInbreeding> Kinship::kids(std::span<const Animal> sires, std::span<const Animal> does,
                                  const Run& run) const {
  const Grid<double> kinships = block(sires, does, run);
  std::vector<double> known_sires, known_does;
  for (const Animal sire : sires) known_sires.push_back(known(sire).share);
  for (const Animal doe : does) known_does.push_back(known(doe).share);
  Grid<KidInbreeding> result(sires.size(), does.size());
  std::vector<WorstQuestion> questions;
  questions.reserve(result.cells.size());
  for (std::size_t s = 0; s < sires.size(); ++s) {
    for (std::size_t d = 0; d < does.size(); ++d) {
      result(s, d) = readings(*state_, sires[s], does[d], kinships(s, d), known_sires[s],
                              known_does[d], known_sires[s]);
      questions.push_back({sires[s], does[d], &result(s, d)});
    }
  }
  read_by_classes(*state_, sires, does, run, result);
  read_worst(*state_, questions, run);
  return result;
}

std::optional<Animal> Kinship::sire_of_pair(Animal a, Animal b) const {
  state_->checked_node(a);
  state_->checked_node(b);
  const auto& used = state_->unknowns.used_as;
  if (used.empty()) return std::nullopt;
  const auto is_sire = [&](Animal animal) { return (used[animal.position] & 1u) != 0; };
  if (is_sire(a) != is_sire(b)) return is_sire(a) ? a : b;
  return std::nullopt;
}

KidInbreeding Kinship::kid_of(Animal a, Animal b) const {
  const double known_a = known(a).share, known_b = known(b).share;
  const std::optional<Animal> sire = sire_of_pair(a, b);
  const double counts = !sire ? std::min(known_a, known_b) : *sire == a ? known_a : known_b;
  Grid<KidInbreeding> result(1, 1);
  result(0, 0) = readings(*state_, a, b, of(a, b), known_a, known_b, counts);
  const std::array first = {a}, second = {b};
  read_by_classes(*state_, first, second, {}, result);
  const WorstQuestion question{a, b, &result(0, 0)};
  read_worst(*state_, {&question, 1}, {});
  return result(0, 0);
}

}  // namespace doewright
