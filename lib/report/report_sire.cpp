// SPDX-License-Identifier: MIT
#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/report/report.hpp>
#include <doewright/report/words.hpp>

#include "cells_forms.hpp"
#include "health_words.hpp"
#include "json_writer.hpp"
#include "kin_parts.hpp"
#include "page.hpp"
#include "pairing_json.hpp"
#include "pairing_text.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void as_json(Sink& out, const Preamble& preamble, const Herd& herd, const PairingTable& table) {
  const SireAccount& sire = table.sires.front();
  JsonWriter json(out);
  begin_document(json, "doewright.sire/1", with_questions(preamble, herd, table.one_animal));
  json.key("sire");
  json.begin_object();
  json.field("id", herd.ids[sire.offer.sire]);
  json.field("age_months", sire.age_months);
  json.key("most_does");
  sire.most_does ? json.count(*sire.most_does) : json.null();
  json.key("papers_missing");
  json.begin_list();
  for (const Paper& paper : sire.papers) {
    if (paper.state == PaperState::in_order) continue;
    json.value(paper_words(paper));
  }
  json.end_list();
  json.key("positives");
  json.begin_list();
  for (const HealthPositive& positive : sire.positives) json.value(positive_words(positive));
  json.end_list();
  json.field("cost_per_litter", sire.cost_per_litter);
  json.key("infertile");
  json.begin_object();
  json.field_count("served", sire.infertile.served);
  json.field_count("returned", sire.infertile.returned);
  json.field("probability", sire.infertile.probability);
  json.field("call_fallback", sire.infertile.call_fallback);
  json.key("proved_in_kid");
  json.begin_list();
  for (const Animal doe : sire.infertile.proved_in_kid) json.value(herd.ids[doe]);
  json.end_list();
  json.end_object();
  write_sentences(json, "questions", herd, sire.questions);
  json.key("terms");
  sire.offer.terms == Terms::unknown ? json.null() : json.value(word(sire.offer.terms));
  json.field("proven", sire.proven);
  json.field("hire_cost", sire.hire_cost);
  json.field("doe_cost", sire.doe_cost);
  json.field("settle_probability", sire.settle_probability);
  json.field("known", sire.known.share);
  json.end_object();
  write_does(json, herd, table);
  json.end_object();
  json.finish();
}

/// Does proved in kid to him are named, a few of them; then nobody need be called.
std::string dud_sentence(const Herd& herd, const InfertileOdds& odds) {
  constexpr std::size_t named = 4;
  std::string text = fmt::format("Of {} {} he has served this season {} came back", odds.served,
                                 odds.served == 1 ? "doe" : "does", odds.returned);
  const std::vector<Animal>& in_kid = odds.proved_in_kid;
  if (in_kid.empty()) {
    return text + fmt::format(": {} in 100 that he settles nobody{}.",
                              fixed(100.0 * odds.probability, 0),
                              odds.call_fallback
                                  ? ": call the fallback buck now, and a veterinarian"
                                  : "");
  }
  text += "; in kid to him by a check or a kidding: ";
  for (std::size_t k = 0; k < std::min(named, in_kid.size()); ++k) {
    text += (k == 0 ? "" : ", ") + short_name(herd, in_kid[k]);
  }
  if (in_kid.size() > named) text += fmt::format(" and {} more", in_kid.size() - named);
  return text + ". He does settle does.";
}

}  // namespace

namespace {

/// What a rule of this verdict says weighs at least this much (reasons of a pair).
double weight_of_verdict(Verdict verdict) {
  return verdict == Verdict::avoid ? 99.0 : verdict == Verdict::caution ? 9.0 : 0.0;
}

}  // namespace

/// Papers, age, faults of his own side: the same for every doe.
bool is_of_him_alone(const Reason& reason, Animal sire) {
  return !reason.animals.empty() && reason.animals.front() == sire &&
         reason.code != reason::kin_parent && reason.code.substr(0, 4) != "kin." &&
         (reason.animals.size() == 1 || reason.code == reason::fault_dam ||
          reason.code == reason::fault_sire);
}

std::string sire_headline(const Herd& herd, const PairingTable& table) {
  if (table.does.empty()) return "No doe is put forward this season: list them in does.csv.";
  std::size_t go = 0, caution = 0, avoid = 0;
  for (const DoeAccount& doe : table.does) {
    switch (doe.sires.front().verdict) {
      case Verdict::go:
        ++go;
        break;
      case Verdict::caution:
        ++caution;
        break;
      case Verdict::avoid:
        ++avoid;
        break;
    }
  }
  return fmt::format("{}: go for {} of {} does, caution for {}, avoid for {}.",
                     long_name(herd, table.sires.front().offer.sire), go, table.does.size(),
                     caution, avoid);
}

void report_sire(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                 const PairingTable& table) {
  if (table.sires.size() != 1) throw UsageError("report_sire: a table of one sire is needed");
  if (format == Format::html) return sire_as_page(out, preamble, herd, table);
  if (format == Format::csv) return write_pairs_as_csv(out, herd, table);
  if (format == Format::json) return as_json(out, preamble, herd, table);

  Page page(out, preamble.colour);
  page.headline(set_aside_words(preamble) + sire_headline(herd, table) +
                past_days_words(herd, {&table.sires.front().offer, 1}));
  const InfertileOdds& odds = table.sires.front().infertile;
  if (odds.call_fallback) page.paragraph(dud_sentence(herd, odds));
  const std::string positive = positives_words(table.sires.front().positives);
  if (!positive.empty()) page.labelled("His health: ", 15, printable(positive));
  const std::string one_animal = one_animal_words(herd, table.one_animal);
  if (!one_animal.empty()) page.paragraph(one_animal);
  for (const Reason& question : table.sires.front().questions) {
    page.labelled("Ask his owner: ", 15, printable(sentence(herd, question)));
  }
  page.blank();
  std::vector<std::vector<std::string>> rows;
  for (const DoeAccount& doe : table.does) {
    const PairingAccount& pair = doe.sires.front();
    rows.push_back({short_name(herd, doe.doe.doe), std::string(word(doe.doe.kids_for)),
                    std::string(word(pair.verdict)), fixed(pair.money->value, 0),
                    percent(pair.kid_inbreeding.as_recorded, 2),
                    percent(pair.kid_inbreeding.used, 2), percent(pair.kid_inbreeding.worst, 2),
                    percent(pair.known, 0)});
  }
  page.table({{"doe", Page::Align::left, 18},
              {"kids for", Page::Align::left},
              {"verdict", Page::Align::left},
              {"worth", Page::Align::right},
              {"recorded", Page::Align::right},
              {"count on", Page::Align::right},
              {"at worst", Page::Align::right},
              {"known", Page::Align::right}},
             rows);
  const SireAccount& him = table.sires.front();
  if (him.cost_per_litter) {
    page.paragraph(fmt::format(
        "Worth: {0} a doe this season, his hire not taken off. He costs {1} {0} once and {2} {0} a doe: "
        "about {3} {0} a litter expected.",
        printable(herd.season.currency), fixed(him.hire_cost, 0), fixed(him.doe_cost, 0),
        fixed(*him.cost_per_litter, 0)));
  }
  if (him.infertile.served > 0 && !him.infertile.call_fallback) {
    page.paragraph(dud_sentence(herd, him.infertile));
  }
  page.paragraph(
      "Inbreeding of a kid in three readings: as recorded (a floor), the prudent figure to "
      "count on, and the worst that one blank could hide. Known: how much of both pedigrees "
      "to five generations.");
  page.heading("Why, doe by doe");
  for (const DoeAccount& doe : table.does) {
    const PairingAccount& pair = doe.sires.front();
    std::size_t said = 0;
    const auto say = [&](const Reason& reason) {
      page.labelled(said == 0 ? cut_to_width(short_name(herd, doe.doe.doe), 18) : "", 20,
                    printable(sentence(herd, reason)));
      ++said;
    };
    for (const Reason& reason : doe.fitness.reasons) {
      if (reason.code == reason::health_positive) say(reason);
    }
    const std::size_t most = said + 2;
    // The reason of a verdict that rests on his side alone stands here too; the others once, below.
    const double decides = weight_of_verdict(pair.verdict);
    const bool of_the_pair =
        std::any_of(pair.reasons.begin(), pair.reasons.end(), [&](const Reason& reason) {
          return reason.effect >= decides && !is_of_him_alone(reason, pair.pairing.sire);
        });
    bool his_said = pair.verdict == Verdict::go || of_the_pair;
    for (const Reason& reason : pair.reasons) {
      if (is_of_him_alone(reason, pair.pairing.sire)) {
        if (his_said || reason.effect < decides) continue;
        his_said = true;
      }
      say(reason);
      if (said == most) break;
    }
  }
  say_sires(page, herd, table, false);
  page.blank();
  page.paragraph(
      "Papers are facts of their date, no promise: a veterinarian says what they mean, local "
      "law what moving him needs. Isolate him before he meets the does.");
  say_inputs(page, preamble);
}

}  // namespace doewright
