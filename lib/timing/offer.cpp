// SPDX-License-Identifier: MIT
#include <doewright/timing/offer.hpp>

#include <algorithm>
#include <cmath>

namespace doewright {

namespace {

/// Days that a kidding window is counted back; a book may have taken the class out.
std::int32_t days_back(const Season& season) {
  const auto unknown = season.gestation.find("unknown");
  const double mean = unknown == season.gestation.end() ? 150.0 : unknown->second.mean;
  return static_cast<std::int32_t>(std::floor(mean));
}

constexpr std::int32_t days_after_the_first = 34;  // 35 days: one cycle and two thirds

/// As written, whether he is still there or not.
Date last_day_on_offer(const Herd& herd, const SireOffer& offer) {
  if (offer.to.known()) return offer.to.latest();
  if (!herd.season.kid_to) return first_day_of_stay(herd, offer) + days_after_the_first;
  return *herd.season.kid_to - days_back(herd.season);
}

}  // namespace

Date first_day_of_stay(const Herd& herd, const SireOffer& offer) {
  if (offer.from.known()) return offer.from.earliest();
  if (!herd.season.kid_from) return herd.as_of;
  return *herd.season.kid_from - days_back(herd.season);
}

std::optional<Date> day_he_left(const Herd& herd, Animal sire) {
  const PartialDate left = herd.animals.left[sire.position];
  if (!herd.animals.gone[sire.position] || !left.known() || left.earliest() > herd.as_of) {
    return std::nullopt;
  }
  return std::min(left.latest(), herd.as_of);
}

Date last_day_of_stay(const Herd& herd, const SireOffer& offer) {
  const Date last = last_day_on_offer(herd, offer);
  const std::optional<Date> left = day_he_left(herd, offer.sire);
  const bool within = left && *left >= first_day_of_stay(herd, offer) && *left < last;
  return within && offer.terms != Terms::semen ? *left : last;
}

std::optional<int> sire_months(const Herd& herd, const SireOffer& offer) {
  const PartialDate born = herd.animals.born[offer.sire.position];
  if (!born.known()) return std::nullopt;
  return std::max(0, months_between(born.latest(), first_day_of_stay(herd, offer)));
}

SireAge sire_age(const Herd& herd, const SireOffer& offer) {
  const std::optional<int> months = sire_months(herd, offer);
  if (!months) return SireAge::yearling;
  if (*months < 12) return SireAge::buck_kid;
  return *months < 24 ? SireAge::yearling : SireAge::grown;
}

std::optional<std::uint32_t> most_does(const Herd& herd, const SireOffer& offer) {
  if (offer.most_does) return offer.most_does;
  if (offer.terms == Terms::semen) return offer.straws;
  switch (sire_age(herd, offer)) {
    case SireAge::buck_kid:
      return 8;
    case SireAge::yearling:
      return 20;
    case SireAge::grown:
      return 30;
  }
  return std::nullopt;
}

bool is_proven(const Herd& herd, const Offspring& offspring, const SireOffer& offer) {
  if (offer.settled.value_or(0) >= 1) return true;
  const bool on_other_terms =
      std::any_of(herd.sires.begin(), herd.sires.end(), [&](const SireOffer& other) {
        return other.sire == offer.sire && other.settled.value_or(0) >= 1;
      });
  if (on_other_terms) return true;
  if (!offspring.of(offer.sire).empty()) return true;
  for (const std::uint32_t s : offspring.stand_ins_of(offer.sire)) {
    if (!offspring.of_stand_in(s).empty()) return true;
  }
  return std::any_of(herd.kiddings.begin(), herd.kiddings.end(),
                     [&](const Kidding& kidding) { return kidding.sire == offer.sire; });
}

}  // namespace doewright
