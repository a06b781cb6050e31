// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "cells_forms.hpp"
#include "door_days.hpp"
#include "html_page.hpp"
#include "pairing_text.hpp"
#include "plan_begun.hpp"
#include "plan_page.hpp"
#include "plan_words.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// What is said of pairs, each sentence once, with the number by which the table points at it.
class DoorNotes {
 public:
  std::size_t number_of(const std::string& text) {
    const auto found = std::find(said_.begin(), said_.end(), text);
    if (found != said_.end()) return static_cast<std::size_t>(found - said_.begin()) + 1;
    said_.push_back(text);
    return said_.size();
  }
  const std::vector<std::string>& said() const { return said_; }

 private:
  std::vector<std::string> said_;
};

HtmlConst row_class(Verdict verdict) {
  if (verdict == Verdict::caution) return "stitched";
  return verdict == Verdict::avoid ? HtmlConst("hatched") : HtmlConst("plain");
}

/// "caution, note 2; level with Alder".
std::string mind_words(const DoorPlan& p, const PlannedPair& pair, DoorNotes& notes) {
  const PairingAccount& account = account_of(p.table, pair);
  std::string text;
  const auto add = [&](std::string_view more) {
    if (!more.empty()) text += (text.empty() ? "" : "; ") + std::string(more);
  };
  if (account.verdict != Verdict::go) {
    add(word(account.verdict));
  } else if (p.table.does[pair.doe].fitness.answer == Fitness::caution) {
    add(word(Verdict::caution));
  }
  const std::string why = pair_words(p.herd, p.table, p.plan, pair);
  if (!why.empty()) {
    text += fmt::format("{}note {}", text.empty() ? "" : ", ", notes.number_of(why));
  }
  switch (p.plan.question.standing[pair.doe]) {
    case DoeStanding::locked:
      add("set by you");
      break;
    case DoeStanding::served:
      add(note_of(p, pair));
      break;
    case DoeStanding::overruled:
      add("overruled");
      break;
    default:
      if (!account.tied_with.empty()) {
        std::vector<std::string> level;
        for (const Animal sire : account.tied_with) level.push_back(short_name(p.herd, sire));
        constexpr std::size_t named_most = 2;
        add("level with " + (level.size() > named_most ? fmt::format("{} others", level.size())
                                                       : listed_words(level)));
      }
  }
  return text;
}

/// The day she was served, where the book has it; else room to write it down.
std::string served_day(const DoorPlan& p, const PlannedPair& pair) {
  const auto& service = p.plan.question.served[pair.doe];
  return service && service->from.known() ? to_text(service->from) : std::string();
}

class PairTable {
 public:
  explicit PairTable(HtmlWriter& html) : html_(html) {}
  void cell(std::string_view column, std::string_view said, HtmlConst look) {
    const auto cell = html_.in("td", {{"role", "cell"}, {"class", look}});
    name(column);
    html_.text(said);
  }
  void name(std::string_view column) {
    html_.element("span", {{"class", "column"}, {"aria-hidden", "true"}},
                  std::string(column) + ": ");
  }

 private:
  HtmlWriter& html_;
};

void pair_row(HtmlWriter& html, const DoorPlan& p, const PlannedPair& pair, DoorNotes& notes) {
  const PairingAccount& account = account_of(p.table, pair);
  const auto row = html.in("tr", {{"role", "row"}});
  PairTable table(html);
  html.element("th",
               {{"scope", "row"}, {"role", "rowheader"}, {"class", row_class(account.verdict)}},
               p.doe(pair.doe));
  table.cell("kids for", word(p.table.does[pair.doe].doe.kids_for), "");
  {
    const auto cell = html.in("td", {{"role", "cell"}, {"class", "to"}});
    table.name("goes to");
    draw_weave(html, p.weave[pair.sire]);
    html.element("strong", p.sire(pair.sire));
  }
  table.cell("worth", fixed(account.money->value, 0), "num");
  table.cell("inbreeding", percent(account.kid_inbreeding.used, 1), "num");
  table.cell("settles", settles_words(p, pair), "num");
  table.cell("if he fails", fallback_words(p, pair, "nobody"), "");
  table.cell("mind", mind_words(p, pair, notes), "");
  table.cell("served on", served_day(p, pair), "by-hand");
}

void open_does(HtmlWriter& html, const DoorPlan& p, std::string_view title, bool served) {
  std::vector<std::vector<std::string>> rows;
  for (const OpenDoe& open : p.plan.open) {
    if (served_beyond_limits(p.plan, open) != served) continue;
    rows.push_back({p.doe(open.doe), open_words(p.herd, p.table, p.plan, open)});
  }
  if (rows.empty()) return;
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", title);
  html_table(html, "", {"doe", "why"}, rows);
}

void left_open(HtmlWriter& html, const DoorPlan& p) {
  open_does(html, p, "Served already, beyond your limits", true);
  open_does(html, p, "Left open", false);
}

void other_plans(HtmlWriter& html, const DoorPlan& p) {
  std::vector<std::vector<std::string>> rows;
  for (const PlanChoice& other : p.plan.alternatives) {
    rows.push_back({sire_names(p.herd, p.table, other.hired), less_words(p, other)});
  }
  if (p.plan.one_fewer) {
    rows.push_back({"one sire fewer: " + sire_names(p.herd, p.table, p.plan.one_fewer->hired),
                    less_words(p, *p.plan.one_fewer)});
  }
  if (rows.empty()) return;
  const auto section = html.in("section");
  html.element("h2", "Other plans");
  html_table(html, "", {"with", "worth"}, rows);
}

void limits_cost(HtmlWriter& html, const DoorPlan& p) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> nothing;
  for (const LimitCost& limit : p.plan.limit_costs) {
    const double cost = money_of(limit.cost);
    if (cost < 0.5) {
      nothing.push_back(limit_words(p.herd, limit.limit));
    } else {
      rows.push_back({limit_words(p.herd, limit.limit), cell_money(p.herd, cost)});
    }
  }
  if (!nothing.empty()) rows.push_back({listed_words(nothing), "nothing"});
  if (rows.empty()) return;
  const auto section = html.in("section");
  html.element("h2", "What your limits cost");
  html_table(html, "", {"each by itself", "costs"}, rows);
}

}  // namespace

void door_pairs(HtmlWriter& html, const DoorPlan& p) {
  if (p.plan.pairings.empty()) return;
  const auto section = html.in("section", {{"class", "long"}});
  html.element("h2", "Who goes to whom");
  DoorNotes notes;
  {
    const auto table = html.in("table", {{"class", "folds pairs"}, {"role", "table"}});
    html.element("caption", {{"class", "unseen"}}, "Each doe with her sire and her fallback");
    {
      const auto head = html.in("thead", {{"role", "rowgroup"}});
      const auto row = html.in("tr", {{"role", "row"}});
      const auto title = [&](std::string_view said, HtmlConst look) {
        html.element("th", {{"scope", "col"}, {"role", "columnheader"}, {"class", look}}, said);
      };
      title("doe", "");
      title("kids for", "");
      title("goes to", "");
      title("worth", "num");
      title("inbreeding", "num");
      title("settles", "num");
      title("if he fails", "");
      title("mind", "");
      title("served on", "by-hand");
    }
    const auto body = html.in("tbody", {{"role", "rowgroup"}});
    for (const PlannedPair& pair : p.plan.pairings) pair_row(html, p, pair, notes);
  }
  {
    const auto list = html.in("ol", {{"class", "said"}});
    for (const std::string& each : notes.said()) html.element("li", each + ".");
  }
  html.element(
      "p", {{"class", "small t-soft"}},
      fmt::format(
          "Worth: {} a doe this season, hire not taken off. Inbreeding: of a kid, to count "
          "on. Settles: in 100{}. {} Level "
          "with: no real difference, take either. A dashed edge is caution, a striped one "
          "avoid.",
          printable(p.herd.season.currency),
          season_begun(p) ? " by the end of his stay; of a doe served already, in kid as of today"
                          : "",
          fallback_legend()));
}

void door_rest(HtmlWriter& html, const DoorPlan& p) {
  constexpr std::size_t beside_most = 10;  // more does left open stand across the page
  const bool beside = p.plan.open.size() <= beside_most;
  if (!beside) left_open(html, p);
  const auto three = html.in("div", {{"class", "beside"}});
  if (beside) left_open(html, p);
  other_plans(html, p);
  limits_cost(html, p);
}

}  // namespace doewright
