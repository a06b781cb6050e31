// SPDX-License-Identifier: MIT
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/one_animal.hpp>
#include <doewright/pedigree/lineage.hpp>
#include <doewright/report/report.hpp>
#include <doewright/report/words.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "kin_parts.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

double relationship(const KinResult& r) {
  return 2.0 * r.kinship;
}

double wright_relationship(const KinResult& r) {
  return 2.0 * r.kinship / std::sqrt((1.0 + r.inbreeding_a) * (1.0 + r.inbreeding_b));
}

void write_places(JsonWriter& json, std::string_view key, const Known& known) {
  json.key(key);
  json.begin_list();
  for (const double places : known.places) json.value(places);
  json.end_list();
}

void write_path(JsonWriter& json, const Herd& herd, const Path& path) {
  json.begin_object();
  json.key("ancestor");
  path.ancestor ? json.value(herd.ids[*path.ancestor]) : json.null();
  json.key("animals");
  json.begin_list();
  for (const Animal animal : path.animals) json.value(herd.ids[animal]);
  json.end_list();
  json.field("contribution", path.contribution);
  json.end_object();
}

void as_json(Sink& out, const Preamble& preamble, const Herd& herd, const KinResult& r) {
  JsonWriter json(out);
  begin_document(json, "doewright.kin/1", preamble);
  json.field("a", herd.ids[r.a]);
  json.field("b", herd.ids[r.b]);
  json.field("kinship", r.kinship);
  json.field("additive_relationship", relationship(r));
  json.field("wright_relationship", wright_relationship(r));
  json.field("inbreeding_a", r.inbreeding_a);
  json.field("inbreeding_b", r.inbreeding_b);
  json.field("kid_inbreeding", r.kid.as_recorded);
  json.field("kid_inbreeding_unknowns_as_breed", r.kid.unknowns_as_breed);
  json.field("kid_inbreeding_worst", r.kid.worst);
  json.field("worst_all_settled", r.kid.worst_all_settled);
  json.field("kid_inbreeding_used", r.kid.used);
  json.field("unknowns_by", word(r.kid.unknowns_by));
  json.field("breed_inbreeding", r.kid.breed_inbreeding);
  json.field("unknown_kinship", r.unknown_kinship);
  json.key("worst_assumes");
  json.begin_list();
  for (const Assumption& a : r.kid.worst_assumes) {
    json.begin_object();
    json.field("animal", herd.ids[a.animal]);
    json.field("parent", a.parent == ParentRole::sire ? "sire" : "dam");
    json.field("taken_as", herd.ids[a.taken_as]);
    json.end_object();
  }
  json.end_list();
  write_common_ancestors(json, herd, r.why.ancestors, r.kinship);
  json.key("paths");
  json.begin_list();
  for (const Path& path : r.why.paths) write_path(json, herd, path);
  json.end_list();
  json.field("paths_total", r.why.paths_total);
  json.field_count("paths_shown", r.why.paths.size());
  json.field("paths_left_out", r.why.paths_left_out);
  json.key("completeness");
  json.begin_object();
  json.field("a", r.known_a.share);
  json.field("b", r.known_b.share);
  json.field("both", r.known_pair);
  write_places(json, "known_a", r.known_a);
  write_places(json, "known_b", r.known_b);
  json.field("generations_a", r.known_a.generations);
  json.field("generations_b", r.known_b.generations);
  json.end_object();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, const KinResult& r) {
  out.write("a,b,kinship,kid_inbreeding,ancestor,contribution,share\n");
  CsvRow row;
  const auto begin = [&]() -> CsvRow& {
    return row.text(herd.ids[r.a]).text(herd.ids[r.b]).number(r.kinship).number(r.kid.as_recorded);
  };
  if (r.why.ancestors.empty()) begin().blank().blank().blank().write(out);
  for (const AncestorShare& each : r.why.ancestors) {
    begin()
        .text(each.ancestor ? herd.ids[*each.ancestor] : std::string_view())
        .number(each.contribution)
        .number(r.kinship > 0.0 ? each.contribution / r.kinship : 0.0)
        .write(out);
  }
}

void say_why(Page& page, const Herd& herd, const KinResult& r) {
  page.heading("What makes it");
  if (r.why.ancestors.empty()) {
    page.paragraph(
        "No common ancestor is in the book. That is not the same as unrelated: see below "
        "how much is known.");
    return;
  }
  std::vector<std::vector<std::string>> rows;
  for (const AncestorShare& each : r.why.ancestors) {
    std::string of_a = "-", of_b = "-";
    if (each.ancestor) {
      of_a = place_in_words(place_of(herd.pedigree, r.a, *each.ancestor).value_or(""));
      of_b = place_in_words(place_of(herd.pedigree, r.b, *each.ancestor).value_or(""));
    }
    rows.push_back({each.ancestor ? long_name(herd, *each.ancestor) : "a sire not on the list",
                    of_a, of_b, percent(each.contribution, 2),
                    percent(r.kinship > 0.0 ? each.contribution / r.kinship : 0.0, 0)});
  }
  page.table({{"common ancestor", Page::Align::left, 24},
              {"of " + short_name(herd, r.a), Page::Align::left, 18},
              {"of " + short_name(herd, r.b), Page::Align::left, 18},
              {"adds", Page::Align::right},
              {"share", Page::Align::right}},
             rows);
  page.blank();
  page.paragraph("Paths, from one up to the common ancestor (in brackets) and down to the other:");
  for (const Path& path : r.why.paths) {
    std::string text;
    for (const Animal animal : path.animals) {
      if (!text.empty()) text += " - ";
      const std::string name = short_name(herd, animal);
      text += path.ancestor == animal ? "[" + name + "]" : name;
    }
    page.labelled(pad_left(percent(path.contribution, 3), 10) + "  ", 12, text);
  }
  const double more = r.why.paths_total - static_cast<double>(r.why.paths.size());
  if (more > 0.5) {
    page.paragraph(fmt::format("{} more {} worth {} together", fixed(more, 0),
                               more < 1.5 ? "path" : "paths", percent(r.why.paths_left_out, 2)),
                   2, 2);
  }
}

void say_known(Page& page, const Herd& herd, const KinResult& r) {
  page.heading("What it rests on: ancestors known, by generation");
  const auto row = [&](Animal animal, const Known& known) -> std::vector<std::string> {
    return {long_name(herd, animal), places_in_words(known), percent(known.share, 0),
            fixed(known.generations, 2)};
  };
  page.table({{"", Page::Align::left, 26},
              {"parents, grandparents, ...", Page::Align::left},
              {"known", Page::Align::right},
              {"generations", Page::Align::right}},
             {row(r.a, r.known_a), row(r.b, r.known_b)});
}

void as_text(Sink& out, const Preamble& preamble, const Herd& herd, const KinResult& r,
             const std::string& one_animal) {
  Page page(out, preamble.colour);
  page.headline(fmt::format("{}{} and {}: {}. A kid of theirs: {} inbred as recorded; count on {}.",
                            set_aside_words(preamble), long_name(herd, r.a), long_name(herd, r.b),
                            closeness_in_words(r.kinship), percent(r.kid.as_recorded, 2),
                            percent(r.kid.used, 2)));
  if (!one_animal.empty()) page.paragraph(one_animal);
  page.heading("Inbreeding of a kid, four readings of what is not recorded");
  page.labelled(pad_left(percent(r.kid.as_recorded, 2), 10) + "  ", 12,
                "as recorded: a floor, blanks count as unrelated");
  page.labelled(pad_left(percent(r.kid.unknowns_as_breed, 2), 10) + "  ", 12,
                r.kid.unknowns_by == UnknownsBy::breed
                    ? fmt::format("blanks as close as the breed on average ({})",
                                  percent(r.kid.breed_inbreeding, 2))
                    : fmt::format("blanks as close as animals of their breed and birth year on "
                                  "average ({})",
                                  percent(r.kid.breed_inbreeding, 2)));
  page.labelled(
      pad_left(percent(r.kid.used, 2), 10) + "  ", 12,
      fmt::format("count on this: the sire's unknown part as close as {} (first cousins are "
                  "6.25 %)",
                  percent(r.unknown_kinship, 2)));
  const std::string assumes = assumes_in_words(herd, r.kid);
  page.labelled(pad_left(percent(r.kid.worst, 2), 10) + "  ", 12,
                "at worst" + (assumes.empty() ? ": no blank that matters" : ", " + assumes));
  say_why(page, herd, r);
  say_known(page, herd, r);
  page.blank();
  page.paragraph(
      fmt::format("Kinship {}, additive relationship {}, Wright's relationship {}; "
                  "inbreeding of {} {}, of {} {}.",
                  fixed(r.kinship, 6), fixed(relationship(r), 6), fixed(wright_relationship(r), 6),
                  long_name(herd, r.a), percent(r.inbreeding_a, 2), long_name(herd, r.b),
                  percent(r.inbreeding_b, 2)));
  page.paragraph(
      "Ask: is the pedigree complete, with nobody left out? An ancestor left out cannot be "
      "seen here.");
  say_inputs(page, preamble);
}

}  // namespace

void report_kin(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                const KinResult& result) {
  std::vector<Reason> questions;
  if (result.a != result.b && format != Format::csv) {
    questions = each_once(ask_if_one_animal(herd, {&result.a, 1}, {&result.b, 1}));
  }
  switch (format) {
    case Format::json:
      return as_json(out, with_questions(preamble, herd, questions), herd, result);
    case Format::csv:
      return as_csv(out, herd, result);
    case Format::text:
      return as_text(out, preamble, herd, result, one_animal_words(herd, questions));
    case Format::html:
      refuse_page("kin");
  }
}

void report_kin_pairs(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                      std::span<const KinPair> pairs) {
  if (format == Format::html) refuse_page("kin");
  if (format == Format::json) {
    JsonWriter json(out);
    begin_document(json, "doewright.kin_pairs/1", preamble);
    json.key("pairs");
    json.begin_list();
    for (const KinPair& pair : pairs) {
      json.begin_object();
      json.field("a", herd.ids[pair.a]);
      json.field("b", herd.ids[pair.b]);
      json.field("kinship", pair.kinship);
      json.end_object();
    }
    json.end_list();
    json.end_object();
    json.finish();
    return;
  }
  // Many pairs are for a program or a spreadsheet: text is the same table as CSV.
  out.write("a,b,kinship\n");
  CsvRow row;
  for (const KinPair& pair : pairs) {
    row.text(herd.ids[pair.a]).text(herd.ids[pair.b]).number(pair.kinship).write(out);
  }
}

}  // namespace doewright
