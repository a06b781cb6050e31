// SPDX-License-Identifier: MIT
#include <doewright/core/text.hpp>
#include <doewright/report/keep_reports.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "owner_words.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// Empty where every kidding lacks the number.
std::optional<double> written(const KidTally& tally, std::uint32_t kiddings) {
  if (kiddings > 0 && tally.not_recorded == kiddings) return std::nullopt;
  return tally.kids;
}

double looked_at_for(const OwnerReport& report, FaultIndex fault) {
  for (const OwnerLook& look : report.looks) {
    if (look.fault == fault) return look.examined;
  }
  return 0.0;
}

std::string_view word(HisBy by) {
  switch (by) {
    case HisBy::recorded:
      return "recorded";
    case HisBy::possible:
      return "possible";
    case HisBy::served_alone:
      return "served alone";
    case HisBy::shared:
      return "shared";
  }
  return "";
}

void write_day(JsonWriter& json, std::string_view key, PartialDate day) {
  json.key(key);
  day.known() ? json.value(to_text(day)) : json.null();
}

void write_findings(JsonWriter& json, const Herd& herd, const OwnerReport& report) {
  json.key("found");
  json.begin_list();
  for (const OwnerFinding& finding : report.findings) {
    json.begin_object();
    json.field("fault", herd.faults[finding.fault].key);
    json.field("grade", grade_found(herd, finding));
    json.field("count", finding.count);
    json.field("examined", looked_at_for(report, finding.fault));
    json.end_object();
  }
  json.end_list();
}

void write_looks(JsonWriter& json, const Herd& herd, const OwnerReport& report) {
  json.key("looked_at");
  json.begin_list();
  for (const OwnerLook& look : report.looks) {
    json.begin_object();
    json.field("fault", herd.faults[look.fault].key);
    json.field("examined", look.examined);
    json.field("found", look.found);
    json.end_object();
  }
  json.end_list();
}

void write_put(JsonWriter& json, const Herd& herd, const PutToHim& put) {
  json.begin_object();
  json.field("doe", herd.ids[put.doe]);
  write_day(json, "from", put.from);
  write_day(json, "to", put.to);
  json.field("tested", put.tested);
  json.field("found_in_kid", put.found_in_kid);
  json.field("found_empty", put.found_empty);
  json.field("settled", put.settled);
  json.field("too_early", put.too_early);
  json.field("kidded", put.kidded);
  write_day(json, "kidding", put.kidding);
  json.key("share");
  put.kidded ? json.value(put.share) : json.null();
  json.key("by");
  put.kidded ? json.value(word(put.by)) : json.null();
  json.key("other_sires");
  json.begin_list();
  for (const Animal buck : put.other_bucks) json.value(herd.ids[buck]);
  json.end_list();
  json.field("born", put.born);
  json.field("alive", put.alive);
  json.field("raised", put.raised);
  json.end_object();
}

void as_json(Sink& out, const Preamble& preamble, const Herd& herd, const OwnerReport& report,
             const OwnerWords& words) {
  JsonWriter json(out);
  begin_document(json, "doewright.owner/1", preamble);
  json.field("sire", herd.ids[report.sire]);
  json.field_count("served", report.served);
  json.field_count("tested", report.tested);
  json.field_count("settled", report.settled);
  json.field_count("kidded", report.kidded);
  json.field("born", written(report.born, report.kidded));
  json.field("alive", written(report.alive, report.kidded));
  json.field("raised", written(report.raised, report.kidded));
  json.field("examined", report.examined);
  write_findings(json, herd, report);
  json.field("not_examined", report.not_examined);
  json.field_count("served_not_written", report.not_written);
  json.field_count("too_early", report.too_early);
  json.field_count("two_bucks", report.two_bucks);
  json.field_count("born_not_recorded", report.born.not_recorded);
  json.field_count("alive_not_recorded", report.alive.not_recorded);
  json.field_count("raised_not_recorded", report.raised.not_recorded);
  json.field("kids", report.kids);
  json.field("possible_kids", report.possible_kids);
  json.field("doe_kids", report.doe_kids);
  json.field("buck_kids", report.buck_kids);
  json.field("intersex_kids", report.intersex_kids);
  json.key("now");
  json.begin_object();
  json.field("here", report.here);
  json.field("sold", report.sold);
  json.field("slaughtered", report.slaughtered);
  json.field("died", report.died);
  json.field("other", report.left_otherwise);
  json.end_object();
  write_looks(json, herd, report);
  json.key("notes");
  json.begin_list();
  for (const std::string& note : words.notes) json.value(note);
  json.end_list();
  json.key("does");
  json.begin_list();
  for (const PutToHim& put : report.put) write_put(json, herd, put);
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, const OwnerReport& report) {
  out.write("sire,served,tested,settled,kidded,born,alive,raised,examined,fault,grade,count\n");
  CsvRow row;
  const auto begin = [&] {
    row.text(herd.ids[report.sire])
        .number(report.served)
        .number(report.tested)
        .number(report.settled)
        .number(report.kidded)
        .number(written(report.born, report.kidded))
        .number(written(report.alive, report.kidded))
        .number(written(report.raised, report.kidded))
        .number(report.examined);
  };
  for (const OwnerLook& look : report.looks) {
    bool any = false;
    for (const OwnerFinding& finding : report.findings) {
      if (finding.fault != look.fault) continue;
      any = true;
      begin();
      row.text(herd.faults[look.fault].key)
          .text(grade_found(herd, finding))
          .number(finding.count)
          .write(out);
    }
    if (any) continue;
    begin();
    row.text(herd.faults[look.fault].key).blank().number(0.0).write(out);
  }
  if (!report.looks.empty()) return;
  begin();
  row.blank().blank().blank().write(out);
}

void text_table(Page& page, const OwnerTable& table, const std::vector<std::size_t>& most) {
  std::vector<Page::Column> columns;
  for (std::size_t c = 0; c < table.titles.size(); ++c) {
    columns.push_back({.title = table.titles[c], .most = most[c]});
  }
  page.table(columns, table.rows, 2);
}

void as_text(Sink& out, const Preamble& preamble, const OwnerWords& words) {
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) + words.title + ": " + words.headline);
  page.paragraph(words.worst);
  page.paragraph(words.dates);
  page.heading("Counts");
  text_table(page, words.counts, {20, 12, 42});
  page.heading("Kids looked at, fault by fault");
  if (words.looks.rows.empty()) {
    page.paragraph("No kid of his was looked at for a fault.", 2, 2);
  } else {
    text_table(page, words.looks, {30, 22, 9, 13});
  }
  page.heading("Doe by doe (born/alive/raised)");
  if (words.does.rows.empty()) {
    page.paragraph("No doe was put to him in this herd book.", 2, 2);
  }
  for (const auto& cells : words.does.rows) {
    page.labelled("  " + cells[0] + ":", 16,
                  cells[1] + "; " + cells[2] + (cells[3] == "-" ? "" : "; " + cells[3]));
  }
  page.heading("Not in the herd book");
  for (const std::string& line : words.not_known) page.line("  " + line + " ____________________");
  page.blank();
  for (const std::string& note : words.notes) page.paragraph(note);
}

}  // namespace

void report_owner(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                  const OwnerReport& report) {
  if (format == Format::csv) return as_csv(out, herd, report);
  const OwnerWords words = owner_words(herd, report);
  switch (format) {
    case Format::json:
      return as_json(out, preamble, herd, report, words);
    case Format::html:
      return owner_as_page(out, preamble, report, words);
    default:
      return as_text(out, preamble, words);
  }
}

}  // namespace doewright
