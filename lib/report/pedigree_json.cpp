// SPDX-License-Identifier: MIT
#include "json_writer.hpp"
#include "kin_parts.hpp"
#include "pedigree_forms.hpp"
#include "pedigree_looks.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void text_or_null(JsonWriter& json, std::string_view key, std::string_view text) {
  json.key(key);
  text.empty() ? json.null() : json.value(text);
}

void day_or_null(JsonWriter& json, std::string_view key, PartialDate date) {
  text_or_null(json, key, to_text(date));
}

template <class T>
void number_or_null(JsonWriter& json, std::string_view key, const std::optional<T>& number) {
  json.key(key);
  number ? json.value(static_cast<double>(*number)) : json.null();
}

void write_row(JsonWriter& json, Row row) {
  text_or_null(json, "file", file_name(row.table));
  json.key("line");
  row.line > 0 ? json.count(row.line) : json.null();
}

void write_shared(JsonWriter& json, const Herd& herd, const PedigreeReport& report) {
  json.key("common_ancestors");
  json.begin_list();
  for (const PedigreeSharedAncestor& each : report.shared) {
    json.begin_object();
    json.key("id");
    each.ancestor ? json.value(herd.ids[*each.ancestor]) : json.null();
    json.field("contribution", each.contribution);
    json.field("share", report.inbreeding > 0.0 ? each.contribution / report.inbreeding : 0.0);
    json.field("inbreeding", each.own_inbreeding);
    json.field("beyond_chart", each.beyond_chart);
    json.key("places");
    json.begin_list();
    for (const std::size_t p : each.places) json.value(report.places[p].place);
    json.end_list();
    json.end_object();
  }
  json.end_list();
}

void write_ancestor(JsonWriter& json, const Herd& herd, const PedigreePlace& place,
                    const SireChance* held) {
  json.begin_object();
  json.field("place", place.place);
  if (held == nullptr) {
    for (const char* key : {"id", "name", "born", "sire_probability", "inbreeding"}) {
      json.field_null(key);
    }
  } else {
    json.field("id", herd.ids[held->sire]);
    text_or_null(json, "name", herd.animals.name[held->sire]);
    day_or_null(json, "born", herd.animals.born[held->sire.position]);
    json.field("sire_probability", held->probability);
    json.field("inbreeding",
               place.inbreeding.at(static_cast<std::size_t>(held - place.held.data())));
  }
  json.key("found");
  json.begin_list();
  for (const FaultIndex fault : place.found) json.value(herd.faults[fault].key);
  json.end_list();
  json.field_count("looked", place.looked);
  json.end_object();
}

void write_ancestors(JsonWriter& json, const Herd& herd, const PedigreeReport& report) {
  json.key("ancestors");
  json.begin_list();
  for (const PedigreePlace& place : report.places) {
    for (const SireChance& held : place.held) write_ancestor(json, herd, place, &held);
    if (place.held.empty()) write_ancestor(json, herd, place, nullptr);
  }
  json.end_list();
}

void write_look(JsonWriter& json, std::string_view key, const LookedAt& look, bool known) {
  json.key(key);
  known ? json.value(word(look.look)) : json.null();
}

void write_count(JsonWriter& json, std::string_view key, const LookCount& count) {
  json.key(key);
  json.begin_object();
  json.field_count("animals", count.animals);
  json.field_count("examined", count.examined);
  json.field_count("found", count.found);
  json.end_object();
}

void write_examinations(JsonWriter& json, const Herd& herd, const PedigreeReport& report) {
  json.key("examinations");
  json.begin_list();
  for (const PedigreeFault& entry : report.faults) {
    const FaultModel& fault = herd.faults[entry.fault];
    json.begin_object();
    json.field("fault", fault.key);
    write_look(json, "own", entry.own, true);
    json.key("looks");
    json.begin_list();
    for (const Examination& look : entry.looks) {
      json.begin_object();
      json.field("found", found_in_words(fault, look));
      day_or_null(json, "date", look.date);
      number_or_null(json, "age_days", look.age_days);
      text_or_null(json, "by", look.by);
      text_or_null(json, "note", look.note);
      write_row(json, look.row);
      json.end_object();
    }
    json.end_list();
    write_look(json, "sire", entry.sire, entry.sire_certain);
    write_look(json, "dam", entry.dam, entry.dam_known);
    write_count(json, "full_sibs", entry.full_sibs);
    write_count(json, "half_sibs", entry.half_sibs);
    write_count(json, "kids", entry.kids);
    write_count(json, "elsewhere_seen", entry.elsewhere_seen);
    write_count(json, "elsewhere_told", entry.elsewhere_told);
    json.end_object();
  }
  json.end_list();
}

void write_tests(JsonWriter& json, const PedigreeReport& report) {
  json.key("tests");
  json.begin_list();
  for (const PedigreeTest& test : report.tests) {
    json.begin_object();
    json.field("kind", test.fault ? "gene" : "health");
    json.field("what", test.what);
    text_or_null(json, "result", test.result);
    day_or_null(json, "date", test.date);
    number_or_null(json, "age_months", test.months);
    json.field("age", word(test.age));
    text_or_null(json, "laboratory", test.laboratory);
    write_row(json, test.row);
    json.end_object();
  }
  json.end_list();
}

void write_records(JsonWriter& json, const Herd& herd, const PedigreeReport& report) {
  json.key("records");
  json.begin_list();
  for (const PedigreeRecord& each : report.records) {
    json.begin_object();
    json.field("animal", herd.ids[each.animal]);
    json.field("trait", herd.traits[each.record.trait].key);
    json.field("value", each.record.value);
    text_or_null(json, "unit", herd.traits[each.record.trait].unit);
    day_or_null(json, "date", each.record.date);
    number_or_null(json, "age_days", each.record.age_days);
    number_or_null(json, "parity", each.record.parity);
    json.field_count("mates", each.mates);
    json.key("mates_mean");
    each.mates > 0 ? json.value(each.mates_mean) : json.null();
    write_row(json, each.record.row);
    json.end_object();
  }
  json.end_list();
}

void write_kiddings(JsonWriter& json, std::string_view key, const std::vector<Kidding>& kiddings) {
  json.key(key);
  json.begin_list();
  for (const Kidding& kidding : kiddings) {
    json.begin_object();
    day_or_null(json, "date", kidding.date);
    number_or_null(json, "kids_born", kidding.kids_born);
    number_or_null(json, "kids_alive", kidding.kids_alive);
    number_or_null(json, "kids_raised", kidding.kids_raised);
    text_or_null(json, "help", word(kidding.help));
    write_row(json, kidding.row);
    json.end_object();
  }
  json.end_list();
}

void write_texts(JsonWriter& json, std::string_view key, const std::vector<std::string>& texts) {
  json.key(key);
  json.begin_list();
  for (const std::string& text : texts) json.value(text);
  json.end_list();
}

void write_statement(JsonWriter& json, const Herd& herd, const PedigreeReport& report) {
  json.key("statement");
  json.begin_object();
  text_or_null(json, "by", seller_of(herd, report.animal));
  json.field("day", to_text(herd.as_of));
  write_texts(json, "not_known", gaps_in_words(herd, report));
  write_texts(json, "says", statement_in_words(herd, report));
  json.end_object();
}

void write_if_sire(JsonWriter& json, const Herd& herd, const PedigreeReport& report) {
  json.key("if_sire");
  json.begin_list();
  for (const PedigreeIfSire& each : report.if_sire) {
    json.begin_object();
    json.field("sire", herd.ids[each.sire.sire]);
    json.field("probability", each.sire.probability);
    json.field("inbreeding", each.inbreeding);
    json.end_object();
  }
  json.end_list();
}

}  // namespace

void pedigree_as_json(Sink& out, const Preamble& preamble, const Herd& herd,
                      const PedigreeReport& report) {
  JsonWriter json(out);
  begin_document(json, "doewright.pedigree/1", preamble);
  json.field("animal", herd.ids[report.animal]);
  json.field("generations", report.known.generations);
  json.field("inbreeding", report.inbreeding);
  json.field("completeness", report.completeness);
  json.key("known");
  json.begin_list();
  for (const double places : report.known.places) json.value(places);
  json.end_list();
  write_shared(json, herd, report);
  write_ancestors(json, herd, report);
  write_examinations(json, herd, report);
  write_tests(json, report);
  write_records(json, herd, report);
  write_statement(json, herd, report);
  json.field_count("chart_generations", static_cast<std::uint64_t>(report.chart_generations));
  text_or_null(json, "name", herd.animals.name[report.animal]);
  text_or_null(json, "sex", word(sex_or_use(herd, report.animal)));
  day_or_null(json, "born", herd.animals.born[report.animal.position]);
  write_if_sire(json, herd, report);
  json.key("readings");
  if (report.readings) {
    json.begin_object();
    write_readings(json, herd, *report.readings);
    json.end_object();
  } else {
    json.null();
  }
  write_kiddings(json, "kiddings", report.kiddings);
  write_kiddings(json, "dam_kiddings", report.dam_kiddings);
  json.field_count("kids", report.kids);
  json.field_count("possible_kids", report.possible_kids);
  json.end_object();
  json.finish();
}

}  // namespace doewright
