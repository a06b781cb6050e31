// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <cstdint>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/report/season_reports.hpp>
#include <doewright/report/words.hpp>

#include "calendar_words.hpp"
#include "csv.hpp"
#include "doe_now.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// What a young doe gains in a day: 80 to 120 g (common practice, no source).
constexpr double gains_kg[] = {0.120, 0.080};

/// Days after which a growing doe's weight says little (common practice, no source).
constexpr std::int32_t weight_is_old_after = 60;

/// "40.3 kg, 9.3 kg more: 78 to 117 days at 80 to 120 g a day".
std::string weight_needed(const DoeForward& doe, double needed, Date as_of) {
  std::string text = fixed(needed, 1) + " kg";
  if (!doe.weight_kg || *doe.weight_kg >= needed) return text;
  const double missing = needed - *doe.weight_kg;
  text += fmt::format(", {} kg more: {} to {} days at 80 to 120 g a day", fixed(missing, 1),
                      fixed(std::ceil(missing / gains_kg[0]), 0),
                      fixed(std::ceil(missing / gains_kg[1]), 0));
  if (doe.weighed.to_the_day()) {
    text += ", counted from " + to_text(doe.weighed);
    if (as_of - doe.weighed.earliest() > weight_is_old_after) text += ": weigh her again";
  }
  return text;
}

/// What a doe that waits needs by one of her reasons; empty: nothing that can be named.
std::string needed_by(const DoeReview& review, const Reason& reason, Date as_of) {
  using namespace std::string_literals;
  if (reason.code == reason::doe_weigh) return "weigh her";
  if (reason.code == reason::doe_grown_unknown) return "set grown_weight_kg";
  if (reason.code == reason::doe_light) return weight_needed(review.doe, reason.numbers.at(2), as_of);
  if (reason.code == reason::doe_thin)
    return "condition "s + fixed(reason.numbers.at(1), 1) + " at least";
  if (reason.code == reason::doe_fat)
    return "condition "s + fixed(reason.numbers.at(1), 1) + " at most";
  if (reason.code == reason::doe_rest) {
    return "from " + to_text(Date{static_cast<std::int32_t>(reason.numbers.at(2))}) + " on";
  }
  if (reason.code == reason::doe_young && review.fitness.from_day) {
    return "from " + to_text(*review.fitness.from_day) + " on";
  }
  return {};
}

std::string needs_of(const DoeReview& review, Date as_of) {
  if (review.fitness.answer != Fitness::wait) return {};
  std::string text;
  for (const Reason& reason : review.fitness.reasons) {
    const bool holds = reason.effect == static_cast<double>(Fitness::wait);
    const std::string need = holds ? needed_by(review, reason, as_of) : std::string();
    if (!need.empty()) text += (text.empty() ? "" : "; ") + need;
  }
  return text;
}

/// A doe with how she stands in the season that has begun.
struct DoeLine {
  const DoeReview& review;
  DoeNow now;
};

std::vector<DoeLine> lines_of(const Herd& herd, const DoesReview& all) {
  const Offspring offspring(herd.pedigree);
  std::vector<DoeLine> lines;
  for (const DoeReview& review : all.does) {
    lines.push_back({review, doe_now(herd, offspring, review.doe.doe)});
  }
  return lines;
}

std::string fitness_words(const Herd& herd, const DoeReview& review) {
  return printable(sentence(herd, review.fitness.reasons.front()));
}

std::string what_now(const DoeLine& line) {
  if (left_alone(line.now)) return ": leave her";
  return line.review.fitness.on_hold() ? "" : ": test her again or put her back";
}

/// Served: how she stands comes first, her fitness after it where that says more than `fit`.
std::string reason_of(const Herd& herd, const DoeLine& line) {
  const std::string fit = fitness_words(herd, line.review);
  if (line.now.is == DoeNowIs::unserved) return fit;
  const std::string text = now_words(herd, line.now) + what_now(line);
  const bool plain = line.review.fitness.reasons.front().code == reason::doe_fit;
  return plain ? text : text + "; " + fit;
}

std::string raised_words(const DoeRecord& record, const DoesReview& all) {
  return fmt::format("raised {} kids a kidding over {}: count on {} (herd {})",
                     fixed(record.raised / static_cast<double>(record.raised_known), 1),
                     record.raised_known, fixed(*record.raised_expected, 1),
                     fixed(*all.herd_raised, 1));
}

/// All that is to be said beside the reason that decides.
std::vector<std::string> remarks_of(const Herd& herd, const DoesReview& all, const DoeLine& line) {
  const DoeReview& review = line.review;
  std::vector<std::string> remarks;
  for (std::size_t i = 1; i < review.fitness.reasons.size(); ++i) {
    remarks.push_back(printable(sentence(herd, review.fitness.reasons[i])));
  }
  if (review.served && line.now.is == DoeNowIs::unserved) {
    remarks.push_back(fmt::format("already served by {} on {}",
                                  short_name(herd, review.served->sire),
                                  to_text(review.served->from)));
  }
  if (line.now.stands.quiet_on) remarks.push_back(quiet_words(herd, *line.now.stands.quiet_on));
  if (review.raising_since) {
    remarks.push_back("may still be raising the kids of " + to_text(*review.raising_since));
  }
  if (review.record.hard > 0 && review.record.hard < hard_kiddings_most) {  // more is a reason
    remarks.push_back(fmt::format("{} hard {} of {}", review.record.hard,
                                  review.record.hard == 1 ? "kidding" : "kiddings",
                                  review.record.help_known));
  }
  if (review.record.helped > review.record.hard) {
    remarks.push_back(fmt::format("some help at {} of {} kiddings",
                                  review.record.helped - review.record.hard,
                                  review.record.help_known));
  }
  if (review.left_open) {
    remarks.push_back("no kidding after her service up to " + to_text(*review.left_open));
  }
  for (const FaultIndex fault : review.shows) {
    remarks.push_back("shows " + printable(herd.faults[fault].name));
  }
  if (review.record.raised_known > 0) remarks.push_back(raised_words(review.record, all));
  return remarks;
}

void as_json(Sink& out, const Preamble& preamble, const Herd& herd, const DoesReview& all) {
  JsonWriter json(out);
  begin_document(json, "doewright.does/1", preamble);
  json.key("herd_raised");
  json.value(all.herd_raised);
  json.key("does");
  json.begin_list();
  for (const DoeLine& line : lines_of(herd, all)) {
    const DoeReview& review = line.review;
    json.begin_object();
    json.field("doe", herd.ids[review.doe.doe]);
    json.field("answer", word(review.fitness.answer));
    json.field("reason", reason_of(herd, line));
    const std::string needs = needs_of(review, herd.as_of);
    json.key("needs");
    needs.empty() ? json.null() : json.value(needs);
    json.field("kids_for", word(review.doe.kids_for));
    json.key("decision");
    review.doe.decision == Decision::none ? json.null() : json.value(word(review.doe.decision));
    json.field("first_day", to_text(review.first_day));
    json.field_count("kiddings", review.record.kiddings);
    json.key("raised_per_kidding");
    review.record.raised_known > 0
        ? json.value(review.record.raised / static_cast<double>(review.record.raised_known))
        : json.null();
    json.field("raised_expected", review.record.raised_expected);
    json.key("remarks");
    json.begin_list();
    for (const std::string& remark : remarks_of(herd, all, line)) json.value(remark);
    json.end_list();
    json.key("in_kid");
    line.now.is == DoeNowIs::unserved ? json.null() : json.value(line.now.stands.probability);
    json.end_object();
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, const DoesReview& all) {
  out.write("doe,answer,reason,needs\n");
  CsvRow row;
  for (const DoeLine& line : lines_of(herd, all)) {
    const DoeReview& review = line.review;
    row.text(herd.ids[review.doe.doe]).text(word(review.fitness.answer));
    row.text(reason_of(herd, line)).text(needs_of(review, herd.as_of)).write(out);
  }
}

/// The lists of the text, in the order in which the keeper has work with them.
enum class DoesList : std::uint8_t { back, empty, go, caution, wait, no, left_alone };

DoesList list_of(const DoeLine& line) {
  if (left_alone(line.now)) return DoesList::left_alone;
  const bool on_hold = line.review.fitness.on_hold();
  if (line.now.is == DoeNowIs::back && !on_hold) return DoesList::back;
  if (line.now.is == DoeNowIs::found_empty && !on_hold) return DoesList::empty;
  switch (line.review.fitness.answer) {
    case Fitness::go:
      return DoesList::go;
    case Fitness::caution:
      return DoesList::caution;
    case Fitness::wait:
      return DoesList::wait;
    case Fitness::no:
      break;
  }
  return DoesList::no;
}

std::size_t count_of(const std::vector<DoeLine>& lines, DoesList list) {
  return static_cast<std::size_t>(std::count_if(
      lines.begin(), lines.end(), [&](const DoeLine& line) { return list_of(line) == list; }));
}

std::string headline(const std::vector<DoeLine>& lines) {
  if (lines.empty()) return "No doe is put forward this season: list them in does.csv.";
  const auto count = [&](DoesList list) { return count_of(lines, list); };
  const std::size_t caution = count(DoesList::caution), go = count(DoesList::go) + caution;
  const std::size_t begun =
      count(DoesList::left_alone) + count(DoesList::back) + count(DoesList::empty);
  std::string text = begun == 0 ? fmt::format("{} of {} does can go to the buck", go, lines.size())
                                : fmt::format("{} of {} does {} still to be served", go,
                                              lines.size(), go == 1 ? "is" : "are");
  if (caution > 0) text += fmt::format(" ({} with caution)", caution);
  const auto add = [&](DoesList list, std::string_view words) {
    if (count(list) > 0) text += fmt::format(", {} {}", count(list), words);
  };
  add(DoesList::back, "back in heat");
  add(DoesList::empty, "found empty");
  add(DoesList::left_alone, "in kid or served and not seen back");
  add(DoesList::wait, "must wait");
  add(DoesList::no, "not this year");
  return text + ".";
}

std::string line_words(const Herd& herd, const DoesReview& all, const DoeLine& line) {
  const DoeReview& review = line.review;
  std::string text = now_words(herd, line.now);
  const auto add = [&](const std::string& part) {
    if (!part.empty()) text += (text.empty() ? "" : "; ") + part;
  };
  const std::string_view code = review.fitness.reasons.front().code;
  if (code != reason::doe_fit) add(fitness_words(herd, review));
  const bool says_so = code != reason::doe_light && code != reason::doe_young &&
                       code != reason::doe_decided;  // other reasons say what is needed
  const std::string needs = needs_of(review, herd.as_of);
  if (!says_so && !needs.empty()) add("needs " + needs);
  for (const std::string& remark : remarks_of(herd, all, line)) add(remark);
  return text.empty() ? fitness_words(herd, review) : text;
}

void say_list(Page& page, const Herd& herd, const DoesReview& all,
              const std::vector<DoeLine>& lines, DoesList list, std::string_view title) {
  if (count_of(lines, list) == 0) return;
  page.heading(title);
  for (const DoeLine& line : lines) {
    if (list_of(line) != list) continue;
    page.labelled("  " + cut_to_width(short_name(herd, line.review.doe.doe), 14), 18,
                  line_words(herd, all, line));
  }
}

}  // namespace

void report_does(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const DoesReview& review) {
  if (format == Format::html) refuse_page("does");
  if (format == Format::csv) return as_csv(out, herd, review);
  if (format == Format::json) return as_json(out, preamble, herd, review);
  Page page(out, preamble.colour);
  const std::vector<DoeLine> lines = lines_of(herd, review);
  page.headline(set_aside_words(preamble) + headline(lines));
  const auto say = [&](DoesList list, std::string_view title) {
    say_list(page, herd, review, lines, list, title);
  };
  say(DoesList::back, "Back in heat: put her to a buck again");
  say(DoesList::empty, "Found empty: test her again or put her back");
  say(DoesList::go, "Go");
  say(DoesList::caution, "Go with caution");
  say(DoesList::wait, "Wait");
  say(DoesList::no, "Not this year");
  say(DoesList::left_alone, "In kid, or served and not seen back: leave her");
  page.blank();
  page.paragraph(
      "Young does by age and weight, all by condition and rest since kidding; your own decision "
      "wins. Look besides at udder, feet, teeth and worms: the book does not know them all, and a "
      "doubtful doe is for your veterinarian.");
  say_inputs(page, preamble);
}

}  // namespace doewright
