// SPDX-License-Identifier: MIT
#include "plan_words.hpp"

#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/report/words.hpp>

#include "calendar_words.hpp"
#include "doe_now.hpp"
#include "pairing_text.hpp"
#include "preamble.hpp"

namespace doewright {

std::string almost_hundred(double share) {
  return share > 0.99 && share < 1.0 ? "over 99" : in_hundred(share);
}

namespace {

std::string name_of(const Herd& herd, const PairingTable& table, std::size_t sire) {
  return short_name(herd, table.sires[sire].offer.sire);
}

std::string served_words(const Herd& herd, const Service& service) {
  const bool seen = service.how == ServiceHow::seen || service.how == ServiceHow::visit ||
                    service.how == ServiceHow::semen;
  return fmt::format("{} {}{}", seen ? "already served by" : "already with",
                     short_name(herd, service.sire),
                     fmt::format(" {} {}", seen ? "on" : "from", to_text(service.from)));
}

std::string not_there_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                            const OpenDoe& open) {
  const DoeForward& doe = table.does[open.doe].doe;
  if (doe.sire) {
    return fmt::format(
        "you have set {} for her, who is not on offer: add him to sires.csv, or set another",
        short_name(herd, *doe.sire));
  }
  std::string text = served_words(herd, *plan.question.served[open.doe]) +
                     ", who is not on offer: what is done stays done";
  if (open.best) {
    text += fmt::format("; if she comes back in heat, {}", name_of(herd, table, *open.best));
  }
  return text;
}

/// "; Larch was with her too from 2026-10-05: ...", or nothing: whose kid it is, is not settled.
std::string others_words(const Herd& herd, const Service& service) {
  constexpr std::int32_t one_season = 120;  // days before the last service
  for (const Service& other : herd.services) {
    if (other.doe != service.doe || other.sire == service.sire || !other.from.known()) continue;
    const std::int32_t before = service.from.latest() - other.from.latest();
    if (before < 0 || before > one_season || other.from.earliest() > herd.as_of) continue;
    return fmt::format("; {} served her or was with her too from {}, and the figures are of {} alone: "
                       "`whose` gives each his chance",
                       short_name(herd, other.sire), to_text(other.from), short_name(herd, service.sire));
  }
  return {};
}

/// "; in kid 83 in 100 as of today; not seen back in heat, but ... test her".
std::string stands_words(const Herd& herd, const PlannedPair& pair) {
  if (!pair.in_kid) return {};
  std::string text = pair.in_kid->check ? "; " + check_words(*pair.in_kid) : std::string();
  text += fmt::format("; in kid {} in 100 as of today", almost_hundred(pair.in_kid->probability));
  if (pair.in_kid->found_empty()) text += ": test her again or put her back";
  if (pair.in_kid->quiet_on) text += "; " + quiet_words(herd, *pair.in_kid->quiet_on);
  return text;
}

/// No doe has a place, and some have a sire set for them.
std::string no_place_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan) {
  std::vector<std::string> does;
  for (const std::size_t d : plan.choice.unserved) {
    does.push_back(short_name(herd, table.does[d].doe.doe));
  }
  constexpr std::size_t most_named = 6;
  return fmt::format("Leave every doe open: within your limits there is no place for {}.",
                     does.size() > most_named
                         ? fmt::format("the sires set for {} does", does.size())
                         : fmt::format("the {} set for {}", does.size() == 1 ? "sire" : "sires",
                                       listed_words(does)));
}

/// "; the days of Larch and Sedge are over".
std::string over_words(const Herd& herd, const PairingTable& table) {
  std::vector<std::size_t> over;
  for (std::size_t s = 0; s < table.sires.size(); ++s) {
    if (days_over(herd, table.sires[s])) over.push_back(s);
  }
  return over.empty() ? std::string()
                      : fmt::format("; the days of {} are over", sire_names(herd, table, over));
}

}  // namespace

bool days_over(const Herd& herd, const SireAccount& sire) {
  return sire.some_days_past && sire.to < herd.as_of;
}

const PairingAccount& account_of(const PairingTable& table, const PlannedPair& pair) {
  return table.does[pair.doe].sires[pair.account];
}

namespace {

/// "found empty on 2026-11-20 by a scan; served by ...; ", or nothing.
std::string before_words(const Herd& herd, const PairingTable& table, const OpenDoe& open) {
  const Animal doe = table.does[open.doe].doe.doe;
  if (std::none_of(herd.services.begin(), herd.services.end(),
                   [&](const Service& service) { return service.doe == doe; })) {
    return {};
  }
  const DoeNow now = doe_now(herd, Offspring(herd.pedigree), doe);
  if (now.is == DoeNowIs::unserved || open.why == OpenWhy::not_there) return {};
  return now_words(herd, now) + "; ";
}

/// "; mind her: 7 months old at the youngest ...", what speaks for caution with the doe herself, or nothing.
/// `health_alone`: only what her health tests say.
std::string mind_her(const Herd& herd, const DoeAccount& doe, bool health_alone) {
  std::string text;
  for (const Reason& each : doe.fitness.reasons) {
    const bool health = each.code == reason::health_positive;
    const bool caution = each.code != reason::doe_decided && each.effect >= double(Fitness::caution);
    if (!health && (health_alone || !caution)) continue;
    text += (text.empty() ? "; mind her: " : "; ") + printable(sentence(herd, each));
  }
  return text;
}

std::string why_open(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                     const OpenDoe& open) {
  switch (open.why) {
    case OpenWhy::on_hold:
      return printable(sentence(herd, table.does[open.doe].fitness.reasons.front()));
    case OpenWhy::not_there:
      return not_there_words(herd, table, plan, open);
    case OpenWhy::nobody:
      return "no sire on offer can be put to her: list more in sires.csv" +
             over_words(herd, table);
    case OpenWhy::worth_less:
      return fmt::format("even {} would be worth no more than leaving her open",
                         name_of(herd, table, *open.best));
    case OpenWhy::no_room:
      return fmt::format(
          "no place left within your limits, or a hire that she alone does not pay "
          "for; best for her: {}",
          name_of(herd, table, *open.best));
    case OpenWhy::no_plan:
      if (served_beyond_limits(plan, open)) {
        return served_words(herd, *plan.question.served[open.doe]) +
               ", but your limits leave him no place in this plan: raise them, for he is in use";
      }
      if (!open.best) return "no sire can be put to her within your limits";
      return fmt::format("{} cannot be put to her within your limits",
                         name_of(herd, table, *open.best));
  }
  return {};
}

std::string why_to_him(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                       const PlannedPair& pair) {
  const PairingAccount& account = account_of(table, pair);
  const bool served = plan.question.standing[pair.doe] == DoeStanding::served;
  std::string first;
  for (const Reason& reason : account.reasons) {
    first = printable(sentence(herd, reason));
    if (served && reason.code == "rule.sire-gone") continue;  // he was there then
    if (reason.code != "doe.locked") break;  // said already
  }
  switch (plan.question.standing[pair.doe]) {
    case DoeStanding::served:
      return served_words(herd, *plan.question.served[pair.doe]) + stands_words(herd, pair) +
             others_words(herd, *plan.question.served[pair.doe]) +
             (is_avoided(table, plan, pair) ? "; to be avoided, but done: " + first : std::string());
    case DoeStanding::locked: {
      std::string text = "you have set him for her yourself";
      if (account.verdict == Verdict::avoid) text += ", overruled: " + first;
      return text + stands_words(herd, pair);
    }
    case DoeStanding::overruled:
      return "every sire is to be avoided for her, he is the least bad: " + first;
    default:
      return first;
  }
}

}  // namespace

std::string open_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                       const OpenDoe& open) {
  return before_words(herd, table, open) + why_open(herd, table, plan, open) +
         mind_her(herd, table.does[open.doe], true);
}

bool served_beyond_limits(const SeasonPlan& plan, const OpenDoe& open) {
  return open.why == OpenWhy::no_plan && plan.question.standing[open.doe] == DoeStanding::served;
}

bool is_avoided(const PairingTable& table, const SeasonPlan& plan, const PlannedPair& pair) {
  const PairingAccount& account = account_of(table, pair);
  if (account.verdict != Verdict::avoid) return false;
  const auto hits = std::count_if(account.rules.begin(), account.rules.end(), [](const RuleHit& hit) {
    return hit.verdict == Verdict::avoid;
  });
  const bool served = plan.question.standing[pair.doe] == DoeStanding::served;
  return !served || !table.sires[pair.sire].gone || hits > 1;
}

std::string pair_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan,
                       const PlannedPair& pair) {
  const bool served = plan.question.standing[pair.doe] == DoeStanding::served;
  return why_to_him(herd, table, plan, pair) + mind_her(herd, table.does[pair.doe], served);
}

std::string better_words(const PairingAccount& pair) {
  std::vector<std::string> wanted;
  for (const RuleHit& hit : pair.rules) {
    if (hit.verdict != Verdict::avoid) continue;
    if (hit.rule == "inbreeding") wanted.push_back("less related to her");
    if (hit.rule == "lethal") wanted.push_back("with a gene test that finds no copy");
    if (hit.rule == "polled") wanted.push_back("born with horns");
  }
  return wanted.empty() ? std::string() : "a buck " + listed_words(wanted);
}

std::string price_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan) {
  if (plan.price_calls.empty()) return {};
  std::vector<std::string> prices;
  const bool single = plan.price_calls.front().price != all_default_prices;
  for (const PriceCall& call : plan.price_calls) {
    if (single && call.price == all_default_prices) continue;
    for (const std::string& price : call.prices) {
      if (std::find(prices.begin(), prices.end(), price) == prices.end()) prices.push_back(price);
    }
  }
  const PriceCall& first = plan.price_calls.front();
  return fmt::format(
      " Too close to call at these prices: at {} of {} it would be {}{}. Set {}.",
      first.factor < 1.0 ? "half" : "double",
      first.price == all_default_prices ? "every default price at once" : "the default " + first.price,
      sire_names(herd, table, first.hired),
      single && plan.price_calls.size() > 1 ? ", and others decide too" : "", listed_words(prices));
}

std::string judged_words(const SireAccount& sire) {
  const InfertileOdds& odds = sire.infertile;
  if (odds.served == 0) return {};
  return fmt::format(
      "of {} {} he served long enough ago to tell, {} came back{}", odds.served,
      odds.served == 1 ? "doe" : "does",
      odds.returned == 0 ? std::string("none") : std::to_string(odds.returned),
      odds.probability > 0.0
          ? fmt::format(": {} in 100 that he settles nobody", in_hundred(odds.probability))
          : std::string(", and one at least was found in kid"));
}

std::string one_unproven_words(const Herd& herd, const PairingTable& table,
                               const SeasonPlan& plan) {
  if (!plan.on_one_unproven) return {};
  const PlannedSire& only = plan.hired.front();
  const std::string judged = judged_words(table.sires[only.sire]);
  std::string text = fmt::format(
      " The whole season rests on {}, who is unproven: {}.", name_of(herd, table, only.sire),
      judged.empty() ? fmt::format("in {} of 100 seasons all his does stay open",
                                   in_hundred(only.all_open_probability))
                     : judged);
  if (table.sires.size() == 1) return text + " No other sire is on offer.";
  if (!plan.with_two) {
    const Season& season = herd.season;
    const bool limited = season.max_hired || season.pens || season.hire_budget;
    return text + (limited ? " There is no plan with two sires within your limits."
                           : " There is no plan with two sires.");
  }
  const double less = money_of(plan.choice.objective - plan.with_two->objective);
  return text + fmt::format(" With {} it is worth {} {} less.",
                            sire_names(herd, table, plan.with_two->hired), fixed(less, 0),
                            printable(herd.season.currency));
}

std::string all_open_words(const Herd& herd, const PairingTable& table, const SeasonPlan& plan) {
  const auto all = [&](OpenWhy why) {
    return std::all_of(plan.open.begin(), plan.open.end(),
                       [&](const OpenDoe& open) { return open.why == why; });
  };
  const std::string currency = printable(herd.season.currency);
  if (!plan.choice.feasible) return no_place_words(herd, table, plan);
  if (std::all_of(table.sires.begin(), table.sires.end(),
                  [&](const SireAccount& sire) { return days_over(herd, sire); })) {
    return "Leave every doe open: the days of every sire in sires.csv are over; write new ones.";
  }
  if (all(OpenWhy::on_hold)) return "Leave every doe open: none of them is to be served now.";
  if (all(OpenWhy::nobody)) {
    return "Leave every doe open: no sire on offer can be put to any of them; list more in sires.csv.";
  }
  if (all(OpenWhy::not_there)) {
    return "Leave every doe open: the sires set for them, by you or by a service, are not on "
           "offer; add them to sires.csv, or set others.";
  }
  const bool weighed = std::any_of(plan.open.begin(), plan.open.end(), [](const OpenDoe& open) {
    return open.why == OpenWhy::worth_less || open.why == OpenWhy::no_room;
  });
  if (!weighed) return "Leave every doe open: none of them can be put to a sire; below is why.";
  if (plan.beyond) {
    double hire = 0.0;
    for (const std::size_t sire : plan.beyond->choice.hired) hire += table.sires[sire].hire_cost;
    return fmt::format(
        "Leave every doe open: nobody worth his cost can be had within your limits. Without {} it "
        "would be {}: {} {} for hire, and the season then worth {} {} more.",
        plan.beyond->limit ? "the limit (" + limit_words(herd, *plan.beyond->limit) + ")"
                           : std::string("them"),
        sire_names(herd, table, plan.beyond->choice.hired), fixed(hire, 0), currency,
        fixed(money_of(plan.beyond->choice.objective - plan.choice.objective), 0), currency);
  }
  std::string text = "Leave every doe open: no pairing is worth its cost.";
  if (!plan.alternatives.empty()) {
    const PlanChoice& least = plan.alternatives.front();
    double hire = 0.0;
    for (const std::size_t sire : least.hired) hire += table.sires[sire].hire_cost;
    text += fmt::format(" The least bad would be {}: {} {} for hire, worth {} {} less than that.",
                        sire_names(herd, table, least.hired), fixed(hire, 0), currency,
                        fixed(money_of(plan.choice.objective - least.objective), 0), currency);
  }
  return text;
}

std::string limit_words(const Herd& herd, PlanLimit limit) {
  const Season& season = herd.season;
  switch (limit) {
    case PlanLimit::must_be_served:
      return "does that must be served";
    case PlanLimit::locked:
      return "the sires set for does (by you or by a service)";
    case PlanLimit::most_does:
      return "the most does of each sire";
    case PlanLimit::pens:
      return fmt::format("{} {} for bucks", season.pens.value_or(0),
                         season.pens == 1u ? "pen" : "pens");
    case PlanLimit::max_hired:
      return fmt::format("at most {} hired", season.max_hired.value_or(0));
    case PlanLimit::hire_budget:
      return fmt::format("at most {} {} for hire", fixed(season.hire_budget.value_or(0.0), 0),
                         printable(season.currency));
  }
  return {};
}

std::string listed_words(const std::vector<std::string>& parts, std::string_view last) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) text += i + 1 == parts.size() ? fmt::format(" {} ", last) : ", ";
    text += parts[i];
  }
  return text;
}

std::string sire_names(const Herd& herd, const PairingTable& table,
                       const std::vector<std::size_t>& sires) {
  if (sires.empty()) return "no sire";
  std::vector<std::string> names;
  for (const std::size_t sire : sires) names.push_back(name_of(herd, table, sire));
  return listed_words(names);
}

double money_of(std::int64_t millionths) {
  return static_cast<double>(millionths) / 1e6;
}

std::vector<PlanChange> changes_since(const Herd& herd, const PairingTable& table,
                                      const SeasonPlan& plan, const EarlierPlan& since) {
  std::vector<PlanChange> changes;
  std::vector<bool> seen(since.does.size(), false);
  for (std::size_t d = 0; d < table.does.size(); ++d) {
    PlanChange change;
    change.doe = std::string(herd.ids[table.does[d].doe.doe]);
    if (const auto& sire = plan.choice.sire_of_doe[d]) {
      change.now = std::string(herd.ids[table.sires[*sire].offer.sire]);
    }
    const auto before = std::find_if(since.does.begin(), since.does.end(),
                                     [&](const auto& doe) { return doe.doe == change.doe; });
    change.was_there = before != since.does.end();
    if (change.was_there) {
      change.before = before->sire;
      seen[static_cast<std::size_t>(before - since.does.begin())] = true;
    }
    if (!change.was_there || change.before != change.now) changes.push_back(std::move(change));
  }
  for (std::size_t i = 0; i < since.does.size(); ++i) {
    if (seen[i]) continue;
    changes.push_back({since.does[i].doe, since.does[i].sire, std::nullopt, true, false});
  }
  return changes;
}

}  // namespace doewright
