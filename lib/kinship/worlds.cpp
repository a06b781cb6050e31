// SPDX-License-Identifier: MIT
#include "worlds.hpp"

#include <algorithm>
#include <utility>

namespace doewright {

namespace {

constexpr double same = 1e-12;

}  // namespace

const std::vector<double>& RecordedBook::row(std::uint32_t node) {
  const auto found = rows_.find(node);
  if (found != rows_.end()) return found->second;
  if (own_.empty()) own_ = own_parts(family(), state_.nodes);
  if ((rows_.size() + 1) * family().size() * sizeof(double) > most_kept_bytes_) rows_.clear();
  return rows_.emplace(node, kinship_column(family(), own_, node)).first->second;
}

std::uint32_t Neighbourhood::number(std::uint32_t node) const {
  if (node == Family::none) return node;
  const auto& original = local.ancestry.original;
  return static_cast<std::uint32_t>(std::lower_bound(original.begin(), original.end(), node) -
                                    original.begin());
}

World::World(RecordedBook& book, const Neighbourhood& near, std::vector<StandInChoice> choices)
    : book_(book), near_(near), choices_(std::move(choices)) {
  if (choices_.empty()) {
    own_ = near_.local.own;
    return;
  }
  const Family& family = near_.local.ancestry.family;
  std::vector<StandInChoice> here;
  for (const StandInChoice& each : choices_) {
    const std::uint32_t stand_in = near_.number(book_.family().node_of_stand_in(each.list));
    here.push_back({family.list_of(stand_in), near_.number(each.taken)});
  }
  changed_ = with_choices(family, here);
  own_ = own_parts(*changed_, node_inbreeding(*changed_, {}));
}

bool World::has_unlisted() const {
  return std::any_of(choices_.begin(), choices_.end(),
                     [](const StandInChoice& each) { return each.taken == Family::none; });
}

double World::kinship(std::uint32_t a, std::uint32_t b) {
  const auto [entry, is_new] = near_rows_.try_emplace(a);
  if (is_new) entry->second = kinship_column(near_family(), own_, near_.number(a));
  return entry->second[near_.number(b)];
}

const std::vector<double>& World::row(std::uint32_t node) {
  if (!changed_) return book_.row(node);
  const auto [entry, is_new] = rows_.try_emplace(node);
  if (is_new) {
    // Only D of the node's ancestors counts, and they are all here.
    std::vector<double> own(book_.family().size(), 0.0);
    const auto& original = near_.local.ancestry.original;
    for (std::size_t i = 0; i < original.size(); ++i) own[original[i]] = own_[i];
    entry->second = kinship_column(whole_family(), own, node);
  }
  return entry->second;
}

double World::f_of(std::uint32_t node) {
  if (!changed_) return book_.state().nodes.f[node];
  if (!whole_f_) whole_f_ = node_inbreeding(whole_family(), {});
  return whole_f_->f[node];
}

const Family& World::whole_family() {
  if (!changed_) return book_.family();
  if (!whole_) whole_ = with_choices(book_.family(), choices_);
  return *whole_;
}

const StandInChoice* World::choice_of(std::uint32_t stand_in) const {
  const std::uint32_t list = book_.family().list_of(stand_in);
  for (const StandInChoice& each : choices_) {
    if (each.list == list) return &each;
  }
  return nullptr;
}

std::uint32_t World::sire(std::uint32_t node) const {
  const Family& family = book_.family();
  const std::uint32_t sire = family.sire(node);
  if (sire == Family::none || !family.is_stand_in(sire)) return sire;
  if (const StandInChoice* const choice = choice_of(sire)) return choice->taken;
  const auto bucks = family.candidates(family.list_of(sire));
  return bucks.size() == 1 && bucks.front().part >= 1.0 - same ? bucks.front().node : Family::none;
}

std::uint32_t World::unlisted_sire(std::uint32_t node) const {
  const std::uint32_t sire = book_.family().sire(node);
  if (sire == Family::none || !book_.family().is_stand_in(sire)) return Family::none;
  const StandInChoice* const choice = choice_of(sire);
  return choice != nullptr && choice->taken == Family::none ? sire : Family::none;
}

std::vector<bool> World::descendants(std::uint32_t top) {
  const Family& family = whole_family();
  std::vector<bool> below(family.size(), false);
  below[top] = true;
  for (std::uint32_t node = top + 1; node < family.size(); ++node) {
    family.for_parents(node, [&](std::uint32_t parent, double) {
      if (below[parent]) below[node] = true;
    });
  }
  return below;
}

}  // namespace doewright
