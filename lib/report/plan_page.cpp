// SPDX-License-Identifier: MIT
#include "plan_page.hpp"

#include <algorithm>
#include <numeric>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
#include "door_days.hpp"
#include "html_band.hpp"
#include "html_page.hpp"
#include "pedigree_forms.hpp"
#include "plan_begun.hpp"
#include "plan_gaps.hpp"
#include "plan_since.hpp"
#include "plan_words.hpp"
#include "plan_worth.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// The weaves go to the sires with most does.
std::vector<std::size_t> weaves_of(const PlanView& p) {
  std::vector<const PlannedSire*> order;
  for (const PlannedSire& sire : p.plan.hired) order.push_back(&sire);
  std::stable_sort(order.begin(), order.end(),
                   [](const auto* a, const auto* b) { return a->does > b->does; });
  std::vector<std::size_t> weave(p.table.sires.size(), threads_most);
  for (std::size_t k = 0; k < std::min(threads_most, order.size()); ++k) weave[order[k]->sire] = k;
  return weave;
}

/// One block a doe in the weave of her sire; an empty one for a doe left open.
void band_of_plan(HtmlWriter& html, const DoorPlan& p) {
  woven_band(html, p.table.does.size(), [&](std::size_t k, BandBlock block) {
    const std::optional<std::size_t> sire = p.plan.choice.sire_of_doe[k];
    if (sire && p.weave[*sire] < threads_most) {
      html.leaf("rect", {{"x", block.x},
                         {"width", block.wide},
                         {"height", band_high},
                         {"fill", "url(#weave", p.weave[*sire], ")"}});
    } else {
      const HtmlConst ground = sire ? HtmlConst("g-wool-dark") : HtmlConst("g-wool");
      html.leaf("rect", {{"x", block.x}, {"width", block.wide}, {"height", band_high}, {"class", ground}});
    }
  });
}

std::string first_upper(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  return text;
}

/// Pairs that the plan puts together although they are to be avoided, each with its reason.
void avoided_pairs(const DoorPlan& p, std::vector<std::string>& said) {
  for (const PlannedPair& pair : p.plan.pairings) {
    if (!is_avoided(p.table, p.plan, pair)) continue;
    std::string text =
        fmt::format("{} with {} is to be avoided and stands all the same: {}", p.doe(pair.doe),
                    p.sire(pair.sire), pair_words(p.herd, p.table, p.plan, pair));
    if (p.plan.question.standing[pair.doe] == DoeStanding::overruled) {
      text += least_bad_words(p, account_of(p.table, pair));
    }
    said.push_back(text + ".");
  }
}

/// The whole season on one sire with no kid of his known, and the best plan with two beside it.
void changed_since(const DoorPlan& p, const EarlierPlan* since, std::vector<std::string>& said) {
  if (since == nullptr) return;
  const auto changes = changes_since(p.herd, p.table, p.plan, *since);
  const std::vector<SinceWords> happened = since_words(p, *since);
  if (changes.empty() && happened.empty()) {
    said.push_back(fmt::format("Nothing has changed since the plan of {}.", since->as_of));
    return;
  }
  std::vector<std::string> each;
  for (const SinceWords& fact : happened) each.push_back(fact.label + ": " + fact.text);
  if (changes.empty()) each.push_back("every doe has the sire she had then");
  for (const PlanChange& change : changes) {
    const auto animal = p.herd.ids.find(change.doe);
    each.push_back(
        fmt::format("{}: {}, was: {}", animal ? short_name(p.herd, *animal) : printable(change.doe),
                    change.is_there ? place_words(p, change.now) : "no longer put forward",
                    change.was_there ? place_words(p, change.before) : "not put forward"));
  }
  std::string text = fmt::format("Changed since the plan of {}, which cost {}. ", since->as_of,
                                 p.money(since->cost));
  for (std::size_t k = 0; k < each.size(); ++k) text += (k == 0 ? "" : "; ") + each[k];
  said.push_back(text + ".");
}

void mind_first(HtmlWriter& html, const Preamble& preamble, const DoorPlan& p,
                const EarlierPlan* since) {
  std::vector<std::string> said;
  const auto add = [&](std::string_view text) {
    const std::size_t from = text.find_first_not_of(' ');
    if (from != std::string_view::npos) said.emplace_back(text.substr(from));
  };
  add(set_aside_words(preamble));
  add(late_words(p));
  add(health_words(p));
  add(one_animal_words(p.herd, p.table.one_animal));
  changed_since(p, since, said);
  add(limits_words(p));
  add(price_words(p.herd, p.table, p.plan));
  avoided_pairs(p, said);
  add(one_unproven_words(p.herd, p.table, p.plan));
  add(close_words(p));
  for (const std::string& gap : gap_words(p.herd, p.plan.gaps)) add(gap);
  if (said.empty()) return;
  const auto box = html.in("section", {{"class", "ask long"}});
  html.element("h2", "Mind first");
  const auto list = html.in("ul");
  for (const std::string& each : said) html.element("li", each);
}

void one_number(HtmlWriter& html, std::string_view title, std::string_view figure,
                std::string_view said) {
  const auto one = html.in("div");
  html.element("h2", title);
  html.element("p", {{"class", "figure"}}, figure);
  html.element("p", {{"class", "small"}}, said);
}

void in_numbers(HtmlWriter& html, const DoorPlan& p) {
  const auto part = html.in("div", {{"class", "short"}});
  double hire = 0.0, does = 0.0;
  for (const PlannedSire& sire : p.plan.hired) hire += sire.hire_cost, does += sire.doe_costs;
  one_number(html, "To pay", cell_money(p.herd, p.plan.cost),
             fmt::format("{} for sires, {} doe by doe.", fixed(hire, 0), fixed(does, 0)));
  one_number(
      html, "Worth of the season", cell_money(p.herd, money_of(p.plan.choice.objective)),
      p.plan.choice.proven_optimal ? "Costs taken off; none is worth more." : "Costs taken off.");
  one_number(html, season_begun(p) ? "Does served, or to be" : "Does to be served",
             fmt::format("{} of {}", p.plan.pairings.size(), p.table.does.size()),
             p.plan.open.empty() ? std::string("None is left open.")
                                 : fmt::format("{} left open.", p.plan.open.size()));
  const std::string when =
      p.dates.in_window
          ? fmt::format("Of them {} on the days wanted.", fixed(*p.dates.in_window, 1))
      : p.dates.weeks.empty() ? std::string("No day is left on which one could settle.")
                              : std::string("By week below.");
  one_number(html, "Kiddings expected", fixed(p.dates.expected, 1), when);
}

void fact(HtmlWriter& html, std::string_view what, std::string_view said) {
  if (said.empty()) return;
  const auto pair = html.in("div");
  html.element("dt", what);
  html.element("dd", said);
}

/// By when a hired buck must be here.
std::string apart_words(const DoorPlan& p, const SireAccount& sire) {
  if (has_served(p, sire.offer.sire)) return {};
  const std::string apart_first = apart_first_words(p.herd, sire.offer);
  if (!apart_first.empty()) return apart_first;
  const auto apart = static_cast<std::int32_t>(p.herd.season.papers.isolation_days);
  if (sire.offer.terms != Terms::hired || apart == 0 || sire.to < sire.from) return {};
  if (sire.from - apart >= p.herd.as_of) {
    return fmt::format("by {}, to be apart for {} days", door_day(sire.from - apart), apart);
  }
  return fmt::format(
      "{} days apart before his first day are no longer to be had: if he came today, from {}",
      apart, door_day(p.herd.as_of + apart));
}

std::string does_of(const DoorPlan& p, std::size_t sire) {
  std::vector<std::string> names;
  for (const PlannedPair& pair : p.plan.pairings) {
    if (pair.sire == sire) names.push_back(p.doe(pair.doe));
  }
  constexpr std::size_t named_most = 24;
  if (names.size() > named_most) return {};
  return listed_words(names);
}

std::string to_pay_words(const DoorPlan& p, const PlannedSire& planned) {
  const double all = planned.hire_cost + planned.doe_costs;
  if (all <= 0.0) return cost_words(p, planned);
  if (planned.doe_costs == 0.0 || planned.hire_cost == 0.0) return cell_money(p.herd, all);
  return fmt::format("{}: {} once, {} for the does", cell_money(p.herd, all),
                     cell_money(p.herd, planned.hire_cost), cell_money(p.herd, planned.doe_costs));
}

void sire_to_use(HtmlWriter& html, const DoorPlan& p, const PlannedSire& planned) {
  const SireAccount& sire = p.table.sires[planned.sire];
  const auto card = html.in("section", {{"class", "use"}});
  {
    const auto name = html.in("h3");
    draw_weave(html, p.weave[planned.sire]);
    html.element("span", p.sire(planned.sire));
    html.text(" ");
    std::string terms(word(sire.offer.terms));
    html.element("span", {{"class", "tag"}},
                 fmt::format("{}, {}", terms.empty() ? "terms not recorded" : terms,
                             count_words(planned.does)));
  }
  const auto list = html.in("dl", {{"class", "facts"}});
  fact(html, "his does", does_of(p, planned.sire));
  const bool stays = p.plan.question.problem.sires[planned.sire].needs_pen;
  if (sire.to >= sire.from) {
    fact(html, stays ? "with the does" : "his days",
         fmt::format("{} to {}", door_day(sire.from), door_day(sire.to)));
  }
  fact(html, "here", apart_words(p, sire));
  fact(html, "to pay", to_pay_words(p, planned));
  const std::string dud = dud_words(sire);
  if (!dud.empty()) fact(html, "mind", dud);
  const std::string open = all_open_phrase(p, planned);
  if (!open.empty()) fact(html, "all stay open", open);
  if (dud.empty()) fact(html, "so far", judged_words(sire));
  fact(html, "young", crowded_words(p, planned.sire));
  if (has_new_does(p, planned.sire) && sire.some_days_past) {
    fact(html, "mind", "does that are not with him yet count from today on");
  }
  const std::string papers = papers_words(sire);
  if (!papers.empty()) fact(html, "papers", papers);
}

void sires_to_use(HtmlWriter& html, const DoorPlan& p) {
  if (p.plan.hired.empty()) return;
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", "The sires to use");
  const auto cards = html.in("div", {{"class", "uses"}});
  for (const PlannedSire& planned : p.plan.hired) sire_to_use(html, p, planned);
}

/// The two worth most: what the page has room for.
void worth_finding_out(HtmlWriter& html, const DoorPlan& p, std::span<const WorthOfKnowing> worth) {
  if (worth.empty()) return;
  constexpr std::size_t room = 2;
  std::string text;
  for (const WorthWords& one : worth_words(p.herd, p.table, worth.first(std::min(room, worth.size())))) {
    text += (text.empty() ? "" : "; ") + one.what + " (" + one.amount + ")";
  }
  const auto section = html.in("section", {{"class", "worth"}});
  html.element("h2", "Worth finding out first");
  html.element("p", text + ".");
  html.element("p", {{"class", "t-soft key"}}, worth_caption());
}

void door_foot(HtmlWriter& html, const Preamble& preamble) {
  const auto foot = html.in("footer", {{"class", "notes small"}});
  if (!preamble.inputs.empty()) {
    const auto details = html.in("details", {{"class", "screen"}});
    html.element("summary", fmt::format("{} defaults used", preamble.inputs.size()));
    html.element("p", inputs_words(preamble) + ".");
  }
  html.element(
      "p",
      "Chances are of the figures used and promise nothing. Watch each doe 18 to 24 days "
      "after service. Keep an eye on a buck in rut, use two people and a board; health and "
      "drugs are for your veterinarian, moving animals for local law.");
  std::string assumed, defaults;
  if (!preamble.assumed.empty()) {
    assumed = "Assumed, with no source, and it decides something here: " +
              listed_words(preamble.assumed) + ".";
  }
  if (!preamble.inputs.empty()) {
    defaults =
        fmt::format("{} defaults of season.toml were used; on a screen this page lists them.",
                    preamble.inputs.size());
  }
  const auto line = html.in("p");
  html.text(assumed);
  if (defaults.empty()) return;
  html.element("span", {{"class", "paper-only"}}, " " + defaults);
}

}  // namespace

void plan_as_page(Sink& out, const Preamble& preamble, const PlanView& plan, const PlanDates& dates,
                  const EarlierPlan* since, std::span<const WorthOfKnowing> worth) {
  const DoorPlan p{plan, dates, weaves_of(plan)};
  const StripSpan span = strip_span(p);
  HtmlSheet sheet = page_sheet();
  add_door_sheet(sheet, span);
  HtmlWriter html("The season's plan", sheet);
  {
    const auto page = html.in("main", {{"class", "sheet"}});
    band_of_plan(html, p);
    {
      const auto header = html.in("header", {{"class", "head"}});
      html.element("p", {{"class", "t-soft"}},
                   "The season's plan. Records as of " + day_in_words(preamble.as_of));
      html.element("h1", first_upper(season_begun(p) ? begun_first(p) : first_words(p)));
      if (season_begun(p)) html.element("p", begun_rest(p));
    }
    mind_first(html, preamble, p, since);
    if (!p.plan.pairings.empty()) in_numbers(html, p);
    sires_to_use(html, p);
    door_pairs(html, p);
    door_rest(html, p);
    door_strip(html, p, span);
    door_weeks(html, p);
    worth_finding_out(html, p, worth);
    door_foot(html, preamble);
  }
  html.finish(out);
}

}  // namespace doewright
