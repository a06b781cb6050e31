// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/report.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr double enough_reliability = 0.30;  // DEFINITIONS 6

std::string_view word(MeritRemark remark) {
  switch (remark) {
    case MeritRemark::no_records:
      return "no-records";
    case MeritRemark::no_variance:
      return "no-variance";
    case MeritRemark::correlations_apart:
      return "correlations-apart";
    case MeritRemark::nearly_one:
      return "nearly-one";
    case MeritRemark::not_converged:
      return "not-converged";
  }
  return "";
}

std::string sentence(const MeritNote& note, const std::string& trait) {
  switch (note.remark) {
    case MeritRemark::no_records:
      return fmt::format("There is no record of {}.", trait);
    case MeritRemark::no_variance:
      return fmt::format(
          "The heritability or the deviation of {} is 0: no animal differs from another.", trait);
    case MeritRemark::correlations_apart:
      return fmt::format(
          "The correlations of {} with other traits cannot hold beside the maternal ones: they "
          "were "
          "left out.",
          trait);
    case MeritRemark::nearly_one:
      return fmt::format("A correlation of 1 or -1 of {} was taken as 0.999 of that.", trait);
    case MeritRemark::not_converged:
      return fmt::format(
          "The equations of {} were not solved to the end: the values are not final.", trait);
  }
  return {};
}

bool little_information(const MeritFit::Value& value) {
  return value.reliability < enough_reliability || (value.recorded && !value.linked);
}

/// Calls with every fit and trait, in the order of the fits.
template <class Call>
void for_traits(const MeritResult& result, Call&& call) {
  for (const MeritFit& fit : result.fits) {
    for (const TraitIndex trait : fit.traits()) call(fit, trait);
  }
}

/// Highest first; values are rounded to whole millionths, ties go by id.
std::vector<std::size_t> order_by(const Herd& herd, std::span<const Animal> animals,
                                  const std::vector<double>& values) {
  std::vector<std::size_t> order(animals.size());
  std::vector<double> rounded(values.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    order[i] = i;
    rounded[i] = std::round(values[i] * 1e6);
  }
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    if (rounded[a] != rounded[b]) return rounded[a] > rounded[b];
    return herd.ids[animals[a]] < herd.ids[animals[b]];
  });
  return order;
}

void trait_table(Page& page, const Herd& herd, const MeritResult& result, const MeritFit& fit,
                 TraitIndex index) {
  const Trait& trait = herd.traits[index];
  const auto values = fit.of(result.animals, index);
  std::vector<double> numbers;
  for (const MeritFit::Value& value : values) numbers.push_back(value.breeding_value);
  const std::string unit = trait.unit.empty() ? "" : ", " + printable(trait.unit);
  page.heading(fmt::format("{}{} ({} record{})", printable(trait.name), unit, fit.records(index),
                           fit.records(index) == 1 ? "" : "s"));
  std::vector<std::vector<std::string>> rows;
  for (const std::size_t i : order_by(herd, result.animals, numbers)) {
    rows.push_back({long_name(herd, result.animals[i]), fixed(values[i].breeding_value, 2),
                    fixed(values[i].reliability, 2),
                    little_information(values[i]) ? "little information" : ""});
  }
  page.table({{"animal", Page::Align::left, 32},
              {"breeding value", Page::Align::right},
              {"reliability", Page::Align::right},
              {"", Page::Align::left}},
             rows);
  std::size_t alone = 0;
  for (const FixedEstimate& each : fit.effects()) {
    if (each.trait == index && each.effect != "mean" && each.records == 1) ++alone;
  }
  if (alone > 0) {
    page.paragraph(
        fmt::format("{} {} a single record, which says nothing of its animal.", alone,
                    alone == 1 ? "level of a fixed effect holds" : "levels of fixed effects hold"));
  }
}

void index_table(Page& page, const Herd& herd, const MeritResult& result) {
  std::vector<double> keep;
  for (const MeritIndex& each : result.index) keep.push_back(each.keep);
  page.heading(
      fmt::format("What the breeding values are worth, {}", printable(herd.season.currency)));
  std::vector<std::vector<std::string>> rows;
  for (const std::size_t i : order_by(herd, result.animals, keep)) {
    rows.push_back({long_name(herd, result.animals[i]), fixed(result.index[i].keep, 2),
                    fixed(result.index[i].meat, 2)});
  }
  page.table({{"animal", Page::Align::left, 40},
              {"to keep", Page::Align::right},
              {"for meat", Page::Align::right}},
             rows);
}

void as_text(Sink& out, const Preamble& preamble, const Herd& herd, const MeritResult& result) {
  Page page(out, preamble.colour);
  std::size_t traits = 0, records = 0;
  bool sampled = false;
  for_traits(result, [&](const MeritFit& fit, TraitIndex trait) {
    records += fit.records(trait);
    traits += fit.records(trait) > 0 ? 1u : 0u;
    sampled = sampled || fit.method() == MeritMethod::iterated;
  });
  if (records == 0) {
    page.headline(set_aside_words(preamble) +
                  "There is no record of any trait: nothing can be said of merit.");
    return;
  }
  page.headline(fmt::format("{}Breeding values of {} animal{} for {} trait{}, from {} record{}.",
                            set_aside_words(preamble), result.animals.size(),
                            result.animals.size() == 1 ? "" : "s", traits, traits == 1 ? "" : "s",
                            records, records == 1 ? "" : "s"));
  page.paragraph(
      "Differences from the founders' mean, of the animal itself: half of one goes to a kid. "
      "Reliability runs from 0 (nothing known) to 1; under 0.30, and where its group holds no kin "
      "of "
      "any other group, there is little information, and a difference is no reason to choose.");
  if (sampled) page.paragraph("Reliabilities are estimates; JSON gives their standard errors.");
  for (const MeritFit& fit : result.fits) {
    for (const MeritNote& note : fit.notes()) {
      page.paragraph(sentence(note, printable(herd.traits[note.trait].name)));
    }
  }
  index_table(page, herd, result);
  for_traits(result, [&](const MeritFit& fit, TraitIndex trait) {
    if (fit.records(trait) > 0) trait_table(page, herd, result, fit, trait);
  });
  say_inputs(page, preamble);
}

void effects_as_json(JsonWriter& json, const Herd& herd, const MeritResult& result) {
  json.key("effects");
  json.begin_list();
  for (const MeritFit& fit : result.fits) {
    for (const FixedEstimate& each : fit.effects()) {
      json.begin_object();
      json.field("trait", herd.traits[each.trait].key);
      json.field("effect", each.effect);
      json.field("level", each.level.empty() ? std::optional<std::string>() : each.level);
      json.field("estimate", each.estimate);
      json.field_count("records", each.records);
      json.field("set_to_zero", each.set_to_zero);
      json.end_object();
    }
  }
  json.end_list();
}

void variances_as_json(JsonWriter& json, const Herd& herd, const MeritResult& result) {
  json.key("variances");
  json.begin_list();
  for (const MeritFit& fit : result.fits) {
    for (const TraitVariances& each : fit.variances()) {
      json.begin_object();
      json.field("trait", herd.traits[each.trait].key);
      json.field("va", each.va);
      json.field("vm", each.vm);
      json.field("direct_maternal_covariance", each.direct_maternal_covariance);
      json.field("vpe", each.vpe);
      json.field("vlitter", each.vlitter);
      json.field("ve", each.ve);
      json.field("per_percent_inbreeding", each.per_percent_inbreeding);
      json.end_object();
    }
  }
  json.end_list();
  json.key("remarks");
  json.begin_list();
  for (const MeritFit& fit : result.fits) {
    for (const MeritNote& note : fit.notes()) {
      json.begin_object();
      json.field("trait", herd.traits[note.trait].key);
      json.field("remark", word(note.remark));
      json.end_object();
    }
  }
  json.end_list();
}

void as_json(Sink& out, const Preamble& preamble, const Herd& herd, const MeritResult& result) {
  JsonWriter json(out);
  begin_document(json, "doewright.merit/1", preamble);
  effects_as_json(json, herd, result);
  variances_as_json(json, herd, result);
  json.key("index");
  json.begin_list();
  for (std::size_t i = 0; i < result.animals.size(); ++i) {
    json.begin_object();
    json.field("id", herd.ids[result.animals[i]]);
    json.field("keep", result.index[i].keep);
    json.field("meat", result.index[i].meat);
    json.end_object();
  }
  json.end_list();
  json.key("animals");
  json.begin_list();
  for (const Animal animal : result.animals) {
    for_traits(result, [&](const MeritFit& fit, TraitIndex trait) {
      const MeritFit::Value value = fit.of(animal, trait);
      json.begin_object();
      json.field("id", herd.ids[animal]);
      json.field("trait", herd.traits[trait].key);
      json.field("breeding_value", value.breeding_value);
      json.field("reliability", value.reliability);
      json.field("linked", value.linked);
      json.field("reliability_se", value.reliability_se);
      json.end_object();
    });
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, const MeritResult& result) {
  out.write("id,trait,breeding_value,reliability\n");
  CsvRow row;
  for (const Animal animal : result.animals) {
    for_traits(result, [&](const MeritFit& fit, TraitIndex trait) {
      const MeritFit::Value value = fit.of(animal, trait);
      row.text(herd.ids[animal])
          .text(herd.traits[trait].key)
          .number(value.breeding_value)
          .number(value.reliability)
          .write(out);
    });
  }
}

}  // namespace

void report_merit(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                  const MeritResult& result) {
  switch (format) {
    case Format::json:
      return as_json(out, preamble, herd, result);
    case Format::csv:
      return as_csv(out, herd, result);
    case Format::text:
      return as_text(out, preamble, herd, result);
    case Format::html:
      refuse_page("merit");
  }
}

}  // namespace doewright
