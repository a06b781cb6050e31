// SPDX-License-Identifier: MIT
#include "plan_phrases.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "plan_begun.hpp"
#include "health_words.hpp"
#include "plan_words.hpp"
#include "preamble.hpp"

namespace doewright {

std::string PlanView::sire(std::size_t s) const {
  return short_name(herd, table.sires[s].offer.sire);
}

std::string PlanView::doe(std::size_t d) const {
  return short_name(herd, table.does[d].doe.doe);
}

std::string PlanView::money(double amount) const {
  return fixed(amount, 0) + " " + printable(herd.season.currency);
}

std::string count_words(std::size_t does) {
  return fmt::format("{} {}", does, does == 1 ? "doe" : "does");
}

/// "Use Alder for 8 does and Larch for 4: that costs 358 EUR, and the season ... worth 1905 EUR."
std::string first_words(const PlanView& p) {
  if (p.table.does.empty()) return "No doe is put forward this season: list them in does.csv.";
  if (p.table.sires.empty()) return "No sire is on offer this season: list them in sires.csv.";
  if (p.plan.hired.empty()) return all_open_words(p.herd, p.table, p.plan);
  if (season_begun(p)) return begun_first(p) + " " + begun_rest(p);
  std::vector<PlannedSire> by_does = p.plan.hired;
  std::stable_sort(by_does.begin(), by_does.end(),
                   [](const auto& a, const auto& b) { return a.does > b.does; });
  std::vector<std::string> parts;
  std::string_view said;
  for (const PlannedSire& sire : by_does) {
    const bool hire = p.table.sires[sire.sire].offer.terms == Terms::hired;
    const std::string_view verb = hire ? "hire " : "use ";
    parts.push_back(fmt::format("{}{} for {}", verb == said ? "" : verb, p.sire(sire.sire),
                                count_words(sire.does)));
    said = verb;
  }
  std::string text = listed_words(parts);
  text.front() = text.front() == 'h' ? 'H' : 'U';
  return fmt::format("{}: that costs {}, and the season is then worth {}.", text,
                     p.money(p.plan.cost), p.money(money_of(p.plan.choice.objective)));
}

std::string overruled_words(const PlanView& p) {
  std::vector<std::string> served, open;
  for (std::size_t d = 0; d < p.table.does.size(); ++d) {
    if (p.plan.question.standing[d] != DoeStanding::overruled) continue;
    (p.plan.choice.sire_of_doe[d] ? served : open).push_back(p.doe(d));
  }
  const auto said = [](const std::vector<std::string>& does, std::string_view what) {
    return does.empty() ? std::string()
                        : fmt::format(" For {} every sire on offer is to be avoided; {}.",
                                      listed_words(does), what);
  };
  return said(served, "the plan uses the least bad all the same") +
         said(open, open.size() == 1 ? "she stays open" : "they stay open");
}

std::string limits_words(const PlanView& p) {
  std::string text;
  if (!p.plan.choice.feasible) {
    std::vector<std::string> ways;
    for (const PlanLimit limit : p.plan.choice.in_the_way) {
      ways.push_back(limit == PlanLimit::locked ? "the sires you have set for does"
                                                : limit_words(p.herd, limit));
    }
    text += " No plan keeps to all that you ask; this is the least bad.";
    text += ways.empty() ? " To give up one of your limits alone would not do."
                         : fmt::format(" It would do to give up {}.", listed_words(ways, "or"));
  }
  if (!p.plan.choice.proven_optimal) {
    text += fmt::format(" The best found: another could be better by {} at most.",
                        p.money(std::ceil(money_of(p.plan.choice.gap))));
  }
  return text;
}

std::string papers_words(const SireAccount& sire) {
  std::vector<std::string> missing;
  for (const Paper& paper : sire.papers) {
    if (paper.state == PaperState::in_order || paper.state == PaperState::not_negative) continue;
    missing.push_back(fmt::format("{} ({})", printable(paper.disease), word(paper.state)));
  }
  std::string text = printable(positives_words(sire.positives));
  if (!missing.empty()) {
    text += (text.empty() ? "" : "; ") + ("ask for health papers: " + listed_words(missing));
  }
  if (!text.empty()) return text;
  return sire.papers.empty() ? std::string()
                             : "health papers in order: what was tested then, no promise of health";
}

std::string health_words(const PlanView& p) {
  std::string text;
  const auto say = [&](const char* as, std::size_t s) {
    const std::string positive = positives_words(p.table.sires[s].positives);
    if (!positive.empty()) text += fmt::format(" {}{}: {}.", as, p.sire(s), printable(positive));
  };
  std::vector<bool> said(p.table.sires.size(), false);
  for (const PlannedSire& planned : p.plan.hired) {
    said[planned.sire] = true;
    say("", planned.sire);
  }
  for (const PlannedPair& pair : p.plan.pairings) {
    if (!pair.fallback || said[*pair.fallback]) continue;
    said[*pair.fallback] = true;
    say("If another fails, ", *pair.fallback);
  }
  return text;
}

std::string cost_words(const PlanView& p, const PlannedSire& planned) {
  const double cost = planned.hire_cost + planned.doe_costs;
  if (cost <= 0.0 && p.table.sires[planned.sire].offer.terms == Terms::unknown) {
    return "not recorded";
  }
  return p.money(cost);
}

std::string all_open_phrase(const PlanView& p, const PlannedSire& planned) {
  if (planned.does == 0 || !has_new_does(p, planned.sire)) return {};
  if (planned.all_open_probability <= 0.0) return {};               // a doe of his is in kid
  if (p.table.sires[planned.sire].infertile.served > 0) return {};  // more is known: judged_words()
  std::string text = fmt::format("in {} of 100 seasons", hundred(planned.all_open_probability));
  if (planned.all_open_loss > 0.0) text += fmt::format(", which loses {}", p.money(planned.all_open_loss));
  return text;
}

std::string dud_words(const SireAccount& sire) {
  if (!sire.infertile.call_fallback) return {};
  return fmt::format(
      "{} of {} does he served came back: {} in 100 that he settles nobody, which is not in the figures "
      "here; call the fallback buck now, and a veterinarian",
      sire.infertile.returned, sire.infertile.served, hundred(sire.infertile.probability));
}

std::string arrival_words(const PlanView& p, const SireAccount& sire) {
  if (sire.to < sire.from) return {};
  const std::string days = fmt::format("{} to {}", to_text(sire.from), to_text(sire.to));
  const bool here = has_served(p, sire.offer.sire);
  if (here && days_over(p.herd, sire))
    return fmt::format("his days with the does, {}, are over", days);
  if (here) return "with the does " + days;
  const std::string apart_first = apart_first_words(p.herd, sire.offer);
  if (!apart_first.empty()) return days + "; " + apart_first;
  if (sire.offer.terms != Terms::hired) return days;
  const auto apart = static_cast<std::int32_t>(p.herd.season.papers.isolation_days);
  const Date arrives = sire.from - apart;
  if (arrives >= p.herd.as_of) {
    return fmt::format("here by {} to be apart for {} days, with the does {}", to_text(arrives),
                       apart, days);
  }
  return fmt::format(
      "with the does {}; {} days apart before that are no longer to be had: if he "
      "came today, from {}",
      days, apart, to_text(p.herd.as_of + apart));
}

std::string apart_first_words(const Herd& herd, const SireOffer& offer) {
  const bool comes = offer.terms == Terms::own || offer.terms == Terms::unknown;
  if (!comes || offer.straws || herd.season.papers.isolation_days == 0 || !papers_needed(herd, offer)) {
    return {};
  }
  return fmt::format("from another herd: keep him apart for {} days before he meets the does",
                     herd.season.papers.isolation_days);
}

bool is_young(const SireAccount& sire) {
  return !sire.age_months || *sire.age_months < 24.0;
}

std::string hundred(double share) {
  if (share > 0.0 && share < 0.01) return "under 1";
  return fixed(100.0 * share, 0);
}

std::size_t new_does(const PlanView& p, std::size_t sire) {
  return static_cast<std::size_t>(
      std::count_if(p.plan.pairings.begin(), p.plan.pairings.end(),
                    [&](const PlannedPair& pair) { return pair.sire == sire && !pair.in_kid; }));
}

bool has_new_does(const PlanView& p, std::size_t sire) {
  return new_does(p, sire) > 0;
}

bool has_served(const PlanView& p, Animal sire) {
  return std::any_of(p.plan.pairings.begin(), p.plan.pairings.end(), [&](const PlannedPair& pair) {
    const SireAccount& his = p.table.sires[pair.sire];
    return pair.in_kid && his.offer.sire == sire && his.from <= p.herd.as_of;
  });
}

std::string_view fallback_legend() {
  return "If he fails: the best who can still serve her 21 days on, limits not counted.";
}

std::string crowded_words(const PlanView& p, std::size_t sire) {
  const std::size_t does = new_does(p, sire);
  const bool stays = p.plan.question.problem.sires[sire].needs_pen;
  if (!is_young(p.table.sires[sire]) || !stays || does < 2) return {};
  return fmt::format("with {} two or more come in heat on {} of 100 days; few at a time, watch him",
                     count_words(does), hundred(crowded_days(does)));
}

std::string settles_words(const PlanView& p, const PlannedPair& pair) {
  const bool begun = pair.in_kid && has_served(p, p.table.sires[pair.sire].offer.sire);
  return hundred(begun ? pair.in_kid->probability : account_of(p.table, pair).settle_probability);
}

std::string fallback_words(const PlanView& p, const PlannedPair& pair, std::string_view nobody) {
  const bool in_kid = pair.in_kid && pair.in_kid->found_in_kid();
  if (in_kid) return "-";
  return pair.fallback ? p.sire(*pair.fallback) : std::string(nobody);
}

std::string note_of(const PlanView& p, const PlannedPair& pair) {
  switch (p.plan.question.standing[pair.doe]) {
    case DoeStanding::locked:
      return "set by you";
    case DoeStanding::served:
      if (pair.in_kid && pair.in_kid->found_in_kid()) return "in kid";
      return pair.in_kid && pair.in_kid->found_empty() ? "found empty" : "served";
    case DoeStanding::overruled:
      return "overruled";
    default:
      break;
  }
  const PairingAccount& account = account_of(p.table, pair);
  if (account.tied_with.empty()) return {};
  std::string text = "= ";
  for (const Animal level : account.tied_with) {
    text += (text.size() > 2 ? ", " : "") + short_name(p.herd, level);
  }
  return text;
}

/// What the least bad costs, and what would be better.
std::string least_bad_words(const PlanView& p, const PairingAccount& pair) {
  std::string text;
  const double lost = -(pair.money->inbreeding + pair.money->faults);
  if (lost > 0.5) text += fmt::format("; inbreeding and faults take {} a doe", p.money(lost));
  const std::string better = better_words(pair);
  if (!better.empty()) text += "; better would be " + better;
  return text;
}

std::string close_words(const PlanView& p) {
  std::vector<std::string> does, prices;
  for (const DoeAccount& doe : p.table.does) {
    if (doe.close_at.empty() || doe.fitness.on_hold()) continue;
    does.push_back(short_name(p.herd, doe.doe.doe));
    for (const std::string& price : doe.close_at) {
      if (std::find(prices.begin(), prices.end(), price) == prices.end()) prices.push_back(price);
    }
  }
  if (does.empty()) return {};
  constexpr std::size_t most_named = 6;
  return fmt::format(
      "Too close to call at these prices for {}: half or double of a default, or of several at once, "
      "would put another sire first. Set {}.",
      does.size() > most_named ? fmt::format("{} of {} does", does.size(), p.table.does.size())
                               : listed_words(does),
      listed_words(prices));
}

std::string place_words(const PlanView& p, const std::optional<std::string>& sire) {
  if (!sire) return "open";
  const auto animal = p.herd.ids.find(*sire);
  return animal ? short_name(p.herd, *animal) : printable(*sire);
}

std::string less_words(const PlanView& p, const PlanChoice& other) {
  const double gap = money_of(p.plan.choice.objective - other.objective);
  if (gap < 0.5) return "worth the same";
  return fmt::format("{} less", p.money(gap));
}

}  // namespace doewright
