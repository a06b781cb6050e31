// SPDX-License-Identifier: MIT
// Money, chances of faults and chances of being best are null until something works them out: null
// is "not worked out", never zero.
#include "pairing_json.hpp"

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "csv.hpp"
#include "kin_parts.hpp"

namespace doewright {

namespace {

constexpr std::string_view not_yet_money[] = {
    "value", "value_per_kid", "settle_probability", "kids_per_kidding", "doe_cost", "hire_cost"};
constexpr std::string_view parts[] = {"kids", "merit", "inbreeding", "faults", "open", "cost"};
constexpr std::string_view not_yet_risk[] = {
    "affected",      "affected_told", "affected_low", "affected_high", "affected_doe",
    "affected_buck", "any_in_litter", "carrier",      "carrier_doe",   "carrier_buck",
    "grades",        "cost",          "method",       "standard_error"};

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

void write_pair(JsonWriter& json, const Herd& herd, const PairingTable& table,
                const DoeAccount& doe, const PairingAccount& pair) {
  json.begin_object();
  json.field("sire", herd.ids[pair.pairing.sire]);
  json.field_count("rank", pair.rank);
  json.field("verdict", word(pair.verdict));
  for (const std::string_view key : not_yet_money) json.field_null(key);
  json.key("parts");
  json.begin_object();
  for (const std::string_view key : parts) json.field_null(key);
  json.end_object();
  write_readings(json, herd, pair.kid_inbreeding);
  write_common_ancestors(json, herd, pair.common_ancestors, pair.kid_inbreeding.as_recorded);
  json.field("completeness", pair.known);
  for (const std::string_view key : {"chance_best", "chance_best_se", "regret"})
    json.field_null(key);
  json.key("tied_with");
  json.begin_list();
  for (const Animal other : pair.tied_with) json.value(herd.ids[other]);
  json.end_list();
  json.field_null("draws");
  json.field_null("seed");
  json.key("merit");
  json.begin_list();
  json.end_list();
  json.key("faults");
  json.begin_list();
  for (std::size_t f = 0; f < table.faults.size(); ++f) {
    json.begin_object();
    json.field("fault", herd.faults[table.faults[f]].key);
    for (const std::string_view key : not_yet_risk) json.field_null(key);
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
    const Fate& fate = herd.season.fate(doe.doe.kids_for);
    json.begin_object();
    json.field("doe", herd.ids[doe.doe.doe]);
    json.field("kids_for", word(doe.doe.kids_for));
    json.key("fate");
    json.begin_object();
    // With keepers_wanted the share follows from the kids expected, which are not worked out yet.
    const bool follows =
        doe.doe.kids_for == KidsFor::keep && herd.season.keepers_wanted.has_value();
    json.field("doe_kept", follows ? std::nullopt : std::optional(fate.doe_kept));
    json.field("buck_kept", fate.buck_kept);
    json.end_object();
    json.field("fit", word(doe.fitness.answer));
    write_sentences(json, "fit_reasons", herd, doe.fitness.reasons);
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
      for (int i = 0; i < 7; ++i) row.blank();  // value and its six parts
      const KidInbreeding& f = pair.kid_inbreeding;
      row.number(f.as_recorded).number(f.used).number(f.unknowns_as_breed).number(f.worst);
      row.number(pair.known).blank().blank().blank();
      for (std::size_t i = 0; i < 4 * table.faults.size(); ++i) row.blank();
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
