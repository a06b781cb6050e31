// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <cstddef>

#include <doewright/herd/herd.hpp>

namespace doewright {

namespace {

/// Positions of the animals for which `wanted(position)` holds, by id in byte order.
template <class Wanted>
std::vector<Animal> chosen_by_id(const Herd& herd, Wanted wanted) {
  std::vector<Animal> chosen;
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    if (wanted(i)) chosen.push_back(Animal{i});
  }
  std::sort(chosen.begin(), chosen.end(),
            [&](Animal a, Animal b) { return herd.ids[a] < herd.ids[b]; });
  return chosen;
}

/// Alive as far as the book says, and with a row or a recorded sex: of a mere name in somebody's
/// pedigree nobody says that it is still there.
bool at_hand(const Herd& herd, std::uint32_t i) {
  const bool written_down = herd.animals.line[i] != 0 || herd.animals.sex[i] != Sex::unknown;
  return written_down && !herd.animals.gone[i];
}

/// Months may have a fraction: whole calendar months, then days of a mean month.
Date of_age_on(Date born, double months) {
  const double whole = std::floor(months);
  return add_months(born, static_cast<int>(whole)) +
         static_cast<std::int32_t>(std::ceil((months - whole) * 30.4375));
}

bool may_be_of_age(const Herd& herd, std::uint32_t i) {
  const PartialDate born = herd.animals.born[i];
  if (!born.known()) return true;
  return of_age_on(born.latest(), herd.season.limits.doe_months[0]) <= herd.as_of;
}

}  // namespace

bool in_own_herd(const Herd& herd, Animal animal) {
  if (herd.animals.gone.at(animal.position)) return false;
  const std::string& owner = herd.animals.owners.at(herd.animals.owner.at(animal.position));
  return owner.empty() || owner == herd.season.own_herd;
}

std::vector<DoeForward> does_by_default(const Herd& herd) {
  const std::vector<Sex> sexes = sexes_or_uses(herd);
  std::vector<DoeForward> does;
  for (const Animal doe : chosen_by_id(herd, [&](std::uint32_t i) {
         return sexes[i] == Sex::doe && at_hand(herd, i) && in_own_herd(herd, Animal{i}) &&
                may_be_of_age(herd, i);
       })) {
    DoeForward forward;
    forward.doe = doe;
    does.push_back(std::move(forward));
  }
  return does;
}

std::vector<SireOffer> sires_by_default(const Herd& herd) {
  const std::vector<Sex> sexes = sexes_or_uses(herd);
  std::vector<SireOffer> sires;
  for (const Animal sire : chosen_by_id(
           herd, [&](std::uint32_t i) { return sexes[i] == Sex::buck && at_hand(herd, i); })) {
    SireOffer offer;
    offer.sire = sire;
    if (in_own_herd(herd, sire)) offer.terms = Terms::own;
    sires.push_back(std::move(offer));
  }
  return sires;
}

std::string display_name(const Herd& herd, Animal animal) {
  const std::string id(herd.ids[animal]);
  const std::string_view name = herd.animals.name[animal];
  if (name.empty() || name == id) return id;
  return std::string(name) + " (" + id + ")";
}

}  // namespace doewright
