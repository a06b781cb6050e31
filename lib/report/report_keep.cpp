// SPDX-License-Identifier: MIT
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/keep_reports.hpp>
#include <doewright/report/words.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

std::vector<std::string> reasons_in_words(const Herd& herd, const std::vector<Reason>& reasons) {
  std::vector<std::string> words;
  for (const Reason& each : reasons) words.push_back(printable(sentence(herd, each)));
  return words;
}

void write_texts(JsonWriter& json, std::string_view key, const std::vector<std::string>& texts) {
  json.key(key);
  json.begin_list();
  for (const std::string& text : texts) json.value(text);
  json.end_list();
}

std::string_view word(Look look) {
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

void write_kid(JsonWriter& json, const Herd& herd, const DoeKid& kid) {
  json.begin_object();
  json.field("id", herd.ids[kid.kid]);
  json.field_count("rank", kid.rank);
  json.field("value", kid.value);
  json.field("kinship_to_herd", kid.kinship_to_herd);
  json.key("faults");
  json.begin_list();
  for (const KeepFault& fault : kid.faults) {
    json.begin_object();
    const FaultModel& model = herd.faults[fault.fault];
    json.field("fault", model.key);
    json.field("look", word(fault.look));
    json.key("grade");
    fault.grade ? json.value(model.grades[*fault.grade]) : json.null();
    json.field("against", fault.speaks_against);
    json.field("shows", fault.shows);
    json.field("carries", fault.carries);
    json.field("cost", fault.cost);
    json.end_object();
  }
  json.end_list();
  json.key("closes");
  json.begin_list();
  for (const ClosedDoor& door : kid.closes) {
    json.begin_object();
    json.field("sire", herd.ids[door.sire]);
    json.field("inbreeding", door.inbreeding);
    json.end_object();
  }
  json.end_list();
  write_texts(json, "reasons", reasons_in_words(herd, kid.reasons));
  json.field("index", kid.index);
  json.field("cost", kid.cost);
  json.field("fault_found", kid.fault_found);
  json.end_object();
}

void as_json(Sink& out, const Preamble& preamble, const Herd& herd, const KeepAdvice& advice) {
  JsonWriter json(out);
  begin_document(json, "doewright.keep/1", preamble);
  json.field_count("herd_does", advice.herd_does);
  json.field("door_limit", advice.door_limit);
  json.key("kids");
  json.begin_list();
  for (const DoeKid& kid : advice.kids) write_kid(json, herd, kid);
  json.end_list();
  json.key("not_examined");
  json.begin_list();
  for (const Animal kid : advice.not_examined) json.value(herd.ids[kid]);
  json.end_list();
  json.key("leave");
  json.begin_list();
  for (const DoeToLeave& doe : advice.leave) {
    json.begin_object();
    json.field("doe", herd.ids[doe.doe]);
    write_texts(json, "reasons", reasons_in_words(herd, doe.reasons));
    json.end_object();
  }
  json.end_list();
  json.key("castrate");
  json.begin_list();
  for (const CastrateBy& kid : advice.castrate) {
    json.begin_object();
    json.field("id", herd.ids[kid.kid]);
    json.field("by", to_text(kid.by));
    json.end_object();
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, const KeepAdvice& advice) {
  out.write("id,rank,value,kinship_to_herd,reasons\n");
  CsvRow row;
  for (const DoeKid& kid : advice.kids) {
    std::string reasons;
    for (const std::string& each : reasons_in_words(herd, kid.reasons)) {
      reasons += (reasons.empty() ? "" : "; ") + each;
    }
    row.text(herd.ids[kid.kid])
        .number(kid.rank)
        .number(kid.value)
        .number(kid.kinship_to_herd)
        .text(reasons)
        .write(out);
  }
}

std::string names_of(const Herd& herd, const std::vector<Animal>& animals) {
  std::string list;
  for (const Animal each : animals) list += (list.empty() ? "" : ", ") + short_name(herd, each);
  return list;
}

/// The kids to begin with: as many as are wanted, else those with nothing found.
std::vector<Animal> first_choice(const Herd& herd, const KeepAdvice& advice) {
  std::vector<Animal> result;
  const std::size_t wanted = herd.season.keepers_wanted.value_or(advice.herd_does);
  for (const DoeKid& kid : advice.kids) {
    if (!kid.fault_found && result.size() < wanted) result.push_back(kid.kid);
  }
  return result;
}

std::string headline_of(const Herd& herd, const KeepAdvice& advice) {
  if (advice.kids.empty()) return "No doe kid to keep: none of the own herd, under 14 months.";
  std::string text = fmt::format("{} doe kid{} to choose from", advice.kids.size(),
                                 advice.kids.size() == 1 ? "" : "s");
  if (herd.season.keepers_wanted) text += fmt::format(", {} wanted", *herd.season.keepers_wanted);
  const std::vector<Animal> first = first_choice(herd, advice);
  if (first.empty()) return text + ": every one has a fault that speaks against her.";
  return text + ": begin with " + names_of(herd, first) + ".";
}

/// All from one sire: in two years no local buck fits.
std::string spread_of(const Herd& herd, const KeepAdvice& advice) {
  const std::vector<Animal> first = first_choice(herd, advice);
  if (first.size() < 2) return {};
  const auto sire = herd.pedigree.sire(first.front());
  if (!sire) return {};
  for (const Animal kid : first) {
    if (herd.pedigree.sire(kid) != sire) return {};
  }
  return fmt::format(
      "All of them are daughters of {}: keep from another sire too where you can, or he and his "
      "kin are closed to the whole new generation.",
      long_name(herd, *sire));
}

std::string signed_money(double value) {
  const std::string text = fixed(std::abs(value), 0);
  return text == "0" ? "0" : (value < 0.0 ? "-" : "+") + text;
}

std::string doors_in_words(const Herd& herd, const DoeKid& kid) {
  std::string list;
  for (const ClosedDoor& door : kid.closes) {
    list += fmt::format("{}{} {}", list.empty() ? "" : ", ", short_name(herd, door.sire),
                        percent(door.inbreeding, 1));
  }
  return list.empty() ? "none of the bucks at hand" : list;
}

void say_kids(Page& page, const Herd& herd, const KeepAdvice& advice) {
  std::vector<std::vector<std::string>> rows;
  for (const DoeKid& kid : advice.kids) {
    const auto sire = herd.pedigree.sire(kid.kid), dam = herd.pedigree.dam(kid.kid);
    rows.push_back({std::to_string(kid.rank), short_name(herd, kid.kid),
                    sire ? short_name(herd, *sire) : "?", dam ? short_name(herd, *dam) : "?",
                    signed_money(kid.value), percent(kid.kinship_to_herd, 1),
                    std::to_string(kid.closes.size()), kid.fault_found ? "fault found" : ""});
  }
  page.table({{.title = "", .align = Page::Align::right},
              {.title = "doe kid", .most = 16},
              {.title = "sire", .most = 12},
              {.title = "dam", .most = 12},
              {.title = herd.season.currency, .align = Page::Align::right, .most = 8},
              {.title = "kin", .align = Page::Align::right},
              {.title = "closes", .align = Page::Align::right},
              {.title = ""}},
             rows);
  for (const DoeKid& kid : advice.kids) {
    page.heading(fmt::format("{}. {}", kid.rank, long_name(herd, kid.kid)));
    for (const std::string& reason : reasons_in_words(herd, kid.reasons)) {
      page.paragraph("- " + reason, 2, 4);
    }
    page.paragraph("- closes the door to: " + doors_in_words(herd, kid), 2, 4);
  }
}

void say_castrate(Page& page, const Preamble& preamble, const Herd& herd,
                  const KeepAdvice& advice) {
  if (advice.castrate.empty()) return;
  page.heading("Buck kids: castrate, or part from the does");
  for (const CastrateBy& kid : advice.castrate) {
    page.labelled("  " + short_name(herd, kid.kid) + ":", 16,
                  "by " + day_in_words(kid.by) + (kid.by < preamble.as_of ? ", overdue" : ""));
  }
  page.paragraph(
      "Three months is common practice. How, when and by whom it may be done: ask your "
      "veterinarian, and follow local law.",
      2, 2);
}

void say_leave(Page& page, const Herd& herd, const KeepAdvice& advice) {
  page.heading("Does whose record says leave");
  if (advice.leave.empty()) page.paragraph("None.", 2, 2);
  for (const DoeToLeave& doe : advice.leave) {
    std::string reasons;
    for (const std::string& each : reasons_in_words(herd, doe.reasons)) {
      reasons += (reasons.empty() ? "" : "; ") + each;
    }
    page.labelled("  " + short_name(herd, doe.doe) + ":", 16, reasons);
  }
}

void as_text(Sink& out, const Preamble& preamble, const Herd& herd, const KeepAdvice& advice) {
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) + headline_of(herd, advice));
  const std::string spread = spread_of(herd, advice);
  if (!spread.empty()) page.paragraph(spread);
  if (!advice.not_examined.empty()) {
    page.paragraph(
        fmt::format("Look at first, nobody has yet: {}.", names_of(herd, advice.not_examined)));
  }
  if (!advice.kids.empty()) {
    page.blank();
    say_kids(page, herd, advice);
  }
  say_castrate(page, preamble, herd, advice);
  say_leave(page, herd, advice);
  page.blank();
  page.paragraph(fmt::format(
      "A doe kid here: own herd, living, born within 14 months, no kid yet. {}: worth above or "
      "below a faultless kid at the founders' mean, expected faults taken off; those with a fault "
      "that costs stand last. Kin: mean kinship to the {} living does of the herd, herself "
      "included. Closes: sires on offer and bucks of the family whose kids by her would be inbred "
      "{} or more.",
      printable(herd.season.currency), advice.herd_does, percent(advice.door_limit, 3)));
  page.paragraph(
      "It advises: udder, feet, temper and mothering that are not in the book are for you to "
      "judge.");
  say_inputs(page, preamble);
}

}  // namespace

void report_keep(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const KeepAdvice& advice) {
  switch (format) {
    case Format::json:
      return as_json(out, preamble, herd, advice);
    case Format::csv:
      return as_csv(out, herd, advice);
    case Format::html:
      refuse_page("keep");
    default:
      return as_text(out, preamble, herd, advice);
  }
}

}  // namespace doewright
