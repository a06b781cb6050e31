// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "page.hpp"
#include "plan_begun.hpp"
#include "plan_gaps.hpp"
#include "plan_phrases.hpp"
#include "plan_since.hpp"
#include "plan_words.hpp"
#include "plan_worth.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// What the text is about, so that its parts need not be handed on one by one.
struct PlanPage : PlanView {
  Page& page;
};

void say_bucks(const PlanPage& p) {
  if (p.plan.hired.empty()) return;
  p.page.heading("The sires to use");
  for (const PlannedSire& planned : p.plan.hired) {
    const SireAccount& sire = p.table.sires[planned.sire];
    std::string terms(word(sire.offer.terms));
    if (terms.empty()) terms = "terms not recorded";
    std::vector<std::string> parts = {terms, arrival_words(p, sire)};
    parts.push_back("costs " + cost_words(p, planned));
    parts.push_back(dud_words(sire));
    const std::string open = all_open_phrase(p, planned);
    if (!open.empty()) parts.push_back("all his does stay open " + open);
    if (!sire.infertile.call_fallback) parts.push_back(judged_words(sire));
    const std::string crowded = crowded_words(p, planned.sire);
    if (!crowded.empty()) parts.push_back("young: " + crowded);
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

std::vector<std::string> row_of(const PlanPage& p, const PlannedPair& pair) {
  const PairingAccount& account = account_of(p.table, pair);
  const bool caution = account.verdict != Verdict::go ||
                       p.table.does[pair.doe].fitness.answer == Fitness::caution;
  return {p.doe(pair.doe),
          std::string(word(p.table.does[pair.doe].doe.kids_for)),
          p.sire(pair.sire) + (caution ? "*" : ""),
          fixed(account.money->value, 0),
          percent(account.kid_inbreeding.used, 1),
          settles_words(p, pair),
          fallback_words(p, pair, "nobody"),
          note_of(p, pair)};
}

bool is_among(const std::vector<PlanChange>* changes, std::string_view doe) {
  return changes == nullptr ||
         std::any_of(changes->begin(), changes->end(),
                     [&](const PlanChange& change) { return change.doe == doe; });
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

void say_gaps(const PlanPage& p) {
  if (p.plan.gaps.empty()) return;
  p.page.heading("One buck after another");
  for (const std::string& said : gap_words(p.herd, p.plan.gaps)) p.page.paragraph(said, 2, 4);
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
  p.page.paragraph(fmt::format(
      "Worth: {} a doe this season, hire not taken off. F: inbreeding of a kid to count on. Settles: "
      "in 100{}. {} * with caution or overruled, = no real difference.",
      printable(p.herd.season.currency),
      season_begun(p) ? " by the end of his stay; of a doe served already, in kid as of today"
                      : "",
      fallback_legend()));
  say_why(p, shown);
}

void say_open(const PlanPage& p, const std::vector<PlanChange>* only, std::string_view title,
              bool served) {
  std::vector<std::pair<std::string, std::vector<std::string>>> said;
  for (const OpenDoe& open : p.plan.open) {
    if (!is_among(only, p.herd.ids[p.table.does[open.doe].doe.doe])) continue;
    if (served_beyond_limits(p.plan, open) != served) continue;
    say_together(said, open_words(p.herd, p.table, p.plan, open), p.doe(open.doe));
  }
  if (said.empty()) return;
  p.page.heading(title);
  for (const auto& [text, does] : said) {
    if (does.size() == 1) {
      p.page.labelled("  " + cut_to_width(does.front(), 12), 16, text);
    } else {
      p.page.paragraph(fmt::format("{}: {}", listed_words(does), text), 2, 16);
    }
  }
}

void say_kiddings(const PlanPage& p, const PlanDates& dates) {
  if (dates.expected <= 0.0) return;
  std::string text = fmt::format("Kiddings expected: {}", fixed(dates.expected, 1));
  if (dates.in_window) {
    text += fmt::format(", of them {} on the days you want ({} to {})", fixed(*dates.in_window, 1),
                        to_text(*p.herd.season.kid_from), to_text(*p.herd.season.kid_to));
  }
  p.page.blank();
  p.page.paragraph(text + ".");
}

void say_others(const PlanPage& p) {
  if (p.plan.alternatives.empty() && !p.plan.one_fewer) return;
  p.page.heading("Other plans");
  for (const PlanChoice& other : p.plan.alternatives) {
    p.page.labelled("  " + less_words(p, other), 22,
                    "with " + sire_names(p.herd, p.table, other.hired));
  }
  if (p.plan.one_fewer) {
    p.page.paragraph(fmt::format("With one sire fewer: {}, {}.",
                                 sire_names(p.herd, p.table, p.plan.one_fewer->hired),
                                 less_words(p, *p.plan.one_fewer)),
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

void say_changes(const PlanPage& p, const EarlierPlan& since,
                 const std::vector<PlanChange>& changes) {
  p.page.blank();
  const std::vector<SinceWords> happened = since_words(p, since);
  if (changes.empty() && happened.empty()) {
    p.page.paragraph(
        fmt::format("Nothing has changed since the plan of {}.", printable(since.as_of)));
    return;
  }
  p.page.paragraph(fmt::format(
      "Changed since the plan of {}, which cost {}:", printable(since.as_of), p.money(since.cost)));
  for (const SinceWords& each : happened) p.page.labelled("  " + each.label, 16, each.text);
  if (changes.empty()) p.page.labelled("  sires", 16, "every doe has the sire she had then");
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
                  const SeasonPlan& plan, const PlanDates& dates, const EarlierPlan* since,
                  std::span<const WorthOfKnowing> worth) {
  Page page(out, preamble.colour);
  const PlanPage p{{herd, table, plan}, page};
  page.headline(set_aside_words(preamble) + first_words(p) + late_words(p) + health_words(p) +
                overruled_words(p) + limits_words(p) + one_unproven_words(herd, table, plan) +
                price_words(herd, table, plan));
  const std::string one_animal = one_animal_words(herd, table.one_animal);
  if (!one_animal.empty()) page.paragraph(one_animal);
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
  say_open(p, only, "Served already, beyond your limits", true);
  say_open(p, only, "Left open", false);
  say_gaps(p);
  if (since == nullptr) say_kiddings(p, dates);
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
