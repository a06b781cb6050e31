// SPDX-License-Identifier: MIT
#include <cmath>

#include "json_writer.hpp"
#include "plan_gaps.hpp"
#include "plan_since.hpp"
#include "plan_words.hpp"
#include "plan_worth.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void whole_or_null(JsonWriter& json, const std::optional<std::int64_t>& number) {
  number ? json.whole(*number) : json.null();
}

template <class T>
void field_whole(JsonWriter& json, std::string_view name, const std::optional<T>& number) {
  json.key(name);
  number ? json.whole(static_cast<std::int64_t>(*number)) : json.null();
}

void field_day(JsonWriter& json, std::string_view name, const std::optional<Date>& day) {
  json.key(name);
  day ? json.value(to_text(*day)) : json.null();
}

std::string_view id_of(const Herd& herd, const PairingTable& table, std::size_t sire) {
  return herd.ids[table.sires[sire].offer.sire];
}

void field_sire(JsonWriter& json, std::string_view name, const Herd& herd,
                const PairingTable& table, const std::optional<std::size_t>& sire) {
  json.key(name);
  sire ? json.value(id_of(herd, table, *sire)) : json.null();
}

void field_sires(JsonWriter& json, std::string_view name, const Herd& herd,
                 const PairingTable& table, const std::vector<std::size_t>& sires) {
  json.key(name);
  json.begin_list();
  for (const std::size_t sire : sires) json.value(id_of(herd, table, sire));
  json.end_list();
}

void write_problem_sires(JsonWriter& json, const Herd& herd, const PairingTable& table,
                         const PlanProblem& problem) {
  json.key("sires");
  json.begin_list();
  for (std::size_t s = 0; s < problem.sires.size(); ++s) {
    const PlanSire& sire = problem.sires[s];
    json.begin_object();
    json.field("sire", id_of(herd, table, s));
    json.key("hire_cost");
    json.whole(sire.hire_cost);
    field_whole(json, "most_does", sire.most_does);
    json.field("own", sire.own);
    json.field("needs_pen", sire.needs_pen);
    field_day(json, "from", sire.from);
    field_day(json, "to", sire.to);
    json.end_object();
  }
  json.end_list();
}

void write_problem(JsonWriter& json, const Herd& herd, const PairingTable& table,
                   const SeasonProblem& question) {
  const PlanProblem& problem = question.problem;
  json.key("problem");
  json.begin_object();
  write_problem_sires(json, herd, table, problem);
  json.key("does");
  json.begin_list();
  for (std::size_t d = 0; d < problem.does.size(); ++d) {
    json.begin_object();
    json.field("doe", herd.ids[table.does[d].doe.doe]);
    json.field("may_be_open", problem.does[d].may_be_open);
    field_sire(json, "locked", herd, table, problem.does[d].locked);
    json.end_object();
  }
  json.end_list();
  const auto write_grid = [&](std::string_view name, const auto& write_cell) {
    json.key(name);
    json.begin_list();
    for (std::size_t d = 0; d < problem.does.size(); ++d) {
      json.begin_list();
      for (std::size_t s = 0; s < problem.sires.size(); ++s) write_cell(d, s);
      json.end_list();
    }
    json.end_list();
  };
  write_grid("values", [&](auto d, auto s) { whole_or_null(json, problem.values(d, s)); });
  json.key("open_values");
  json.begin_list();
  for (const auto& value : problem.open_values) whole_or_null(json, value);
  json.end_list();
  write_grid("doe_costs", [&](auto d, auto s) { json.whole(question.doe_costs(d, s)); });
  field_whole(json, "max_hired", problem.max_hired);
  field_whole(json, "pens", problem.pens);
  field_whole(json, "hire_budget", problem.hire_budget);
  json.end_object();
}

void write_hired(JsonWriter& json, const Herd& herd, const PairingTable& table,
                 const SeasonPlan& plan) {
  json.key("hired");
  json.begin_list();
  for (const PlannedSire& sire : plan.hired) {
    json.begin_object();
    json.field("sire", id_of(herd, table, sire.sire));
    json.field_count("does", sire.does);
    json.field("hire_cost", sire.hire_cost);
    json.field("all_open_probability", sire.all_open_probability);
    json.field("all_open_loss", sire.all_open_loss);
    json.field("doe_costs", sire.doe_costs);
    json.field("crowded_days", sire.crowded_days);
    json.end_object();
  }
  json.end_list();
}

void write_places(JsonWriter& json, const Herd& herd, const PairingTable& table,
                  const SeasonPlan& plan) {
  json.key("pairings");
  json.begin_list();
  for (const PlannedPair& pair : plan.pairings) {
    const PairingAccount& account = account_of(table, pair);
    json.begin_object();
    json.field("doe", herd.ids[account.pairing.doe]);
    json.field("sire", herd.ids[account.pairing.sire]);
    json.field("value", account.money->value);
    json.field("settle_probability", account.settle_probability);
    field_sire(json, "fallback", herd, table, pair.fallback);
    json.field("verdict", word(account.verdict));
    json.field("standing", word(plan.question.standing[pair.doe]));
    json.field("reason", pair_words(herd, table, plan, pair));
    json.key("in_kid");
    pair.in_kid ? json.value(pair.in_kid->probability) : json.null();
    json.field("may_have_stopped_cycling", pair.in_kid && pair.in_kid->quiet_on.has_value());
    json.end_object();
  }
  json.end_list();
  json.key("open");
  json.begin_list();
  for (const OpenDoe& open : plan.open) {
    json.begin_object();
    json.field("doe", herd.ids[table.does[open.doe].doe.doe]);
    json.field("reason", open_words(herd, table, plan, open));
    json.field("why", word(open.why));
    field_sire(json, "best", herd, table, open.best);
    json.end_object();
  }
  json.end_list();
}

void write_choice(JsonWriter& json, const Herd& herd, const PairingTable& table,
                  const PlanChoice& choice) {
  json.begin_object();
  field_sires(json, "hired", herd, table, choice.hired);
  json.key("objective");
  json.whole(choice.objective);
  json.field("proven_optimal", choice.proven_optimal);
  json.end_object();
}

void write_around(JsonWriter& json, const Herd& herd, const PairingTable& table,
                  const SeasonPlan& plan) {
  json.key("alternatives");
  json.begin_list();
  for (const PlanChoice& other : plan.alternatives) write_choice(json, herd, table, other);
  json.end_list();
  json.key("one_fewer");
  plan.one_fewer ? write_choice(json, herd, table, *plan.one_fewer) : json.null();
  json.key("beyond_limits");
  if (plan.beyond) {
    json.begin_object();
    json.key("limit");
    plan.beyond->limit ? json.value(word(*plan.beyond->limit)) : json.null();
    field_sires(json, "hired", herd, table, plan.beyond->choice.hired);
    json.key("objective");
    json.whole(plan.beyond->choice.objective);
    json.end_object();
  } else {
    json.null();
  }
  json.field("on_one_unproven", plan.on_one_unproven);
  json.key("with_two");
  plan.with_two ? write_choice(json, herd, table, *plan.with_two) : json.null();
  json.key("limit_costs");
  json.begin_list();
  for (const LimitCost& limit : plan.limit_costs) {
    json.begin_object();
    json.field("limit", word(limit.limit));
    json.field("cost", money_of(limit.cost));
    json.field("proven", limit.proven);
    json.end_object();
  }
  json.end_list();
  json.key("too_close");
  json.begin_list();
  for (const PriceCall& call : plan.price_calls) {
    json.begin_object();
    json.field("price", call.price);
    json.key("prices");
    json.begin_list();
    for (const std::string& price : call.prices) json.value(price);
    json.end_list();
    json.field("factor", call.factor);
    field_sires(json, "hired", herd, table, call.hired);
    json.end_object();
  }
  json.end_list();
  write_gaps(json, herd, plan.gaps);
  json.field("feasible", plan.choice.feasible);
  json.key("in_the_way");
  json.begin_list();
  for (const PlanLimit limit : plan.choice.in_the_way) json.value(word(limit));
  json.end_list();
}

void write_dates(JsonWriter& json, const Herd& herd, const PairingTable& table,
                 const PlanDates& dates) {
  json.key("kiddings");
  json.begin_object();
  json.field("expected", dates.expected);
  json.field("in_window", dates.in_window);
  json.key("does");
  json.begin_list();
  for (const PlannedDoeDates& doe : dates.does) {
    json.begin_object();
    json.field("doe", herd.ids[table.does[doe.doe].doe.doe]);
    json.field("served", doe.served);
    json.field("kids", doe.kids);
    const auto point = [&](const Date DueWindow::*which) {
      return doe.due ? std::optional<Date>((*doe.due).*which) : std::nullopt;
    };
    field_day(json, "due_low", point(&DueWindow::low));
    field_day(json, "due", point(&DueWindow::middle));
    field_day(json, "due_high", point(&DueWindow::high));
    json.end_object();
  }
  json.end_list();
  json.key("weeks");
  json.begin_list();
  for (const KiddingWeek& week : dates.weeks) {
    json.begin_object();
    json.field("from", to_text(week.monday));
    json.field("expected", week.expected);
    json.end_object();
  }
  json.end_list();
  json.end_object();
}

void write_changes(JsonWriter& json, const PlanView& p, const std::vector<PlanChange>& changes,
                   const EarlierPlan& since) {
  json.key("changes");
  json.begin_object();
  json.field("since", since.as_of);
  json.field("cost_before", since.cost);
  json.key("hired_before");
  json.begin_list();
  for (const std::string& sire : since.hired) json.value(sire);
  json.end_list();
  json.key("does");
  json.begin_list();
  for (const PlanChange& change : changes) {
    json.begin_object();
    json.field("doe", change.doe);
    json.field("before", change.before);
    json.field("now", change.now);
    json.field("was_there", change.was_there);
    json.field("is_there", change.is_there);
    json.end_object();
  }
  json.end_list();
  json.key("objective_before");
  since.objective ? json.whole(std::llround(*since.objective * 1e6)) : json.null();
  json.key("happened");
  json.begin_list();
  for (const SinceFact& fact : facts_since(p, since)) {
    json.begin_object();
    json.field("doe", p.herd.ids[fact.doe]);
    json.field("date", to_text(fact.date));
    json.field("what", word(fact.what));
    json.key("sire");
    fact.sire ? json.value(p.herd.ids[*fact.sire]) : json.null();
    json.end_object();
  }
  json.end_list();
  json.end_object();
}

}  // namespace

void plan_as_json(Sink& out, const Preamble& preamble, const Herd& herd, const PairingTable& table,
                  const SeasonPlan& plan, const PlanDates& dates, const EarlierPlan* since,
                  std::span<const WorthOfKnowing> worth) {
  JsonWriter json(out);
  begin_document(json, "doewright.plan/1", with_questions(preamble, herd, table.one_animal));
  write_problem(json, herd, table, plan.question);
  json.key("objective");
  json.whole(plan.choice.objective);
  json.key("gap");
  json.whole(plan.choice.gap);
  json.field("proven_optimal", plan.choice.proven_optimal);
  write_hired(json, herd, table, plan);
  json.field("cost", plan.cost);
  write_places(json, herd, table, plan);
  write_around(json, herd, table, plan);
  write_worth(json, herd, table, worth);
  write_dates(json, herd, table, dates);
  if (since != nullptr) {
    write_changes(json, {herd, table, plan}, changes_since(herd, table, plan, *since), *since);
  }
  json.end_object();
  json.finish();
}

}  // namespace doewright
