// SPDX-License-Identifier: MIT
#include "worlds.hpp"

#include <algorithm>
#include <utility>

namespace doewright {

namespace {

constexpr double same = 1e-12;
constexpr std::size_t most_single = 40;  // beyond, F of all at once is cheaper

}  // namespace

double RecordedBook::f_of(std::uint32_t node) {
  if (!state_.is_part) return state_.nodes.f[node];
  if (!whole_f_.empty()) return whole_f_[node];
  const auto [entry, is_new] = single_f_.try_emplace(node, 0.0);
  if (!is_new) return entry->second;
  if (single_f_.size() > most_single) {
    whole_f_ = node_inbreeding(family(), {}).f;
    return whole_f_[node];
  }
  const std::uint32_t alone[] = {node};
  const Ancestry near = ancestry(family(), alone);
  return entry->second = node_inbreeding(near.family, {}).f[near.asked[0]];
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

// One sweep up the ancestors and one down the book for all of them: kinship is linear.
void World::kinship_with(std::span<const std::pair<std::uint32_t, double>> weights,
                         std::vector<double>& into) {
  const Family& near = near_family();
  std::vector<double> share(near.size(), 0.0);
  for (const auto& [node, weight] : weights) share[node] += weight;
  for (std::uint32_t i = near.size(); i-- > 0;) {
    if (share[i] == 0.0) continue;
    near.for_parents(i,
                     [&](std::uint32_t parent, double part) { share[parent] += part * share[i]; });
  }
  const Family& whole = whole_family();
  into.assign(whole.size(), 0.0);
  const auto& original = near_.local.ancestry.original;
  for (std::uint32_t i = 0; i < near.size(); ++i) into[original[i]] = 0.5 * share[i] * own_[i];
  for (std::uint32_t node = 0; node < whole.size(); ++node) {
    double sum = into[node];
    whole.for_parents(node, [&](std::uint32_t parent, double part) { sum += part * into[parent]; });
    into[node] = sum;
  }
}

double World::f_of(std::uint32_t node) {
  if (!changed_) return book_.f_of(node);
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
