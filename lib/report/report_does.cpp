// SPDX-License-Identifier: MIT
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/report/season_reports.hpp>
#include <doewright/report/words.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

/// What a young doe gains in a day: 80 to 120 g (common practice, no source).
constexpr double gains_kg[] = {0.120, 0.080};

/// "40.3 kg, 9.3 kg more: 78 to 117 days at 80 to 120 g a day".
std::string weight_needed(const DoeForward& doe, double needed) {
  std::string text = fixed(needed, 1) + " kg";
  if (!doe.weight_kg || *doe.weight_kg >= needed) return text;
  const double missing = needed - *doe.weight_kg;
  text += fmt::format(", {} kg more: {} to {} days at 80 to 120 g a day", fixed(missing, 1),
                      fixed(std::ceil(missing / gains_kg[0]), 0),
                      fixed(std::ceil(missing / gains_kg[1]), 0));
  if (doe.weighed.to_the_day()) text += ", counted from " + to_text(doe.weighed);
  return text;
}

/// What a doe that waits needs by one of her reasons; empty: nothing that can be named.
std::string needed_by(const DoeReview& review, const Reason& reason) {
  using namespace std::string_literals;
  if (reason.code == reason::doe_weigh) return "weigh her";
  if (reason.code == reason::doe_grown_unknown) return "set grown_weight_kg";
  if (reason.code == reason::doe_light) return weight_needed(review.doe, reason.numbers.at(2));
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

std::string needs_of(const DoeReview& review) {
  if (review.fitness.answer != Fitness::wait) return {};
  std::string text;
  for (const Reason& reason : review.fitness.reasons) {
    const bool holds = reason.effect == static_cast<double>(Fitness::wait);
    const std::string need = holds ? needed_by(review, reason) : std::string();
    if (!need.empty()) text += (text.empty() ? "" : "; ") + need;
  }
  return text;
}

std::string reason_of(const Herd& herd, const DoeReview& review) {
  return printable(sentence(herd, review.fitness.reasons.front()));
}

std::string raised_words(const DoeRecord& record, const DoesReview& all) {
  return fmt::format("raised {} kids a kidding over {}: count on {} (herd {})",
                     fixed(record.raised / static_cast<double>(record.raised_known), 1),
                     record.raised_known, fixed(*record.raised_expected, 1),
                     fixed(*all.herd_raised, 1));
}

/// All that is to be said beside the reason that decides.
std::vector<std::string> remarks_of(const Herd& herd, const DoesReview& all,
                                    const DoeReview& review) {
  std::vector<std::string> remarks;
  for (std::size_t i = 1; i < review.fitness.reasons.size(); ++i) {
    remarks.push_back(printable(sentence(herd, review.fitness.reasons[i])));
  }
  if (review.served) {
    remarks.push_back(fmt::format("already served by {} on {}",
                                  short_name(herd, review.served->sire),
                                  to_text(review.served->from)));
  }
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
  for (const DoeReview& review : all.does) {
    json.begin_object();
    json.field("doe", herd.ids[review.doe.doe]);
    json.field("answer", word(review.fitness.answer));
    json.field("reason", reason_of(herd, review));
    const std::string needs = needs_of(review);
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
    for (const std::string& remark : remarks_of(herd, all, review)) json.value(remark);
    json.end_list();
    json.end_object();
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, const DoesReview& all) {
  out.write("doe,answer,reason,needs\n");
  CsvRow row;
  for (const DoeReview& review : all.does) {
    row.text(herd.ids[review.doe.doe]).text(word(review.fitness.answer));
    row.text(reason_of(herd, review)).text(needs_of(review)).write(out);
  }
}

std::size_t count_of(const DoesReview& all, Fitness answer) {
  std::size_t count = 0;
  for (const DoeReview& review : all.does) count += review.fitness.answer == answer ? 1 : 0;
  return count;
}

std::string headline(const DoesReview& all) {
  if (all.does.empty()) return "No doe is put forward this season: list them in does.csv.";
  const std::size_t go = count_of(all, Fitness::go), caution = count_of(all, Fitness::caution);
  const std::size_t wait = count_of(all, Fitness::wait), no = count_of(all, Fitness::no);
  std::string text = fmt::format("{} of {} does can go to the buck", go + caution, all.does.size());
  if (caution > 0) text += fmt::format(" ({} with caution)", caution);
  if (wait > 0) text += fmt::format(", {} must wait", wait);
  if (no > 0) text += fmt::format(", {} not this year", no);
  return text + ".";
}

void say_list(Page& page, const Herd& herd, const DoesReview& all, Fitness answer,
              std::string_view title) {
  if (count_of(all, answer) == 0) return;
  page.heading(title);
  for (const DoeReview& review : all.does) {
    if (review.fitness.answer != answer) continue;
    std::string text;
    const auto add = [&](const std::string& part) {
      if (!part.empty()) text += (text.empty() ? "" : "; ") + part;
    };
    const std::string_view code = review.fitness.reasons.front().code;
    if (code != reason::doe_fit) add(reason_of(herd, review));
    const bool says_so = code != reason::doe_light && code != reason::doe_young &&
                         code != reason::doe_decided;  // other reasons say what is needed
    const std::string needs = needs_of(review);
    if (!says_so && !needs.empty()) add("needs " + needs);
    for (const std::string& remark : remarks_of(herd, all, review)) add(remark);
    if (text.empty()) text = reason_of(herd, review);
    page.labelled("  " + cut_to_width(short_name(herd, review.doe.doe), 14), 18, text);
  }
}

}  // namespace

void report_does(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const DoesReview& review) {
  if (format == Format::html) refuse_page("does");
  if (format == Format::csv) return as_csv(out, herd, review);
  if (format == Format::json) return as_json(out, preamble, herd, review);
  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) + headline(review));
  say_list(page, herd, review, Fitness::go, "Go");
  say_list(page, herd, review, Fitness::caution, "Go with caution");
  say_list(page, herd, review, Fitness::wait, "Wait");
  say_list(page, herd, review, Fitness::no, "Not this year");
  page.blank();
  page.paragraph(
      "Young does by age and weight, all by condition and rest since kidding; your own decision "
      "wins. Look besides at udder, feet, teeth and worms: the book does not know them all, and a "
      "doubtful doe is for your veterinarian.");
  say_inputs(page, preamble);
}

}  // namespace doewright
