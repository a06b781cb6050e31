// SPDX-License-Identifier: MIT
// The promise on blanks (DEFINITIONS 2): adding a parent in a blank place of a sire's pedigree
// never worsens him when neither that parent nor any ancestor of it is the doe or an ancestor of
// the doe; taking such a parent out never improves him (with uncertain sires: when the other
// candidates keep their probabilities and the new one takes his from the unlisted rest).
#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <vector>

#include <doewright/kinship/kinship.hpp>

#include "kinship/twins.hpp"

using namespace doewright;
using namespace doewright::testing;

namespace {

constexpr std::uint32_t none = Pedigree::none;

/// A pedigree that may be changed; parents need not stand first.
struct Draft {
  std::vector<std::uint32_t> sires, dams;
  std::vector<std::vector<SireChance>> lists;

  explicit Draft(const Pedigree& pedigree)
      : sires(pedigree.sire_slots().begin(), pedigree.sire_slots().end()),
        dams(pedigree.dam_slots().begin(), pedigree.dam_slots().end()) {
    for (std::uint32_t s = 0; s < pedigree.stand_ins(); ++s) {
      lists.emplace_back(pedigree.stand_in(s).begin(), pedigree.stand_in(s).end());
    }
  }

  std::vector<std::uint32_t> parents(std::uint32_t i) const {
    std::vector<std::uint32_t> result;
    if (dams[i] != none) result.push_back(dams[i]);
    if (!Pedigree::is_stand_in(sires[i])) {
      if (sires[i] != none) result.push_back(sires[i]);
      return result;
    }
    for (const SireChance& chance : lists[Pedigree::stand_in_of(sires[i])]) {
      result.push_back(chance.sire.position);
    }
    return result;
  }

  /// An animal and all its ancestors.
  std::vector<bool> line(std::uint32_t of) const {
    std::vector<bool> in(sires.size(), false);
    std::vector<std::uint32_t> open = {of};
    while (!open.empty()) {
      const std::uint32_t i = open.back();
      open.pop_back();
      if (in[i]) continue;
      in[i] = true;
      for (const std::uint32_t parent : parents(i)) open.push_back(parent);
    }
    return in;
  }

  std::uint32_t new_founder() {
    sires.push_back(none);
    dams.push_back(none);
    return static_cast<std::uint32_t>(sires.size() - 1);
  }

  double used(std::uint32_t sire, std::uint32_t doe) const {
    const auto n = static_cast<std::uint32_t>(sires.size());
    std::vector<std::uint32_t> where(n, none), order;
    const std::function<void(std::uint32_t)> place = [&](std::uint32_t i) {
      if (where[i] != none) return;
      for (const std::uint32_t parent : parents(i)) place(parent);
      where[i] = static_cast<std::uint32_t>(order.size());
      order.push_back(i);
    };
    for (std::uint32_t i = 0; i < n; ++i) place(i);
    const auto moved = [&](std::uint32_t slot) {
      return slot == none || Pedigree::is_stand_in(slot) ? slot : where[slot];
    };
    std::vector<std::uint32_t> s, d;
    for (const std::uint32_t i : order) {
      s.push_back(moved(sires[i]));
      d.push_back(moved(dams[i]));
    }
    auto chances = lists;
    for (auto& list : chances) {
      for (SireChance& chance : list) chance.sire = Animal{where[chance.sire.position]};
      std::sort(list.begin(), list.end(),
                [](const SireChance& x, const SireChance& y) { return x.sire < y.sire; });
    }
    const Kinship kinship(Pedigree(std::move(s), std::move(d), std::move(chances)));
    return kinship.kid({Animal{where[sire]}, Animal{where[doe]}}).used;
  }
};

double rest_of(const std::vector<SireChance>& list) {
  double rest = 1.0;
  for (const SireChance& chance : list) rest -= chance.probability;
  return rest;
}

}  // namespace

TEST_CASE("the promise: a parent added in a blank place of the sire's pedigree never worsens him") {
  std::size_t added = 0, lowered = 0, to_lists = 0, from_the_book = 0, taken_out = 0, raised = 0;
  for (std::uint64_t seed = 1; seed <= 1500; ++seed) {
    CAPTURE(seed);
    Dice dice(seed * 613);
    const Pedigree pedigree =
        random_pedigree(dice, {.animals = 14 + static_cast<std::uint32_t>(seed % 14),
                               .founders = 6,
                               .blank = 30,
                               .unsure = seed % 2 == 0 ? 0u : 60u,
                               .most_unsure = 4,
                               .reach = 3 + static_cast<std::uint32_t>(seed % 6)});
    const auto n = static_cast<std::uint32_t>(pedigree.size());
    Draft before(pedigree);
    // Any two may be asked for: does far from him as well as his own kin.
    const std::uint32_t sire = 2 * dice.below(n / 2), doe = 2 * dice.below(n / 2) + 1;
    const std::vector<bool> his = before.line(sire), hers = before.line(doe);
    const double used_before = before.used(sire, doe);
    /// Neither the parent nor any ancestor of it is the doe or an ancestor of hers.
    const auto apart = [&](const Draft& draft, std::uint32_t parent) {
      const std::vector<bool> line = draft.line(parent), of_doe = draft.line(doe);
      for (std::uint32_t i = 0; i < line.size(); ++i) {
        if (line[i] && of_doe[i]) return false;
      }
      return true;
    };
    for (std::uint32_t x = 0; x < n; ++x) {
      if (!his[x]) continue;
      for (const bool as_sire : {true, false}) {
        CAPTURE(x);
        CAPTURE(as_sire);
        const std::uint32_t slot = as_sire ? before.sires[x] : before.dams[x];
        const bool of_list = Pedigree::is_stand_in(slot);
        const bool has_rest = of_list && rest_of(before.lists[Pedigree::stand_in_of(slot)]) > 0.01;
        if (slot == none || has_rest) {  // a blank place, or a part of one
          Draft after = before;
          std::uint32_t parent = none;
          if (dice.in_hundred(60)) {
            const std::uint32_t y = 2 * dice.below(n / 2) + (as_sire ? 0 : 1);
            if (y < n && !before.line(y)[x]) parent = y;
          }
          const bool is_new = parent == none;
          if (is_new) parent = after.new_founder();
          if (of_list) {
            auto& list = after.lists[Pedigree::stand_in_of(slot)];
            if (std::any_of(list.begin(), list.end(), [&](const SireChance& chance) {
                  return chance.sire.position == parent;
                })) {
              continue;
            }
            // Kids that share the list get him too: he may not be below any of them.
            bool loop = false;
            for (std::uint32_t kid = 0; kid < n; ++kid) {
              loop = loop || (before.sires[kid] == slot && !is_new && before.line(parent)[kid]);
            }
            if (loop) continue;
            const double part = rest_of(list) * (dice.in_hundred(50) ? 1.0 : 0.5);
            list.push_back({Animal{parent}, part});
          } else {
            (as_sire ? after.sires : after.dams)[x] = parent;
          }
          if (!apart(after, parent)) continue;
          const double used_after = after.used(sire, doe);
          CHECK(used_after <= used_before + 1e-14);
          ++added;
          lowered += used_after < used_before - 1e-9 ? 1u : 0u;
          to_lists += of_list ? 1u : 0u;
          from_the_book += is_new ? 0u : 1u;
        } else if (!of_list && apart(before, slot)) {  // a parent that may be taken out
          Draft after = before;
          (as_sire ? after.sires : after.dams)[x] = none;
          const double used_after = after.used(sire, doe);
          CHECK(used_after >= used_before - 1e-14);
          ++taken_out;
          raised += used_after > used_before + 1e-9 ? 1u : 0u;
        } else if (of_list) {  // a candidate taken out; the others keep their probabilities
          auto& list = before.lists[Pedigree::stand_in_of(slot)];
          if (list.size() < 2) continue;
          const std::size_t k = dice.below(static_cast<std::uint32_t>(list.size()));
          if (!apart(before, list[k].sire.position)) continue;
          Draft after = before;
          auto& shorter = after.lists[Pedigree::stand_in_of(slot)];
          shorter.erase(shorter.begin() + static_cast<std::ptrdiff_t>(k));
          CHECK(after.used(sire, doe) >= used_before - 1e-14);
          ++taken_out;
        }
      }
    }
  }
  // What the promise is about has really come up.
  CHECK(added > 1000);
  CHECK(lowered > 800);
  CHECK(to_lists > 50);
  CHECK(from_the_book > 100);
  CHECK(taken_out > 300);
  CHECK(raised > 200);
}

TEST_CASE("beyond the promise: an ancestor shared with the doe that is left out does improve him") {
  // 0 sire of 2 and of 3; without him on 2's side nothing is known of their kinship (1/8 + 0).
  const Kinship known(Pedigree({none, none, 0, 0}, {none, none, none, 1}));
  const Kinship blank(Pedigree({none, none, none, 0}, {none, none, none, 1}));
  const double shared = known.kid({Animal{2}, Animal{3}}).used;
  const double left_out = blank.kid({Animal{2}, Animal{3}}).used;
  CHECK(left_out < shared);
  CHECK(left_out == 0.0625);  // DEFINITIONS 2: a blank buck reads 6.25 %
}
