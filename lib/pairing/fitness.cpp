// SPDX-License-Identifier: MIT
#include <doewright/pairing/fitness.hpp>

#include <algorithm>
#include <cmath>

#include <doewright/pairing/papers.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/timing/offer.hpp>

namespace doewright {

namespace {

/// Does that have kidded, or are this old, are judged without the rule on young does.
constexpr int grown_months = 24;

struct Judge {
  DoeFitness result = {};

  void say(Fitness answer, std::string_view code, Animal doe, std::vector<double> numbers,
           Row row) {
    Reason reason{.code = code,
                  .effect = static_cast<double>(answer),
                  .animals = {doe},
                  .numbers = std::move(numbers),
                  .records = {}};
    if (row.line != 0) reason.records.push_back(row);
    result.reasons.push_back(std::move(reason));
    result.answer = std::max(result.answer, answer);
  }
};

void judge_age(Judge& judge, const Herd& herd, const DoeForward& doe, Date first_day) {
  const PartialDate born = herd.animals.born[doe.doe.position];
  const auto& limit = herd.season.limits.doe_months;
  const Row row{Table::animals, herd.animals.line[doe.doe.position]};
  if (!born.known()) {
    judge.say(Fitness::caution, reason::doe_age_unknown, doe.doe, {}, row);
    return;
  }
  const int months = months_between(born.latest(), first_day);
  if (months < limit[0]) {
    judge.say(Fitness::wait, reason::doe_young, doe.doe, {double(months), limit[0]}, row);
    judge.result.from_day = add_months(born.latest(), static_cast<int>(std::ceil(limit[0])));
  } else if (months < limit[1]) {
    judge.say(Fitness::caution, reason::doe_young, doe.doe, {double(months), limit[1]}, row);
  }
}

void judge_weight(Judge& judge, const Herd& herd, const DoeForward& doe) {
  const auto& limit = herd.season.limits.doe_weight_share;
  if (!doe.weight_kg) {
    judge.say(Fitness::wait, reason::doe_weigh, doe.doe, {}, doe.row);
    return;
  }
  if (!doe.grown_weight_kg || *doe.grown_weight_kg <= 0.0) {
    judge.say(Fitness::wait, reason::doe_grown_unknown, doe.doe, {}, doe.row);
    return;
  }
  const double share = *doe.weight_kg / *doe.grown_weight_kg;
  if (share < limit[0]) {
    judge.result.needs_kg = limit[0] * *doe.grown_weight_kg;
    judge.say(Fitness::wait, reason::doe_light, doe.doe, {share, limit[0], *judge.result.needs_kg},
              doe.row);
  } else if (share < limit[1]) {
    judge.say(Fitness::caution, reason::doe_light, doe.doe,
              {share, limit[1], limit[1] * *doe.grown_weight_kg}, doe.row);
  }
}

void judge_condition(Judge& judge, const Herd& herd, const DoeForward& doe) {
  if (!doe.condition) return;
  const auto& limit = herd.season.limits.condition;
  if (*doe.condition < limit[0]) {
    judge.say(Fitness::wait, reason::doe_thin, doe.doe, {*doe.condition, limit[0]}, doe.row);
  } else if (*doe.condition > limit[1]) {
    judge.say(Fitness::wait, reason::doe_fat, doe.doe, {*doe.condition, limit[1]}, doe.row);
  }
}

void judge_rest(Judge& judge, const Herd& herd, const Offspring& offspring, const DoeForward& doe,
                Date first_day) {
  const std::optional<Date> kidded = last_kidding(herd, offspring, doe.doe);
  if (!kidded) return;
  const int needed = static_cast<int>(std::ceil(herd.season.limits.rest_days));
  const int rested = first_day - *kidded;
  if (rested >= needed) return;
  const Date ends = *kidded + needed;
  judge.say(Fitness::wait, reason::doe_rest, doe.doe,
            {double(rested), double(needed), double(ends.day)}, {});
  if (!judge.result.from_day || *judge.result.from_day < ends) judge.result.from_day = ends;
}

/// What a positive test means for a season is for a veterinarian: she goes with caution.
void judge_health(Judge& judge, const Herd& herd, const DoeForward& doe) {
  const auto found = positives(herd, doe.doe);
  for (std::size_t k = 0; k < found.size(); ++k) {
    judge.say(found[k].stands() ? Fitness::caution : Fitness::go, reason::health_positive, doe.doe,
              {double(k)}, found[k].row);
  }
}

void judge_kiddings(Judge& judge, const Herd& herd, const DoeForward& doe) {
  int hard = 0, recorded = 0;
  std::vector<Row> rows;
  for (const Kidding& kidding : herd.kiddings) {
    if (kidding.doe != doe.doe || kidding.help == KiddingHelp::unknown) continue;
    ++recorded;
    if (kidding.help != KiddingHelp::hard) continue;
    ++hard;
    if (kidding.row.line != 0) rows.push_back(kidding.row);
  }
  if (hard < hard_kiddings_most) return;
  judge.say(Fitness::caution, reason::doe_hard_help, doe.doe, {double(hard), double(recorded)}, {});
  judge.result.reasons.back().records = std::move(rows);
}

}  // namespace

std::string_view word(Fitness fitness) noexcept {
  switch (fitness) {
    case Fitness::go:
      return "go";
    case Fitness::caution:
      return "caution";
    case Fitness::wait:
      return "wait";
    case Fitness::no:
      return "no";
  }
  return "";
}

std::optional<Date> last_kidding(const Herd& herd, const Offspring& offspring, Animal doe) {
  std::optional<Date> last;
  const auto take = [&](PartialDate date) {
    if (!date.known()) return;
    const Date day = std::min(date.latest(), herd.as_of);
    if (!last || day > *last) last = day;
  };
  for (const Kidding& kidding : herd.kiddings) {
    if (kidding.doe == doe) take(kidding.date);
  }
  for (const Animal kid : offspring.of(doe)) take(herd.animals.born[kid.position]);
  return last;
}

bool has_kidded(const Herd& herd, const Offspring& offspring, Animal doe) {
  if (!offspring.of(doe).empty()) return true;
  return std::any_of(herd.kiddings.begin(), herd.kiddings.end(),
                     [&](const Kidding& kidding) { return kidding.doe == doe; });
}

Date first_day_of_service(const Herd& herd, const DoeForward& doe) {
  std::optional<Date> first;
  for (const SireOffer& offer : herd.sires) {
    if (std::find(doe.not_sires.begin(), doe.not_sires.end(), offer.sire) != doe.not_sires.end()) {
      continue;
    }
    const Date from = first_day_of_stay(herd, offer);
    if (from >= herd.as_of && (!first || from < *first)) first = from;
  }
  return first.value_or(herd.as_of);
}

DoeFitness fitness(const Herd& herd, const Offspring& offspring, const DoeForward& doe,
                   Date first_day) {
  Judge judge;
  const PartialDate born = herd.animals.born[doe.doe.position];
  if (herd.animals.gone[doe.doe.position]) {
    judge.say(Fitness::no, reason::doe_gone, doe.doe, {},
              {Table::animals, herd.animals.line[doe.doe.position]});
  }
  const bool young = !has_kidded(herd, offspring, doe.doe) &&
                     (!born.known() || months_between(born.latest(), first_day) < grown_months);
  judge_health(judge, herd, doe);
  judge_kiddings(judge, herd, doe);
  if (young) {
    judge_age(judge, herd, doe, first_day);
    judge_weight(judge, herd, doe);
  }
  judge_condition(judge, herd, doe);
  judge_rest(judge, herd, offspring, doe, first_day);
  std::stable_sort(judge.result.reasons.begin(), judge.result.reasons.end(),
                   [](const Reason& a, const Reason& b) { return a.effect > b.effect; });

  if (doe.decision !=
      Decision::none) {  // the keeper's word wins; what speaks against it stays said
    static constexpr Fitness answer_of[] = {Fitness::go, Fitness::go, Fitness::wait, Fitness::no};
    judge.result.answer = answer_of[static_cast<std::size_t>(doe.decision)];
    judge.result.reasons.insert(judge.result.reasons.begin(),
                                Reason{.code = reason::doe_decided,
                                       .effect = 9.0,
                                       .animals = {doe.doe},
                                       .numbers = {static_cast<double>(doe.decision) - 1.0},
                                       .records = {doe.row}});
  }
  if (judge.result.reasons.empty()) judge.say(Fitness::go, reason::doe_fit, doe.doe, {}, doe.row);
  return judge.result;
}

}  // namespace doewright
