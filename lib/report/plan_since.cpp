// SPDX-License-Identifier: MIT
#include "plan_since.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "plan_words.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr int return_from = 5, season_days = 200;

/// The day of an earlier plan, "2026-08-15"; nothing if it is none.
std::optional<Date> day_of(std::string_view text) {
  constexpr std::string_view form = "0000-00-00";
  if (text.size() != form.size()) return std::nullopt;
  int parts[3] = {};
  std::size_t part = 0;
  for (std::size_t i = 0; i < form.size(); ++i) {
    if (form[i] == '-') {
      if (text[i] != '-') return std::nullopt;
      ++part;
    } else if (text[i] < '0' || text[i] > '9') {
      return std::nullopt;
    } else {
      parts[part] = 10 * parts[part] + (text[i] - '0');
    }
  }
  const auto day =
      PartialDate::of(parts[0], static_cast<unsigned>(parts[1]), static_cast<unsigned>(parts[2]));
  if (!day || !day->to_the_day()) return std::nullopt;
  return day->earliest();
}

class FactsSince {
 public:
  FactsSince(const PlanView& p, Date since) : herd_(p.herd), since_(since) {
    for (const DoeAccount& doe : p.table.does) of_doe(doe.doe.doe);
    std::sort(facts_.begin(), facts_.end(),
              [&](const SinceFact& a, const SinceFact& b) { return key(a) < key(b); });
    const auto same = [&](const SinceFact& a, const SinceFact& b) { return key(a) == key(b); };
    facts_.erase(std::unique(facts_.begin(), facts_.end(), same), facts_.end());
  }

  std::vector<SinceFact> facts() { return std::move(facts_); }

 private:
  std::tuple<std::int32_t, std::string_view, SinceWhat> key(const SinceFact& fact) const {
    return {fact.date.day, herd_.ids[fact.doe], fact.what};
  }

  void add(Animal doe, PartialDate date, SinceWhat what, std::optional<Animal> sire = {}) {
    if (!date.known() || date.earliest() <= since_ || date.latest() > herd_.as_of) return;
    facts_.push_back({doe, date.earliest(), what, sire});
  }

  void of_doe(Animal doe) {
    for (const Service& service : herd_.services) {
      if (service.doe != doe) continue;
      const bool pen = service.how == ServiceHow::pen;
      add(doe, service.from, pen ? SinceWhat::penned : SinceWhat::served, service.sire);
      if (!pen && after_service(doe, service.from)) add(doe, service.from, SinceWhat::back);
    }
    for (const Heat& heat : herd_.heats) {
      if (heat.doe == doe && after_service(doe, heat.date)) add(doe, heat.date, SinceWhat::back);
    }
    for (const PregnancyCheck& check : herd_.pregnancy_checks) {
      if (check.doe != doe) continue;
      const SinceWhat what = check.result == PregnancyResult::in_kid  ? SinceWhat::in_kid
                             : check.result == PregnancyResult::empty ? SinceWhat::empty
                                                                      : SinceWhat::unclear;
      add(doe, check.date, what);
    }
    for (const Kidding& kidding : herd_.kiddings) {
      if (kidding.doe == doe) add(doe, kidding.date, SinceWhat::kidded, kidding.sire);
    }
  }

  /// Five days or more after a service of hers of this season.
  bool after_service(Animal doe, PartialDate day) const {
    if (!day.to_the_day()) return false;
    return std::any_of(herd_.services.begin(), herd_.services.end(), [&](const Service& service) {
      if (service.doe != doe || !service.from.to_the_day()) return false;
      if (service.how == ServiceHow::pen) return false;
      const int days = day.earliest() - service.from.earliest();
      return days >= return_from && days <= season_days;
    });
  }

  const Herd& herd_;
  Date since_;
  std::vector<SinceFact> facts_;
};

std::string_view label_of(SinceWhat what) {
  static constexpr std::string_view labels[] = {
      "served", "put with", "came back", "found in kid", "found empty", "not clear", "kidded"};
  return labels[static_cast<std::size_t>(what)];
}

/// "Flora on 2026-09-18 and Maple on 2026-09-20, by Tor": does of one sire stand together.
std::string facts_words(const PlanView& p, const std::vector<SinceFact>& facts, SinceWhat what) {
  std::vector<std::optional<Animal>> sires;
  for (const SinceFact& fact : facts) {
    if (fact.what != what) continue;
    if (std::find(sires.begin(), sires.end(), fact.sire) == sires.end()) sires.push_back(fact.sire);
  }
  std::string text;
  for (const std::optional<Animal>& sire : sires) {
    std::vector<std::string> does;
    for (const SinceFact& fact : facts) {
      if (fact.what != what || fact.sire != sire) continue;
      does.push_back(fmt::format("{} on {}", short_name(p.herd, fact.doe), to_text(fact.date)));
    }
    text += (text.empty() ? "" : "; ") + listed_words(does);
    if (!sire) continue;
    text += what == SinceWhat::penned ? ", with " : what == SinceWhat::served ? ", by " : ", to ";
    text += short_name(p.herd, *sire);
  }
  return text;
}

}  // namespace

std::string_view word(SinceWhat what) noexcept {
  static constexpr std::string_view words[] = {"served",      "pen",     "returned", "found-in-kid",
                                               "found-empty", "unclear", "kidded"};
  return words[static_cast<std::size_t>(what)];
}

std::vector<SinceFact> facts_since(const PlanView& p, const EarlierPlan& since) {
  const std::optional<Date> day = day_of(since.as_of);
  return day ? FactsSince(p, *day).facts() : std::vector<SinceFact>();
}

std::vector<SinceWords> since_words(const PlanView& p, const EarlierPlan& since) {
  std::vector<SinceWords> said;
  const std::vector<SinceFact> facts = facts_since(p, since);
  for (const SinceWhat what :
       {SinceWhat::served, SinceWhat::penned, SinceWhat::back, SinceWhat::in_kid, SinceWhat::empty,
        SinceWhat::unclear, SinceWhat::kidded}) {
    const std::string text = facts_words(p, facts, what);
    if (!text.empty()) said.push_back({std::string(label_of(what)), text});
  }
  if (!since.objective) return said;
  constexpr double no_difference = 0.5;
  const double now = money_of(p.plan.choice.objective), moved = now - *since.objective;
  if (std::abs(moved) < no_difference) return said;
  said.push_back({"worth", fmt::format("{}, was {}: {} {}", p.money(now), p.money(*since.objective),
                                       p.money(std::abs(moved)), moved < 0.0 ? "less" : "more")});
  return said;
}

}  // namespace doewright
