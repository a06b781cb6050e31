// SPDX-License-Identifier: MIT
// From the book to the exposures of one litter, and back to names.
#include <algorithm>
#include <cmath>

#include <doewright/core/errors.hpp>
#include <doewright/timing/gestation.hpp>
#include <doewright/timing/offer.hpp>
#include <doewright/timing/stay_terms.hpp>
#include <doewright/timing/whose.hpp>

#include "met_bucks.hpp"

namespace doewright {

namespace {

constexpr int at_most_days = 365;
constexpr int same_litter_days = 30;  // a kidding nearer than this is the same one

std::optional<Date> kidding_day_of(const Herd& herd, Animal kid, std::optional<Animal> dam) {
  const PartialDate born = herd.animals.born[kid.position];
  if (born.to_the_day()) return born.earliest();
  if (!born.known() || !dam) return std::nullopt;
  std::optional<Date> day;
  for (const Kidding& kidding : herd.kiddings) {
    if (kidding.doe != *dam || !kidding.date.to_the_day()) continue;
    const Date on = kidding.date.earliest();
    if (on < born.earliest() || on > born.latest()) continue;
    if (day && *day != on) return std::nullopt;  // two that fit: not known which
    day = on;
  }
  return day;
}

/// First day on which a service can have led to this kidding.
Date window_begin(const Herd& herd, const Offspring& offspring, Animal dam, Date kidded) {
  Date begin = kidded - at_most_days;
  const auto take = [&](PartialDate date) {
    if (!date.known() || date.latest() >= kidded - same_litter_days) return;
    begin = std::max(begin, date.latest() + 1);
  };
  for (const Kidding& kidding : herd.kiddings) {
    if (kidding.doe == dam) take(kidding.date);
  }
  for (const Animal kid : offspring.of(dam)) take(herd.animals.born[kid.position]);
  return begin;
}

/// The days of a service as the definition reads it; empty if it does not fall into the window.
std::optional<ExposureUsed> exposure_of(const Herd& herd, const Service& service, Date begin, Date kidded) {
  if (!service.from.known()) return std::nullopt;
  const bool pen = service.how == ServiceHow::pen;
  ExposureUsed used{.sire = service.sire,
                    .from = service.from.earliest(),
                    .to = service.from.latest(),
                    .how = service.how,
                    .row = service.row};
  if (service.to.known()) {
    used.to = service.to.latest();
  } else if (pen) {
    used.to = std::min(kidded, std::max(used.from, day_he_left(herd, used.sire).value_or(kidded)));
  }
  used.seen = service.how == ServiceHow::semen || (!pen && used.to <= used.from);
  if (used.how == ServiceHow::semen) used.to = used.from;
  if (used.to < used.from || used.to < begin || used.from >= kidded) return std::nullopt;
  used.from = std::max(used.from, begin);
  used.to = std::min(used.to, kidded);
  return used;
}

struct LitterCase {
  MetBucks bucks;
  std::vector<SireExposure> exposures;
};

LitterCase case_of(const Herd& herd, const Offspring& offspring,
                   std::vector<ExposureUsed>& exposures) {
  LitterCase litter;
  for (ExposureUsed& used : exposures) {
    const bool semen = used.how == ServiceHow::semen;
    const auto [buck, c] = litter.bucks.meet(herd, offspring, used.sire, used.from, semen);
    used.conception = c;
    used.infertile = litter.bucks.odds[buck].infertile;
    litter.exposures.push_back({buck, used.from, used.to, used.seen, used.conception});
  }
  return litter;
}

void name_sires(const Herd& herd, const LitterCase& litter, const SireChances& chances,
                WhoseKid& answer) {
  for (std::size_t s = 0; s < litter.bucks.sires.size(); ++s) {
    answer.sires.push_back({litter.bucks.sires[s], chances.by_buck[s]});
  }
  std::sort(answer.sires.begin(), answer.sires.end(), [&](const KidSire& a, const KidSire& b) {
    const long left = std::lround(a.probability * 1e6), right = std::lround(b.probability * 1e6);
    return left != right ? left > right : herd.ids[a.sire] < herd.ids[b.sire];
  });
  answer.unrecorded = chances.unrecorded;
}

}  // namespace

BuckOdds buck_odds_on(const Herd& herd, const Offspring& offspring, Animal sire, Date day,
                      bool by_semen) {
  SireOffer offer;
  for (const SireOffer& listed : herd.sires) {
    if (listed.sire != sire || (listed.terms == Terms::semen) != by_semen) continue;
    offer = listed;
    break;
  }
  offer.sire = sire;
  offer.from = PartialDate::of(day);
  if (by_semen) offer.terms = Terms::semen;
  const StayTerms terms = stay_terms(herd, offer, is_proven(herd, offspring, offer));
  return {.conception = terms.conception, .infertile = terms.infertile};
}

std::vector<WhoseKid> whose_kids(const Herd& herd, const Offspring& offspring,
                                 std::span<const Animal> kids) {
  const std::vector<std::vector<BreedShare>> shares = breed_shares(herd);
  std::vector<WhoseKid> answers;
  for (const Animal kid : kids) {
    if (kid.position >= herd.pedigree.size()) throw UsageError("whose_kids: no such animal");
    WhoseKid answer;
    answer.kid = kid;
    answer.dam = herd.pedigree.dam(kid);
    answer.kidding_day = kidding_day_of(herd, kid, answer.dam);
    if (answer.dam) {
      answer.gestation =
          gestation_of(herd.season, shares[answer.dam->position], herd.animals.breed_names);
    }
    if (answer.dam && answer.kidding_day) {
      const Date begin = window_begin(herd, offspring, *answer.dam, *answer.kidding_day);
      for (const Service& service : herd.services) {
        if (service.doe != *answer.dam) continue;
        if (auto used = exposure_of(herd, service, begin, *answer.kidding_day)) {
          answer.exposures.push_back(*used);
        }
      }
      std::stable_sort(
          answer.exposures.begin(), answer.exposures.end(),
          [](const ExposureUsed& a, const ExposureUsed& b) { return a.from < b.from; });
      const LitterCase litter = case_of(herd, offspring, answer.exposures);
      name_sires(herd, litter,
                 whose_kid(litter.bucks.odds, herd.season.settle.never, litter.exposures,
                           *answer.kidding_day, answer.gestation),
                 answer);
    }
    answers.push_back(std::move(answer));
  }
  return answers;
}

std::vector<Animal> kids_of_uncertain_sire(const Herd& herd) {
  std::vector<Animal> kids;
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    const Animal kid{i};
    const std::optional<Animal> dam = herd.pedigree.dam(kid);
    const PartialDate born = herd.animals.born[i];
    if (herd.pedigree.sire(kid) || !dam || !born.known()) continue;
    const bool served =
        std::any_of(herd.services.begin(), herd.services.end(), [&](const Service& s) {
          return s.doe == *dam && s.from.known() && s.from.earliest() < born.latest() &&
                 s.from.latest() >= born.earliest() - at_most_days;
        });
    if (served) kids.push_back(kid);
  }
  std::sort(kids.begin(), kids.end(),
            [&](Animal a, Animal b) { return herd.ids[a] < herd.ids[b]; });
  return kids;
}

}  // namespace doewright
