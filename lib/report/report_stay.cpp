// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/season_reports.hpp>
#include <doewright/report/words.hpp>
#include <doewright/timing/offer.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// The day by which a hired buck must be here, to be apart before he meets the does.
std::optional<Date> here_by(const Herd& herd, const SireOffer& offer, const StayAdvice& advice) {
  const auto apart = static_cast<std::int32_t>(herd.season.papers.isolation_days);
  const bool comes = advice.why != NoStayWhy::no_stay && advice.why != NoStayWhy::gone;
  if (!comes || offer.terms != Terms::hired || apart == 0) return {};
  return first_day_of_stay(herd, offer) - apart;
}

std::string here_words(const Herd& herd, const SireOffer& offer, const StayAdvice& advice) {
  const auto by = here_by(herd, offer, advice);
  const std::uint32_t apart = herd.season.papers.isolation_days;
  if (!by) return {};
  const std::string first = to_text(first_day_of_stay(herd, offer));
  if (*by >= herd.as_of) {
    return fmt::format(" Here by {}, to be apart for {} days before he meets the does on {}.", to_text(*by),
                       apart, first);
  }
  if (first_day_of_stay(herd, offer) < herd.as_of) return {};  // he is with them
  return fmt::format(
      " {} days apart before he meets the does on {} are no longer to be had: if he came today, from {}.",
      apart, first, to_text(herd.as_of + static_cast<std::int32_t>(apart)));
}

void as_json(Sink& out, const Preamble& preamble, const Herd& herd, const SireOffer& offer,
             const StayAdvice& advice) {
  JsonWriter json(out);
  begin_document(json, "doewright.stay/1", preamble);
  json.field("sire", herd.ids[offer.sire]);
  json.key("recommended_why");
  advice.why == NoStayWhy::none ? json.null() : json.value(word(advice.why));
  json.field_count("does_counted", advice.does);
  json.field("gain", advice.gain);
  json.field("doe_costs", advice.doe_costs);
  json.key("no_later_than");
  advice.no_later_than ? json.value(to_text(*advice.no_later_than)) : json.null();
  json.key("here_by");
  const auto by = here_by(herd, offer, advice);
  by ? json.value(to_text(*by)) : json.null();
  json.key("stays");
  json.begin_list();
  for (const StayChoice& stay : advice.stays) {
    const StayLength& length = stay.length;
    json.begin_object();
    json.field_count("days", static_cast<std::uint64_t>(length.days));
    json.field("to", to_text(length.to));
    json.field("settled", length.settled);
    json.field("open_expected", length.open_expected);
    json.key("last_due");
    length.last_due ? json.value(to_text(*length.last_due)) : json.null();
    json.field("cost", length.cost);
    json.field("recommended", stay.recommended);
    json.field("offered", length.offered);
    json.field("worth", stay.worth);
    json.field("worth_of_a_day", stay.per_day);
    json.end_object();
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const StayAdvice& advice) {
  out.write("days,to,settled,open_expected,last_due,cost,recommended,worth,worth_of_a_day\n");
  CsvRow row;
  for (const StayChoice& stay : advice.stays) {
    const StayLength& length = stay.length;
    row.number(length.days).text(to_text(length.to)).number(length.settled);
    row.number(length.open_expected);
    length.last_due ? row.text(to_text(*length.last_due)) : row.blank();
    row.number(length.cost).text(stay.recommended ? "true" : "false");
    row.number(stay.worth).number(stay.per_day).write(out);
  }
}

std::string count_of(std::size_t does) {
  return does == 1 ? std::string("1 doe") : fmt::format("{} does", does);
}

/// Why no length is marked; begins a sentence.
std::string none_words(const StayAdvice& advice) {
  switch (advice.why) {
    case NoStayWhy::none:
    case NoStayWhy::no_stay:
    case NoStayWhy::gone:
      break;
    case NoStayWhy::no_day:
      return "No length is recommended: his stay has no day.";
    case NoStayWhy::no_doe:
      return "No length is recommended: no doe is to be put to him.";
    case NoStayWhy::no_gain:
      return fmt::format("No length pays: he costs more than the litters of {} bring.",
                         count_of(advice.does));
  }
  return {};
}

/// What a day more would do.
std::string_view end_words(const StayAdvice& advice, const StayChoice& best) {
  if (advice.no_later_than == best.length.to) return "would run past your kidding window";
  if (best.length.days >= longest_stay && &best == &advice.stays.back()) {
    return "was not looked at";
  }
  return "costs more than it brings";
}

std::string headline(const Herd& herd, const SireOffer& offer, const StayAdvice& advice) {
  const std::string name = long_name(herd, offer.sire);
  if (advice.why == NoStayWhy::no_stay) {
    return fmt::format("{} is on offer as {}: no stay to choose a length for.", name,
                       word(offer.terms));
  }
  if (advice.why == NoStayWhy::gone) {
    const std::optional<Date> left = day_he_left(herd, offer.sire);
    return fmt::format("{} has left{}: his stay is over.", name,
                       left ? " on " + to_text(*left) : std::string());
  }
  const auto best = std::find_if(advice.stays.begin(), advice.stays.end(),
                                 [](const StayChoice& stay) { return stay.recommended; });
  if (best == advice.stays.end()) return fmt::format("{}: {}", name, none_words(advice));
  const StayLength& length = best->length;
  return fmt::format(
      "{}: keep him {} days, to {}. Of the {} that may go to him {} settle and {} stay open; a day "
      "more {}.",
      name, length.days, to_text(length.to), count_of(advice.does), percent(length.settled, 0),
      fixed(static_cast<double>(advice.does) * (1.0 - length.settled), 1),
      end_words(advice, *best));
}

std::string offered_words(const Herd& herd, const StayAdvice& advice) {
  double best = 0.0;
  const StayChoice* offered = nullptr;
  for (const StayChoice& stay : advice.stays) {
    if (stay.recommended) best = stay.worth;
    if (stay.length.offered) offered = &stay;
  }
  if (advice.why != NoStayWhy::none || offered == nullptr || offered->recommended) return {};
  const double less = best - offered->worth;
  const std::string money = fixed(std::abs(less), 0) + " " + printable(herd.season.currency);
  if (std::abs(less) < 0.5) {
    return fmt::format(" The {} days on offer are worth the same to the nearest whole.",
                       offered->length.days);
  }
  return fmt::format(" The {} days on offer are worth {} {}.", offered->length.days, money,
                     less > 0.0 ? "less" : "more, but run past your kidding window");
}

std::string mark_of(const StayChoice& stay) {
  if (stay.recommended) return stay.length.offered ? "<- keep, as offered" : "<- keep him";
  return stay.length.offered ? "offered" : "";
}

void say_table(Page& page, const Herd& herd, const StayAdvice& advice) {
  std::vector<std::vector<std::string>> rows;
  for (const StayChoice& stay : advice.stays) {
    const StayLength& length = stay.length;
    rows.push_back({std::to_string(length.days), to_text(length.to), percent(length.settled, 1),
                    fixed(length.open_expected, 1),
                    length.last_due ? to_text(*length.last_due) : std::string("-"),
                    fixed(length.cost, 0), stay.per_day ? fixed(*stay.per_day, 2) : "-",
                    mark_of(stay)});
  }
  using Align = Page::Align;
  page.blank();
  page.table({{"days", Align::right},
              {"to", Align::left},
              {"settled", Align::right},
              {"open", Align::right},
              {"last due", Align::left},
              {"cost", Align::right},
              {"a day", Align::right},
              {"", Align::left}},
             rows);
  page.blank();
  page.paragraph(fmt::format(
      "Money in {}. A day: what each day since the row above brings in litters, less what he costs "
      "a day and the risk of losing him, for the {} that may go to him ({} a doe settled rather "
      "than open). That another buck could serve them is not in it.",
      printable(herd.season.currency), count_of(advice.does),
      advice.does == 0 ? "0" : fixed(advice.gain / static_cast<double>(advice.does), 0)));
  page.paragraph(
      "Settled: chance of a doe, heats of 21 days that vary; an infertile buck would leave all of "
      "them open at once. Open: of all does put forward. Last due: 95 in 100 kiddings are over by "
      "then. A sum left blank in "
      "sires.csv counts as nothing.");
}

}  // namespace

void report_stay(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const SireOffer& offer, const StayAdvice& advice) {
  if (format == Format::json) return as_json(out, preamble, herd, offer, advice);
  if (format == Format::csv) return as_csv(out, advice);
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) + headline(herd, offer, advice) +
                offered_words(herd, advice) + here_words(herd, offer, advice) + past_days_words(herd, {&offer, 1}));
  if (!advice.stays.empty()) say_table(page, herd, advice);
  say_inputs(page, preamble);
}

}  // namespace doewright
