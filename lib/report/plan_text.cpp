// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "page.hpp"
#include "plan_words.hpp"
#include "plan_worth.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// What the text is about, so that its parts need not be handed on one by one.
struct PlanPage {
  const Herd& herd;
  const PairingTable& table;
  const SeasonPlan& plan;
  Page& page;

  std::string sire(std::size_t s) const { return short_name(herd, table.sires[s].offer.sire); }
  std::string doe(std::size_t d) const { return short_name(herd, table.does[d].doe.doe); }
  std::string money(double amount) const {
    return fixed(amount, 0) + " " + printable(herd.season.currency);
  }
};

std::string count_words(std::size_t does) {
  return fmt::format("{} {}", does, does == 1 ? "doe" : "does");
}

/// "Use Alder for 8 does and Larch for 4: that costs 358 EUR, and the season ... worth 1905 EUR."
std::string first_words(const PlanPage& p) {
  if (p.table.does.empty()) return "No doe is put forward this season: list them in does.csv.";
  if (p.table.sires.empty()) return "No sire is on offer this season: list them in sires.csv.";
  if (p.plan.hired.empty()) return all_open_words(p.herd, p.table, p.plan);
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

std::string overruled_words(const PlanPage& p) {
  std::vector<std::string> does;
  for (std::size_t d = 0; d < p.table.does.size(); ++d) {
    if (p.plan.question.standing[d] == DoeStanding::overruled) does.push_back(p.doe(d));
  }
  if (does.empty()) return {};
  return fmt::format(
      " For {} every sire on offer is to be avoided; the plan uses the least bad all the same.",
      listed_words(does));
}

std::string limits_words(const PlanPage& p) {
  std::string text;
  if (!p.plan.choice.feasible) {
    std::vector<std::string> ways;
    for (const PlanLimit limit : p.plan.choice.in_the_way)
      ways.push_back(limit_words(p.herd, limit));
    text += " No plan keeps to all that you ask; this is the least bad.";
    if (!ways.empty()) {
      text += fmt::format(" It would do to give up {}.", listed_words(ways, "or"));
    }
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
    if (paper.state == PaperState::in_order) continue;
    missing.push_back(fmt::format("{} ({})", printable(paper.disease), word(paper.state)));
  }
  if (!missing.empty()) return "ask for health papers: " + listed_words(missing);
  return sire.papers.empty() ? std::string()
                             : "health papers in order: what was tested then, no promise of health";
}

std::string arrival_words(const PlanPage& p, const SireAccount& sire) {
  if (sire.to < sire.from) return {};
  const std::string days = fmt::format("{} to {}", to_text(sire.from), to_text(sire.to));
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

bool is_young(const SireAccount& sire) {
  return !sire.age_months || *sire.age_months < 24.0;
}

std::string hundred(double share) {
  if (share > 0.0 && share < 0.01) return "under 1";
  return fixed(100.0 * share, 0);
}

/// Is there a doe of his that was not served already?
bool has_new_does(const PlanPage& p, std::size_t sire) {
  return std::any_of(p.plan.pairings.begin(), p.plan.pairings.end(), [&](const PlannedPair& pair) {
    return pair.sire == sire && !pair.in_kid;
  });
}

void say_bucks(const PlanPage& p) {
  if (p.plan.hired.empty()) return;
  p.page.heading("The sires to use");
  for (const PlannedSire& planned : p.plan.hired) {
    const SireAccount& sire = p.table.sires[planned.sire];
    std::string terms(word(sire.offer.terms));
    if (terms.empty()) terms = "terms not recorded";
    std::vector<std::string> parts = {terms, arrival_words(p, sire)};
    parts.push_back(fmt::format("costs {}", p.money(planned.hire_cost + planned.doe_costs)));
    if (planned.does > 0) {
      parts.push_back(fmt::format("in {} of 100 seasons all his does stay open, which loses {}",
                                  hundred(planned.all_open_probability),
                                  p.money(planned.all_open_loss)));
    }
    const bool stays = p.plan.question.problem.sires[planned.sire].needs_pen;
    if (is_young(sire) && stays && planned.does > 1) {
      parts.push_back(fmt::format(
          "young: with {} two or more come in heat on {} of 100 days; few at a time, watch him",
          count_words(planned.does), hundred(planned.crowded_days)));
    }
    if (has_new_does(p, planned.sire) && sire.some_days_past) {
      parts.push_back("does that are not with him yet count from today on");
    }
    parts.push_back(papers_words(sire));
    std::string text;
    for (const std::string& part : parts) {
      if (!part.empty()) text += (text.empty() ? "" : "; ") + part;
    }
    p.page.labelled("  " + cut_to_width(p.sire(planned.sire), 12), 16, text);
  }
}

std::string note_of(const PlanPage& p, const PlannedPair& pair) {
  switch (p.plan.question.standing[pair.doe]) {
    case DoeStanding::locked:
      return "set by you";
    case DoeStanding::served:
      return "served";
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

std::vector<std::string> row_of(const PlanPage& p, const PlannedPair& pair) {
  const PairingAccount& account = account_of(p.table, pair);
  const bool caution = account.verdict != Verdict::go;
  return {p.doe(pair.doe),
          std::string(word(p.table.does[pair.doe].doe.kids_for)),
          p.sire(pair.sire) + (caution ? "*" : ""),
          fixed(account.money->value, 0),
          percent(account.kid_inbreeding.used, 1),
          hundred(account.settle_probability),
          pair.fallback ? p.sire(*pair.fallback) : std::string("-"),
          note_of(p, pair)};
}

bool is_among(const std::vector<PlanChange>* changes, std::string_view doe) {
  return changes == nullptr ||
         std::any_of(changes->begin(), changes->end(),
                     [&](const PlanChange& change) { return change.doe == doe; });
}

/// What the least bad costs, and what would be better.
std::string least_bad_words(const PlanPage& p, const PairingAccount& pair) {
  std::string text;
  const double lost = -(pair.money->inbreeding + pair.money->faults);
  if (lost > 0.5) text += fmt::format("; inbreeding and faults take {} a doe", p.money(lost));
  const std::string better = better_words(pair);
  if (!better.empty()) text += "; better would be " + better;
  return text;
}

/// Does of whom the same is to be said stand together.
void say_together(std::vector<std::pair<std::string, std::vector<std::string>>>& said,
                  const std::string& text, const std::string& doe) {
  const auto same = std::find_if(said.begin(), said.end(),
                                 [&](const auto& entry) { return entry.first == text; });
  if (same == said.end()) {
    said.emplace_back(text, std::vector<std::string>{doe});
  } else {
    same->second.push_back(doe);
  }
}

/// What the plan rests on; does of whom the same is said stand together.
void say_why(const PlanPage& p, const std::vector<const PlannedPair*>& pairs) {
  std::vector<std::pair<std::string, std::vector<std::string>>> said;
  for (const PlannedPair* pair : pairs) {
    std::string text = pair_words(p.herd, p.table, p.plan, *pair);
    if (p.plan.question.standing[pair->doe] == DoeStanding::overruled) {
      text += least_bad_words(p, account_of(p.table, *pair));
    }
    say_together(said, text, p.doe(pair->doe));
  }
  p.page.heading("Why");
  for (const auto& entry : said) {
    p.page.paragraph(fmt::format("{}: {}.", listed_words(entry.second), entry.first), 2, 4);
  }
}

void say_pairs(const PlanPage& p, const std::vector<PlanChange>* only) {
  std::vector<std::vector<std::string>> rows;
  std::vector<const PlannedPair*> shown;
  for (const PlannedPair& pair : p.plan.pairings) {
    if (!is_among(only, p.herd.ids[p.table.does[pair.doe].doe.doe])) continue;
    rows.push_back(row_of(p, pair));
    shown.push_back(&pair);
  }
  if (rows.empty()) return;
  p.page.blank();
  using Align = Page::Align;
  p.page.table({{"doe", Align::left, 12},
                {"for", Align::left, 6},
                {"goes to", Align::left, 12},
                {"worth", Align::right},
                {"F", Align::right},
                {"settles", Align::right},
                {"if he fails", Align::left, 12},
                {"", Align::left, 11}},
               rows);
  p.page.paragraph(
      fmt::format("Worth: {} a doe this season, hire not taken off. F: inbreeding of a kid to "
                  "count on. Settles: "
                  "in 100. If he fails: whom to call when she comes back in heat. * with caution "
                  "or overruled, = "
                  "no real difference.",
                  printable(p.herd.season.currency)));
  say_why(p, shown);
}

void say_open(const PlanPage& p, const std::vector<PlanChange>* only) {
  std::vector<std::pair<std::string, std::vector<std::string>>> said;
  for (const OpenDoe& open : p.plan.open) {
    if (!is_among(only, p.herd.ids[p.table.does[open.doe].doe.doe])) continue;
    say_together(said, open_words(p.herd, p.table, p.plan, open), p.doe(open.doe));
  }
  if (said.empty()) return;
  p.page.heading("Left open");
  for (const auto& [text, does] : said) {
    if (does.size() == 1) {
      p.page.labelled("  " + cut_to_width(does.front(), 12), 16, text);
    } else {
      p.page.paragraph(fmt::format("{}: {}", listed_words(does), text), 2, 16);
    }
  }
}

void say_others(const PlanPage& p) {
  if (p.plan.alternatives.empty() && !p.plan.one_fewer) return;
  p.page.heading("Other plans");
  const auto less = [&](const PlanChoice& other) {
    const double gap = money_of(p.plan.choice.objective - other.objective);
    if (gap < 0.5) return std::string("worth the same");
    return fmt::format("{} less", p.money(gap));
  };
  for (const PlanChoice& other : p.plan.alternatives) {
    p.page.labelled("  " + less(other), 22, "with " + sire_names(p.herd, p.table, other.hired));
  }
  if (p.plan.one_fewer) {
    p.page.paragraph(
        fmt::format("With one sire fewer: {}, {}.",
                    sire_names(p.herd, p.table, p.plan.one_fewer->hired), less(*p.plan.one_fewer)),
        2, 2);
  }
}

void say_limit_costs(const PlanPage& p) {
  if (p.plan.limit_costs.empty()) return;
  std::vector<std::string> nothing;
  std::vector<std::vector<std::string>> rows;
  for (const LimitCost& limit : p.plan.limit_costs) {
    if (money_of(limit.cost) < 0.5) {
      nothing.push_back(limit_words(p.herd, limit.limit));
    } else {
      rows.push_back({p.money(money_of(limit.cost)), limit_words(p.herd, limit.limit)});
    }
  }
  p.page.heading("What your limits cost, each by itself");
  for (const auto& row : rows) p.page.labelled("  " + row[0], 16, row[1]);
  if (!nothing.empty()) p.page.labelled("  nothing", 16, listed_words(nothing));
}

std::string close_words(const PlanPage& p) {
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
      "Too close to call at these prices for {}: half or double of a default would put another "
      "sire "
      "first. Set {}.",
      does.size() > most_named ? fmt::format("{} of {} does", does.size(), p.table.does.size())
                               : listed_words(does),
      listed_words(prices));
}

std::string place_words(const PlanPage& p, const std::optional<std::string>& sire) {
  if (!sire) return "open";
  const auto animal = p.herd.ids.find(*sire);
  return animal ? short_name(p.herd, *animal) : printable(*sire);
}

void say_changes(const PlanPage& p, const EarlierPlan& since,
                 const std::vector<PlanChange>& changes) {
  p.page.blank();
  if (changes.empty()) {
    p.page.paragraph(
        fmt::format("Nothing has changed since the plan of {}.", printable(since.as_of)));
  } else {
    p.page.paragraph(fmt::format("Changed since the plan of {}, which cost {}:",
                                 printable(since.as_of), p.money(since.cost)));
  }
  for (const PlanChange& change : changes) {
    const std::string before = change.was_there ? place_words(p, change.before) : "not put forward";
    const std::string now = change.is_there ? place_words(p, change.now) : "no longer put forward";
    const auto animal = p.herd.ids.find(change.doe);
    const std::string name = animal ? short_name(p.herd, *animal) : printable(change.doe);
    p.page.labelled("  " + cut_to_width(name, 12), 16, fmt::format("{}, was: {}", now, before));
  }
}

}  // namespace

void plan_as_text(Sink& out, const Preamble& preamble, const Herd& herd, const PairingTable& table,
                  const SeasonPlan& plan, const EarlierPlan* since,
                  std::span<const WorthOfKnowing> worth) {
  Page page(out, preamble.colour);
  const PlanPage p{herd, table, plan, page};
  page.headline(set_aside_words(preamble) + first_words(p) + overruled_words(p) + limits_words(p) +
                one_unproven_words(herd, table, plan) + price_words(herd, table, plan));
  std::vector<PlanChange> changes;
  if (since != nullptr) {
    changes = changes_since(herd, table, plan, *since);
    say_changes(p, *since, changes);
  }
  const std::string close = close_words(p);
  if (!close.empty()) page.paragraph(close);
  const std::vector<PlanChange>* only = since != nullptr ? &changes : nullptr;
  if (since == nullptr) say_bucks(p);
  say_pairs(p, only);
  say_open(p, only);
  if (since == nullptr) {
    say_others(p);
    say_worth(page, herd, table, worth);
    say_limit_costs(p);
  }
  page.blank();
  page.paragraph(
      "Chances are of the figures below and promise nothing. Watch each doe 18 to 24 days after "
      "service. Keep an eye on a buck in rut, use two people and a board; health and drugs are for "
      "your veterinarian, moving animals for local law.");
  say_inputs(page, preamble);
}

}  // namespace doewright
