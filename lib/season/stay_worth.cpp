// SPDX-License-Identifier: MIT
#include <doewright/season/stay_worth.hpp>

#include <algorithm>
#include <cmath>
#include <functional>

#include <doewright/season/plan.hpp>
#include <doewright/timing/offer.hpp>

namespace doewright {

namespace {

/// What each doe that may go to him gains by settling, the largest first, at most most_does.
std::vector<double> gains_of(const Herd& herd, const PairingTable& table, std::size_t sire) {
  const SeasonProblem question = plan_problem(herd, table);
  std::vector<double> gains;
  for (std::size_t d = 0; d < table.does.size(); ++d) {
    const auto& locked = question.problem.does[d].locked;
    const DoeStanding standing = question.standing[d];
    if (!question.problem.values(d, sire) || (locked && *locked != sire)) continue;
    if (standing == DoeStanding::not_there) continue;
    for (const PairingAccount& pair : table.does[d].sires) {
      if (pair.offer != sire || !pair.money) continue;
      const double gain =
          pair.kids_per_kidding * pair.money->value_per_kid - herd.season.open_value;
      if (gain > 0.0) gains.push_back(gain);
    }
  }
  std::sort(gains.begin(), gains.end(), std::greater<>());
  if (table.sires[sire].most_does && gains.size() > *table.sires[sire].most_does) {
    gains.resize(*table.sires[sire].most_does);
  }
  return gains;
}

double worth_of(const StayAdvice& advice, double settled, double cost) {
  return settled * advice.gain - cost - advice.doe_costs;
}

/// Days that the kidding window leaves, if one is set and leaves any.
std::optional<int> days_in_window(const Herd& herd, const SireAccount& sire) {
  if (!herd.season.kid_to) return std::nullopt;
  SireOffer blank = sire.offer;
  blank.to = {};
  const int days = last_day_of_stay(herd, blank) - sire.from + 1;
  return days >= 1 ? std::optional(days) : std::nullopt;
}

/// The best length of 1..most days.
int best_length(const Herd& herd, const Offspring& offspring, const SireOffer& offer,
                const StayAdvice& advice, int most) {
  const std::vector<double> settled = settled_by_day(herd, offspring, offer, most);
  int best = 1;
  std::int64_t best_worth = 0;
  for (int days = 1; days <= most; ++days) {
    const double worth =
        worth_of(advice, settled[static_cast<std::size_t>(days) - 1], stay_cost(herd, offer, days));
    const std::int64_t whole = std::llround(worth * 1e6);
    if (days > 1 && whole <= best_worth) continue;
    best = days;
    best_worth = whole;
  }
  return best;
}

}  // namespace

std::string_view word(NoStayWhy why) noexcept {
  switch (why) {
    case NoStayWhy::none:
      return "";
    case NoStayWhy::no_stay:
      return "no-stay";
    case NoStayWhy::no_day:
      return "no-day";
    case NoStayWhy::no_doe:
      return "no-doe";
    case NoStayWhy::gone:
      return "gone";
    case NoStayWhy::no_gain:
      return "no-gain";
  }
  return "";
}

StayAdvice stay_advice(const Herd& herd, const Offspring& offspring, const PairingTable& table,
                       std::size_t sire) {
  const SireAccount& account = table.sires[sire];
  const SireOffer& offer = account.offer;
  StayAdvice advice;
  if (offer.terms == Terms::visit || offer.terms == Terms::semen) {
    advice.why = NoStayWhy::no_stay;
    return advice;
  }
  const std::optional<Date> left = day_he_left(herd, offer.sire);
  if (account.gone || (left && *left >= account.from)) {
    advice.why = NoStayWhy::gone;
    return advice;
  }
  const std::vector<double> gains = gains_of(herd, table, sire);
  advice.does = gains.size();
  for (const double gain : gains) advice.gain += gain;
  advice.doe_costs = static_cast<double>(gains.size()) * account.doe_cost;
  const int offered = account.to - account.from + 1;
  const std::optional<int> window = days_in_window(herd, account);
  if (window) advice.no_later_than = account.from + (*window - 1);
  if (offered < 1) {
    advice.why = NoStayWhy::no_day;
  } else if (gains.empty()) {
    advice.why = NoStayWhy::no_doe;
  }
  int best = 0;
  if (advice.why == NoStayWhy::none) {
    const int most =
        std::min(std::max(longest_stay, offered), window.value_or(offered + longest_stay));
    best = best_length(herd, offspring, offer, advice, most);
  }
  std::vector<Animal> does;
  for (const DoeAccount& doe : table.does) does.push_back(doe.doe.doe);
  const std::vector<int> also = best > 0 ? std::vector<int>{best} : std::vector<int>{};
  for (const StayLength& length : stay_lengths(herd, offspring, offer, does, also)) {
    StayChoice choice{
        .length = length, .worth = worth_of(advice, length.settled, length.cost), .per_day = {}};
    if (!advice.stays.empty()) {
      const StayChoice& before = advice.stays.back();
      choice.per_day = (choice.worth - before.worth) / (length.days - before.length.days);
    }
    choice.recommended = length.days == best && choice.worth > 0.0;
    advice.stays.push_back(choice);
  }
  const bool any = std::any_of(advice.stays.begin(), advice.stays.end(),
                               [](const StayChoice& choice) { return choice.recommended; });
  if (!any && advice.why == NoStayWhy::none) advice.why = NoStayWhy::no_gain;
  return advice;
}

}  // namespace doewright
