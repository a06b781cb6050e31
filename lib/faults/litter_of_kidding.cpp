// SPDX-License-Identifier: MIT
#include "litter_of_kidding.hpp"

#include <algorithm>

namespace doewright {

namespace {

constexpr std::int32_t litter_days = 2;    // DEFINITIONS 1: births within 2 days are one litter
constexpr std::int32_t weaning_days = 90;  // a later death is none that kids_raised leaves out

bool may_be_born_at(PartialDate born, PartialDate kidding) {
  if (!born.known() || !kidding.known()) return false;
  return born.earliest() - kidding.latest() <= litter_days &&
         kidding.earliest() - born.latest() <= litter_days;
}

}  // namespace

LittersOfKiddings::LittersOfKiddings(const Herd& herd)
    : herd_(herd), kids_(herd.kiddings.size()), kidding_of_(herd.pedigree.size(), 0) {
  std::vector<std::vector<std::uint32_t>> kiddings_of(herd.kiddings.empty() ? 0
                                                                           : herd.pedigree.size());
  if (herd.kiddings.empty()) return;
  for (std::uint32_t k = 0; k < herd.kiddings.size(); ++k) {
    kiddings_of[herd.kiddings[k].doe.position].push_back(k);
  }
  for (std::uint32_t a = 0; a < herd.pedigree.size(); ++a) {
    const auto dam = herd.pedigree.dam(Animal{a});
    if (!dam) continue;
    std::uint32_t found = 0;
    std::size_t matches = 0;
    for (const std::uint32_t k : kiddings_of[dam->position]) {
      if (!may_be_born_at(herd.animals.born[a], herd.kiddings[k].date)) continue;
      ++matches;
      found = k;
    }
    if (matches != 1) continue;  // none, or more than one that it may have been
    kidding_of_[a] = found + 1;
    kids_[found].push_back(Animal{a});
  }
}

bool LittersOfKiddings::size_known(Animal kid) const {
  const std::uint32_t kidding = kidding_of_[kid.position];
  return kidding != 0 && herd_.kiddings[kidding - 1].kids_born.has_value();
}

std::vector<LitterWithoutRows> LittersOfKiddings::without_rows(const Survival& survival,
                                                               double days) const {
  std::vector<LitterWithoutRows> result;
  for (std::size_t k = 0; k < kids_.size(); ++k) {
    const Kidding& kidding = herd_.kiddings[k];
    if (!kidding.kids_born || (!kidding.kids_alive && !kidding.kids_raised)) continue;
    const auto rows = static_cast<std::int32_t>(kids_[k].size());
    const auto dead_rows = static_cast<std::int32_t>(
        std::count_if(kids_[k].begin(), kids_[k].end(), [&](Animal kid) {
          return survival.known_dead_before(kid, std::max(days, weaning_days + 1.0));
        }));
    const std::int32_t born = *kidding.kids_born;
    const std::int32_t alive = std::min(kidding.kids_alive.value_or(*kidding.kids_born),
                                        kidding.kids_raised.value_or(*kidding.kids_born));
    const std::int32_t without = std::max(0, born - rows);
    const std::int32_t dead = std::clamp(born - alive - dead_rows, 0, without);
    const std::int32_t counted =
        kidding.kids_raised ? *kidding.kids_raised : *kidding.kids_alive;
    const std::int32_t living = std::clamp(counted - (rows - dead_rows), 0, without - dead);
    if (dead == 0 && living == 0) continue;
    LitterWithoutRows litter;
    litter.doe = kidding.doe;
    litter.row = kidding.row;
    litter.dead = static_cast<std::uint32_t>(dead);
    litter.living = static_cast<std::uint32_t>(living);
    if (kidding.sire) {
      litter.sire.animal = kidding.sire;
    } else if (!kids_[k].empty()) {
      const std::uint32_t slot = herd_.pedigree.sire_slots()[kids_[k].front().position];
      if (Pedigree::is_stand_in(slot)) {
        litter.sire.stand_in = Pedigree::stand_in_of(slot);
      } else if (slot != Pedigree::none) {
        litter.sire.animal = Animal{slot};
      }
    }
    result.push_back(litter);
  }
  return result;
}

}  // namespace doewright
