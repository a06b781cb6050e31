// SPDX-License-Identifier: MIT
#include <doewright/pedigree/unknown_parents.hpp>

#include <algorithm>
#include <cstddef>
#include <limits>
#include <span>
#include <string>
#include <utility>

#include <doewright/herd/herd.hpp>

#include "breeds.hpp"
#include "use.hpp"

namespace doewright {

namespace {

constexpr std::int32_t first_day = std::numeric_limits<std::int32_t>::min();  // no bound
constexpr std::int32_t last_day = std::numeric_limits<std::int32_t>::max();   // no bound
constexpr int gestation_days = 150;         // DEFINITIONS 2, reading 3
constexpr int youngest_parent_months = 7;   // calendar months, DEFINITIONS 11
constexpr std::size_t large_book = 10'000;  // animals with birth years, DEFINITIONS 2, reading 2

bool any_known(const std::vector<PartialDate>& dates) {
  return std::any_of(dates.begin(), dates.end(), [](PartialDate date) { return date.known(); });
}

void add_births(const Herd& herd, UnknownParents& result) {
  const std::vector<PartialDate>& born = herd.animals.born;
  if (!any_known(born)) return;
  result.conceived_first.assign(born.size(), first_day);
  result.conceived_last.assign(born.size(), last_day);
  result.parent_from.assign(born.size(), first_day);
  for (std::size_t i = 0; i < born.size(); ++i) {
    if (!born[i].known()) continue;
    result.conceived_first[i] = (born[i].earliest() - gestation_days).day;
    result.conceived_last[i] = (born[i].latest() - gestation_days).day;
    result.parent_from[i] = add_months(born[i].earliest(), youngest_parent_months).day;
  }
}

/// The last day on which an animal can have become a parent: the last on which it can have left.
void add_leavings(const Herd& herd, UnknownParents& result) {
  const std::vector<PartialDate>& left = herd.animals.left;
  if (!any_known(left)) return;
  result.parent_to.assign(left.size(), last_day);
  for (std::size_t i = 0; i < left.size(); ++i) {
    if (left[i].known()) result.parent_to[i] = left[i].latest().day;
  }
  for (const Animal buck : semen_bucks(herd)) result.parent_to[buck.position] = last_day;
}

std::uint8_t may_be(Sex sex, std::uint8_t use) {
  switch (sex) {
    case Sex::buck:
    case Sex::wether:
      return sire_use;  // he may have been cut later
    case Sex::doe:
      return dam_use;
    case Sex::intersex:
      return 0;
    case Sex::unknown:
      break;
  }
  return use == 0 ? std::uint8_t{sire_use | dam_use} : use;
}

void add_sexes(const Herd& herd, UnknownParents& result) {
  const std::vector<Sex>& sexes = herd.animals.sex;
  const bool any_sex =
      std::any_of(sexes.begin(), sexes.end(), [](Sex sex) { return sex != Sex::unknown; });
  const auto any_use = [](const std::vector<std::uint8_t>& list) {
    return std::any_of(list.begin(), list.end(), [](std::uint8_t use) { return use != 0; });
  };

  // used_as: who is of the sex, or has kids. may_be: any use shows what an animal of unknown sex
  // is.
  std::vector<std::uint8_t> use = parenthood(herd);
  std::vector<std::uint8_t> used_as = use;
  for (std::size_t i = 0; i < sexes.size(); ++i) {
    if (sexes[i] == Sex::buck) used_as[i] = static_cast<std::uint8_t>(used_as[i] | sire_use);
    if (sexes[i] == Sex::doe) used_as[i] = static_cast<std::uint8_t>(used_as[i] | dam_use);
  }
  if (any_use(used_as)) result.used_as = std::move(used_as);

  add_table_uses(herd, use);
  if (any_sex || any_use(use)) {
    for (std::size_t i = 0; i < sexes.size(); ++i) use[i] = may_be(sexes[i], use[i]);
    result.may_be = std::move(use);
  }
}

/// By mix, then by animal: a name is looked up once a breed, not once an animal.
void add_breed_inbreeding(const Herd& herd, const BreedMixes& mixes, UnknownParents& result) {
  const ByBreed& values = herd.season.breed_inbreeding;
  std::vector<double> of_breed;
  for (std::uint16_t breed = 0; breed < herd.animals.breed_names.size(); ++breed) {
    of_breed.push_back(by_breed(values, {{breed, 1.0}}, herd.animals.breed_names));
  }
  std::vector<double> of_mix;
  for (std::uint32_t mix = 0; mix < mixes.mixes(); ++mix) {
    const auto shares = mixes.shares(mix);
    double mean = shares.empty() ? values.other : 0.0;
    for (const BreedShare& share : shares) mean += share.share * of_breed.at(share.breed);
    of_mix.push_back(mean);
  }
  result.breed_inbreeding_of.resize(herd.pedigree.size());
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    result.breed_inbreeding_of[i] = of_mix[mixes.mix_of(Animal{i})];
  }
}

/// 1 + the breed with the largest share, ties by name; 0 if nothing is known.
std::uint16_t main_breed_class(std::span<const BreedShare> mix,
                               const std::vector<std::string>& breed_names) {
  const BreedShare* best = nullptr;
  for (const BreedShare& share : mix) {
    const bool larger = best != nullptr && share.share > best->share;
    const bool earlier_name = best != nullptr && share.share == best->share &&
                              breed_names.at(share.breed) < breed_names.at(best->breed);
    if (best == nullptr || larger || earlier_name) best = &share;
  }
  return best == nullptr ? std::uint16_t{0} : static_cast<std::uint16_t>(best->breed + 1);
}

void add_classes(const Herd& herd, const BreedMixes& mixes, UnknownParents& result) {
  result.birth_year.resize(herd.pedigree.size());
  result.breed_class.resize(herd.pedigree.size());
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    result.birth_year[i] = static_cast<std::int16_t>(herd.animals.born[i].year());
    result.breed_class[i] =
        main_breed_class(mixes.shares(mixes.mix_of(Animal{i})), herd.animals.breed_names);
  }
}

void add_breeds(const Herd& herd, UnknownParents& result) {
  const ByBreed& values = herd.season.breed_inbreeding;
  result.breed_inbreeding = values.other;
  const auto dated =
      static_cast<std::size_t>(std::count_if(herd.animals.born.begin(), herd.animals.born.end(),
                                             [](PartialDate date) { return date.known(); }));
  const bool by_year = dated >= large_book;
  if (values.named.empty() && !by_year) return;

  const BreedMixes mixes(herd);
  if (!values.named.empty()) add_breed_inbreeding(herd, mixes, result);
  if (by_year) add_classes(herd, mixes, result);
}

}  // namespace

UnknownParents unknown_parents(const Herd& herd) {
  UnknownParents result;
  result.unknown_kinship = herd.season.unknown_kinship;
  add_breeds(herd, result);
  add_births(herd, result);
  add_leavings(herd, result);
  add_sexes(herd, result);
  result.ids = herd.ids;
  return result;
}

}  // namespace doewright
