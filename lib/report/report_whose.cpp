// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/timing_reports.hpp>
#include <doewright/report/words.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// The one chance per heat, if all exposures have the same.
std::optional<double> common_conception(const WhoseKid& kid) {
  if (kid.exposures.empty()) return std::nullopt;
  for (const ExposureUsed& used : kid.exposures) {
    if (used.conception != kid.exposures.front().conception) return std::nullopt;
  }
  return kid.exposures.front().conception;
}

void write_exposure(JsonWriter& json, const Herd& herd, const ExposureUsed& used) {
  json.begin_object();
  json.field("sire", herd.ids[used.sire]);
  json.field("from", to_text(used.from));
  json.field("to", to_text(used.to));
  json.key("how");
  used.how == ServiceHow::unknown ? json.null() : json.value(word(used.how));
  json.field("conception", used.conception);
  json.field("infertile", used.infertile);
  json.end_object();
}

void write_kid(JsonWriter& json, const Herd& herd, const WhoseKid& kid) {
  json.begin_object();
  json.field("kid", herd.ids[kid.kid]);
  json.key("dam");
  kid.dam ? json.value(herd.ids[*kid.dam]) : json.null();
  json.key("kidding_day");
  kid.kidding_day ? json.value(to_text(*kid.kidding_day)) : json.null();
  json.key("gestation");
  json.begin_list();
  json.value(kid.gestation.mean);
  json.value(kid.gestation.sd);
  json.end_list();
  json.field("conception", common_conception(kid));
  json.key("exposures");
  json.begin_list();
  for (const ExposureUsed& used : kid.exposures) write_exposure(json, herd, used);
  json.end_list();
  json.key("sires");
  json.begin_list();
  for (const KidSire& sire : kid.sires) {
    json.begin_object();
    json.field("sire", herd.ids[sire.sire]);
    json.field("probability", sire.probability);
    json.end_object();
  }
  json.end_list();
  json.field("unrecorded", kid.unrecorded);
  json.end_object();
}

void as_csv(Sink& out, const Herd& herd, std::span<const WhoseKid> kids) {
  out.write("kid,sire,probability\n");
  CsvRow row;
  for (const WhoseKid& kid : kids) {
    for (const KidSire& sire : kid.sires) {
      row.text(herd.ids[kid.kid]).text(herd.ids[sire.sire]).number(sire.probability).write(out);
    }
    row.text(herd.ids[kid.kid]).blank().number(kid.unrecorded).write(out);
  }
}

std::string verdict(const Herd& herd, const WhoseKid& kid) {
  if (!kid.dam) return "her dam is not recorded: no service can be looked up";
  if (!kid.kidding_day) return "the day of birth is not recorded: dates cannot tell";
  if (kid.exposures.empty()) return "no service of the dam is recorded in the year before";
  const KidSire& first = kid.sires.front();
  if (first.probability >= 0.95) return "by " + long_name(herd, first.sire);
  if (first.probability >= 0.80) return "probably by " + long_name(herd, first.sire);
  if (kid.unrecorded > first.probability) return "by a service nobody wrote down, as it seems";
  if (kid.sires.size() > 1) {
    return fmt::format("by {} or {}: dates do not settle it", long_name(herd, first.sire),
                       long_name(herd, kid.sires[1].sire));
  }
  return "by " + long_name(herd, first.sire) + " or a service nobody wrote down";
}

void say_kid(Page& page, const Herd& herd, const WhoseKid& kid) {
  page.heading(long_name(herd, kid.kid));
  std::string born;
  if (kid.kidding_day) born = ", born " + day_in_words(*kid.kidding_day);
  if (kid.dam) born += " to " + long_name(herd, *kid.dam);
  page.paragraph(verdict(herd, kid) + born + ".");
  for (const ExposureUsed& used : kid.exposures) {
    page.labelled("  with her: ", 12,
                  fmt::format("{}, {}", long_name(herd, used.sire),
                              used.seen ? "served " + to_text(used.from)
                                        : to_text(used.from) + " to " + to_text(used.to)));
  }
  for (const KidSire& sire : kid.sires) {
    page.labelled("  chance:   ", 12,
                  fmt::format("{} {}", percent(sire.probability, 1), long_name(herd, sire.sire)));
  }
  if (!kid.exposures.empty()) {
    page.labelled("  chance:   ", 12,
                  fmt::format("{} a service nobody wrote down", percent(kid.unrecorded, 1)));
  }
}

}  // namespace

void report_whose(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                  std::span<const WhoseKid> kids) {
  if (format == Format::csv) return as_csv(out, herd, kids);
  if (format == Format::json) {
    JsonWriter json(out);
    begin_document(json, "doewright.whose/1", preamble);
    json.key("kids");
    json.begin_list();
    for (const WhoseKid& kid : kids) write_kid(json, herd, kid);
    json.end_list();
    json.end_object();
    return json.finish();
  }
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) +
                (kids.empty() ? std::string("No kid has an uncertain sire and a dam with services.")
                              : fmt::format("{} kid{} by dates, not by DNA.", kids.size(),
                                            kids.size() == 1 ? "" : "s")));
  for (const WhoseKid& kid : kids) say_kid(page, herd, kid);
  page.blank();
  page.paragraph(
      "Dates cannot tell bucks of one heat apart, and litter mates can have different sires; DNA "
      "settles it. Nothing is written into the book: put the chances into possible_sires.csv "
      "yourself.");
  say_inputs(page, preamble);
}

}  // namespace doewright
