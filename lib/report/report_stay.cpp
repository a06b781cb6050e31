// SPDX-License-Identifier: MIT
#include <algorithm>

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

void as_json(Sink& out, const Preamble& preamble, const Herd& herd, const SireOffer& offer,
             std::span<const StayLength> lengths) {
  JsonWriter json(out);
  begin_document(json, "doewright.stay/1", preamble);
  json.field("sire", herd.ids[offer.sire]);
  json.key("stays");
  json.begin_list();
  for (const StayLength& length : lengths) {
    json.begin_object();
    json.field_count("days", static_cast<std::uint64_t>(length.days));
    json.field("to", to_text(length.to));
    json.field("settled", length.settled);
    json.field("open_expected", length.open_expected);
    json.key("last_due");
    length.last_due ? json.value(to_text(*length.last_due)) : json.null();
    json.field("cost", length.cost);
    json.field_null("recommended");
    json.field("offered", length.offered);
    json.end_object();
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, std::span<const StayLength> lengths) {
  out.write("days,to,settled,open_expected,last_due,cost,recommended\n");
  CsvRow row;
  for (const StayLength& length : lengths) {
    row.number(length.days).text(to_text(length.to)).number(length.settled);
    row.number(length.open_expected);
    length.last_due ? row.text(to_text(*length.last_due)) : row.blank();
    row.number(length.cost).blank().write(out);
  }
}

std::string headline(const Herd& herd, const SireOffer& offer, std::span<const StayLength> lengths,
                     std::size_t does) {
  const std::string name = long_name(herd, offer.sire);
  if (lengths.empty()) {
    return fmt::format("{} is on offer as {}: no stay to choose a length for.", name,
                       word(offer.terms));
  }
  const auto offered = std::find_if(lengths.begin(), lengths.end(),
                                    [](const StayLength& length) { return length.offered; });
  if (offered == lengths.end()) return fmt::format("{}: his stay has no day.", name);
  return fmt::format("{}: {} days with {} does settle {} of them, {} stay open.", name,
                     offered->days, does, percent(offered->settled, 0),
                     fixed(offered->open_expected, 1));
}

}  // namespace

void report_stay(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const SireOffer& offer, std::span<const StayLength> lengths, std::size_t does) {
  if (format == Format::json) return as_json(out, preamble, herd, offer, lengths);
  if (format == Format::csv) return as_csv(out, lengths);
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) + headline(herd, offer, lengths, does));
  if (!lengths.empty()) {
    page.blank();
    std::vector<std::vector<std::string>> rows;
    for (const StayLength& length : lengths) {
      rows.push_back({std::to_string(length.days), to_text(length.to), percent(length.settled, 1),
                      fixed(length.open_expected, 1),
                      length.last_due ? to_text(*length.last_due) : std::string("-"),
                      fixed(length.cost, 2), length.offered ? "offered" : ""});
    }
    using Align = Page::Align;
    page.table({{"days", Align::right},
                {"to", Align::left},
                {"settled", Align::right},
                {"open", Align::right},
                {"last due", Align::left},
                {"cost " + printable(herd.season.currency), Align::right},
                {"", Align::left}},
               rows);
    page.blank();
    page.paragraph(
        "Settled: chance of a doe, heats of 21 days that vary; an infertile buck would leave all "
        "of "
        "them open at once. Last due: 95 in 100 kiddings are over by then. Which length pays is "
        "not "
        "worked out here. A sum left blank in sires.csv counts as nothing.");
  }
  say_inputs(page, preamble);
}

}  // namespace doewright
