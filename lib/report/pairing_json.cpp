// SPDX-License-Identifier: MIT
// What is not worked out is null, never zero.
#include "pairing_json.hpp"

#include <span>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "csv.hpp"
#include "kin_parts.hpp"

namespace doewright {

namespace {

std::string_view word_of(Look look) {
  switch (look) {
    case Look::not_looked:
      return "not looked";
    case Look::clear:
      return "clear";
    case Look::found:
      return "found";
  }
  return "";
}

void write_rows(JsonWriter& json, const std::vector<Row>& rows) {
  json.key("records");
  json.begin_list();
  for (const Row row : rows) {
    json.value(std::string(file_name(row.table)) + ":" + std::to_string(row.line));
  }
  json.end_list();
}

void write_look(JsonWriter& json, std::string_view key, const LookedAt& look) {
  json.key(key);
  json.begin_object();
  json.field("looked", word_of(look.look));
  write_rows(json, look.rows);
  json.end_object();
}

void write_count(JsonWriter& json, std::string_view key, const LookCount& count) {
  json.key(key);
  json.begin_object();
  json.field_count("animals", count.animals);
  json.field_count("examined", count.examined);
  json.field_count("found", count.found);
  write_rows(json, count.rows);
  json.end_object();
}

void write_test(JsonWriter& json, const GeneTested& test) {
  json.key("gene_test");
  json.begin_object();
  json.key("copies");
  test.copies ? json.count(*test.copies) : json.null();
  write_rows(json, test.rows);
  json.end_object();
}

void write_evidence(JsonWriter& json, std::string_view key, const FaultEvidence& e) {
  json.key(key);
  json.begin_object();
  write_test(json, e.test);
  write_look(json, "own", e.own);
  write_look(json, "sire", e.sire);
  write_look(json, "dam", e.dam);
  write_count(json, "kids", e.kids);
  write_count(json, "sibs", e.sibs);
  write_count(json, "elsewhere_seen", e.elsewhere_seen);
  write_count(json, "elsewhere_told", e.elsewhere_told);
  json.end_object();
}

void write_numbers(JsonWriter& json, std::string_view key, std::span<const double> numbers) {
  json.key(key);
  json.begin_list();
  for (const double number : numbers) json.value(number);
  json.end_list();
}

void write_risk(JsonWriter& json, const Herd& herd, FaultIndex index, const PairFault& fault) {
  const KidRisk& risk = fault.risk;
  json.field("fault", herd.faults[index].key);
  json.field("affected", fault.affected);
  json.field("affected_told", fault.affected_told);
  json.field("affected_low", risk.affected_low);
  json.field("affected_high", risk.affected_high);
  json.field("affected_doe", risk.affected_doe);
  json.field("affected_buck", risk.affected_buck);
  json.field("any_in_litter", risk.any_in_litter);
  json.field("carrier", risk.carrier);
  json.field("carrier_doe", risk.carrier_doe);
  json.field("carrier_buck", risk.carrier_buck);
  json.key("grades");
  json.begin_object();
  write_numbers(json, "doe", risk.grades_doe);
  write_numbers(json, "buck", risk.grades_buck);
  json.end_object();
  json.field("cost", fault.cost);
  json.field("method", word(risk.method));
  json.field("standard_error", risk.standard_error);
  json.field("effective_draws", risk.effective_draws);
  if (risk.joint) write_numbers(json, "joint", *risk.joint);
  if (!risk.liabilities) return;
  const ParentLiabilities& parents = *risk.liabilities;
  json.field("sire_mean", parents.sire_mean);
  json.field("doe_mean", parents.doe_mean);
  json.field("sire_var", parents.sire_var);
  json.field("doe_var", parents.doe_var);
  json.field("cov", parents.cov);
  write_numbers(json, "threshold_doe", parents.threshold_doe);
  write_numbers(json, "threshold_buck", parents.threshold_buck);
  json.field("rest_var", parents.rest_var);
}

void write_money(JsonWriter& json, const SireAccount& sire, const PairingAccount& pair) {
  const PairingMoney& money = pair.money.value();
  json.field("value", money.value);
  json.field("value_per_kid", money.value_per_kid);
  json.field("settle_probability", pair.settle_probability);
  json.field("kids_per_kidding", pair.kids_per_kidding);
  json.field("doe_cost", pair.doe_cost);
  json.field("hire_cost", sire.hire_cost);
  json.key("parts");
  json.begin_object();
  json.field("kids", money.kids);
  json.field("merit", money.merit);
  json.field("inbreeding", money.inbreeding);
  json.field("faults", money.faults);
  json.field("open", money.open);
  json.field("cost", money.cost);
  json.end_object();
}

void write_chance_best(JsonWriter& json, const Herd& herd, const PairingAccount& pair) {
  json.field("chance_best", pair.chance_best);
  json.field("chance_best_se", pair.chance_best_se);
  json.field("regret", pair.regret);
  json.key("tied_with");
  json.begin_list();
  for (const Animal other : pair.tied_with) json.value(herd.ids[other]);
  json.end_list();
  if (pair.draws == 0) {
    json.field_null("draws");
    json.field_null("seed");
  } else {
    json.field_count("draws", pair.draws);
    json.field_count("seed", pair.seed);
  }
}

void write_merit(JsonWriter& json, const Herd& herd, const PairingAccount& pair) {
  json.key("merit");
  json.begin_list();
  for (const PairMerit& merit : pair.merit) {
    const Trait& trait = herd.traits[merit.trait];
    json.begin_object();
    json.field("trait", trait.key);
    json.field("sire", merit.sire);
    json.field("dam", merit.dam);
    json.field("value_keep", trait.value_keep);
    json.field("value_meat", trait.value_meat);
    json.field("sire_reliability", merit.sire_reliability);
    json.field("dam_reliability", merit.dam_reliability);
    json.end_object();
  }
  json.end_list();
}

void write_pair(JsonWriter& json, const Herd& herd, const PairingTable& table,
                const DoeAccount& doe, const PairingAccount& pair) {
  json.begin_object();
  json.field("sire", herd.ids[pair.pairing.sire]);
  json.field_count("rank", pair.rank);
  json.field("verdict", word(pair.verdict));
  write_money(json, table.sires[pair.offer], pair);
  write_readings(json, herd, pair.kid_inbreeding);
  write_common_ancestors(json, herd, pair.common_ancestors, pair.kid_inbreeding.as_recorded);
  json.field("completeness", pair.known);
  write_chance_best(json, herd, pair);
  write_merit(json, herd, pair);
  json.key("faults");
  json.begin_list();
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    json.begin_object();
    write_risk(json, herd, table.faults[f], pair.faults[f]);
    json.key("evidence");
    json.begin_object();
    write_evidence(json, "sire", table.sires[pair.offer].faults[f]);
    write_evidence(json, "doe", doe.faults[f]);
    json.end_object();
    json.end_object();
  }
  json.end_list();
  json.key("rules");
  json.begin_list();
  for (const RuleHit& hit : pair.rules) {
    json.begin_object();
    json.field("rule", hit.rule);
    json.field("verdict", word(hit.verdict));
    json.end_object();
  }
  json.end_list();
  write_sentences(json, "reasons", herd, pair.reasons);
  write_sentences(json, "questions", herd, pair.questions);
  json.end_object();
}

}  // namespace

void write_sentences(JsonWriter& json, std::string_view key, const Herd& herd,
                     const std::vector<Reason>& reasons) {
  json.key(key);
  json.begin_list();
  for (const Reason& reason : reasons) json.value(sentence(herd, reason));
  json.end_list();
}

void write_does(JsonWriter& json, const Herd& herd, const PairingTable& table) {
  json.key("does");
  json.begin_list();
  for (const DoeAccount& doe : table.does) {
    json.begin_object();
    json.field("doe", herd.ids[doe.doe.doe]);
    json.field("kids_for", word(doe.doe.kids_for));
    json.key("fate");
    json.begin_object();
    json.field("doe_kept", doe.fate.doe_kept);
    json.field("buck_kept", doe.fate.buck_kept);
    json.end_object();
    json.field("fit", word(doe.fitness.answer));
    write_sentences(json, "fit_reasons", herd, doe.fitness.reasons);
    json.key("close_at");
    json.begin_list();
    for (const std::string& price : doe.close_at) json.value(price);
    json.end_list();
    json.key("sires");
    json.begin_list();
    for (const PairingAccount& pair : doe.sires) write_pair(json, herd, table, doe, pair);
    json.end_list();
    json.end_object();
  }
  json.end_list();
}

void write_pairs_as_csv(Sink& out, const Herd& herd, const PairingTable& table) {
  CsvRow row;
  for (const char* name :
       {"doe", "sire", "rank", "verdict", "value", "kids", "merit", "inbreeding", "faults", "open",
        "cost", "kid_inbreeding", "kid_inbreeding_used", "kid_inbreeding_unknowns_as_breed",
        "kid_inbreeding_worst", "completeness", "settle_probability", "hire_cost", "chance_best"}) {
    row.text(name);
  }
  for (const FaultIndex fault : table.faults) {
    for (const char* what : {"_affected", "_low", "_high", "_carrier"}) {
      row.text(herd.faults[fault].key + what);
    }
  }
  row.text("reasons").write(out);
  for (const DoeAccount& doe : table.does) {
    for (const PairingAccount& pair : doe.sires) {
      row.text(herd.ids[doe.doe.doe]).text(herd.ids[pair.pairing.sire]);
      row.number(double(pair.rank)).text(word(pair.verdict));
      const PairingMoney& money = pair.money.value();
      row.number(money.value).number(money.kids).number(money.merit).number(money.inbreeding);
      row.number(money.faults).number(money.open).number(money.cost);
      const KidInbreeding& f = pair.kid_inbreeding;
      row.number(f.as_recorded).number(f.used).number(f.unknowns_as_breed).number(f.worst);
      row.number(pair.known).number(pair.settle_probability);
      row.number(table.sires[pair.offer].hire_cost);
      pair.chance_best ? row.number(*pair.chance_best) : row.blank();
      for (const PairFault& fault : pair.faults) {
        row.number(fault.affected).number(fault.risk.affected_low).number(fault.risk.affected_high);
        fault.risk.carrier ? row.number(*fault.risk.carrier) : row.blank();
      }
      std::string reasons;
      for (const Reason& reason : pair.reasons) {
        if (!reasons.empty()) reasons += "; ";
        reasons += sentence(herd, reason);
      }
      row.text(reasons).write(out);
    }
  }
}

}  // namespace doewright
