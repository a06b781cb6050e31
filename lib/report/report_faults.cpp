// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/report.hpp>
#include <doewright/report/words.hpp>

#include "csv.hpp"
#include "json_writer.hpp"
#include "kin_parts.hpp"
#include "page.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

std::string_view model_word(const FaultModel& model) {
  return model.kind == FaultKind::locus ? "locus" : "threshold";
}

std::string_view what_word(const EvidenceEffect& record) {
  switch (record.kind) {
    case EvidenceKind::look:
      return "looked at";
    case EvidenceKind::alive:
      return "known alive past the age at which it kills";
    case EvidenceKind::died:
      return "died before that age";
    case EvidenceKind::gene_test:
      return "gene test";
    case EvidenceKind::count:
      return record.told ? "kids elsewhere, told" : "kids elsewhere";
    case EvidenceKind::dead_kids:
      return "kids without a row that died";
    case EvidenceKind::living_kids:
      return "kids without a row that lived";
  }
  return "";
}

std::string file_of(const EvidenceEffect& record) {
  return record.rows.empty() ? std::string() : std::string(file_name(record.rows.front().table));
}

void write_by_breed(JsonWriter& json, const ByBreed& values) {
  if (values.named.empty()) return json.value(values.other);
  json.begin_object();
  for (const auto& [breed, value] : values.named) json.field(breed, value);
  json.field("other", values.other);
  json.end_object();
}

void write_list(JsonWriter& json, const std::vector<double>& numbers) {
  json.begin_list();
  for (const double number : numbers) json.value(number);
  json.end_list();
}

void write_parameters(JsonWriter& json, const Herd& herd, const std::vector<FaultsOfHerd>& faults) {
  json.key("parameters");
  json.begin_list();
  for (const FaultsOfHerd& each : faults) {
    const FaultModel& model = herd.faults[each.fault];
    const bool locus = model.kind == FaultKind::locus;
    json.begin_object();
    json.field("fault", model.key);
    json.key("allele_frequency");
    locus && model.same_locus_as.empty() ? write_by_breed(json, model.allele_frequency) : json.null();
    json.key("incidence_above");
    if (locus) {
      json.null();
    } else if (model.incidence_above_doe.empty() && model.incidence_above_buck.empty()) {
      write_list(json, model.incidence_above);
    } else {
      json.begin_object();
      json.key("any");
      write_list(json, model.incidence_above);
      if (!model.incidence_above_doe.empty()) {
        json.key("doe");
        write_list(json, model.incidence_above_doe);
      }
      if (!model.incidence_above_buck.empty()) {
        json.key("buck");
        write_list(json, model.incidence_above_buck);
      }
      json.end_object();
    }
    json.key("heritability");
    locus ? json.null() : json.value(model.heritability);
    json.field("assumed", model.assumed);
    json.field("source", model.source);
    json.end_object();
  }
  json.end_list();
}

void write_proof(JsonWriter& json, const Herd& herd, const ProofOfSire& of) {
  json.key("prove");
  json.begin_object();
  json.field("sire", herd.ids[of.sire]);
  json.field("fault", herd.faults[of.fault].key);
  json.field("prior", of.proof.prior);
  json.key("mates");
  json.begin_list();
  for (const ProvingGoal& goal : of.proof.mates) {
    json.begin_object();
    json.field("mate", word(goal.mate));
    json.field("level", goal.level);
    json.key("kids");
    goal.kids ? json.count(*goal.kids) : json.null();
    json.key("kids_classical");
    goal.kids_classical ? json.count(*goal.kids_classical) : json.null();
    json.end_object();
  }
  json.end_list();
  json.key("test");
  json.begin_object();
  json.field("before", of.proof.before);
  json.field("after_clear", of.proof.after_clear);
  json.end_object();
  json.end_object();
}

void write_evidence(JsonWriter& json, const Herd& herd, const std::vector<EvidenceEffect>& records) {
  json.key("evidence");
  json.begin_list();
  for (const EvidenceEffect& record : records) {
    json.begin_object();
    json.field("file", file_of(record));
    json.key("line");
    record.rows.empty() ? json.null() : json.count(record.rows.front().line);
    json.field("what", fmt::format("{}: {}", herd.ids[record.animal], what_word(record)));
    json.field("effect", record.effect);
    json.end_object();
  }
  json.end_list();
}

void as_json(Sink& out, const Preamble& preamble, const Herd& herd,
             std::span<const Animal> animals, const std::vector<FaultsOfHerd>& faults,
             const std::optional<ProofOfSire>& proof) {
  JsonWriter json(out);
  begin_document(json, "doewright.faults/1", preamble);
  write_parameters(json, herd, faults);
  if (proof) write_proof(json, herd, *proof);
  json.key("animals");
  json.begin_list();
  for (std::size_t a = 0; a < animals.size(); ++a) {
    for (const FaultsOfHerd& each : faults) {
      const AnimalFault& known = each.animals[a];
      json.begin_object();
      json.field("id", herd.ids[animals[a]]);
      json.field("fault", herd.faults[each.fault].key);
      json.field("model", model_word(herd.faults[each.fault]));
      json.key("copies");
      if (known.copies) {
        write_list(json, {known.copies->begin(), known.copies->end()});
      } else {
        json.null();
      }
      json.field("liability_mean", known.liability_mean);
      json.field("liability_sd", known.liability_sd);
      json.field("shows", known.shows);
      json.field("method", word(known.method));
      json.field("standard_error", known.standard_error);
      json.field("effective_draws", known.effective_draws);
      write_evidence(json, herd, each.evidence[a]);
      json.end_object();
    }
  }
  json.end_list();
  json.end_object();
  json.finish();
}

void as_csv(Sink& out, const Herd& herd, std::span<const Animal> animals,
            const std::vector<FaultsOfHerd>& faults) {
  out.write("id,fault,model,copies_0,copies_1,copies_2,shows,liability_mean,liability_sd,method\n");
  CsvRow row;
  for (std::size_t a = 0; a < animals.size(); ++a) {
    for (const FaultsOfHerd& each : faults) {
      const AnimalFault& known = each.animals[a];
      row.text(herd.ids[animals[a]]).text(herd.faults[each.fault].key);
      row.text(model_word(herd.faults[each.fault]));
      for (std::size_t k = 0; k < 3; ++k) known.copies ? row.number((*known.copies)[k]) : row.blank();
      row.number(known.shows).number(known.liability_mean).number(known.liability_sd);
      row.text(word(known.method)).write(out);
    }
  }
}

std::string in_hundred(double p) {
  if (p <= 0.0) return "0";
  if (p >= 1.0) return "100";
  if (p < 0.01) return "<1";
  if (p > 0.995) return ">99";
  return fixed(100.0 * p, 0);
}

std::string effect_words(const EvidenceEffect& record, bool locus) {
  const double effect = locus ? 100.0 * record.effect : record.effect;
  return fmt::format("{}{}", effect < 0.0 ? "-" : "+", fixed(std::abs(effect), locus ? 1 : 2));
}

void say_evidence_lines(Page& page, const Herd& herd, const std::vector<EvidenceEffect>& records,
                        bool locus) {
  for (const EvidenceEffect& record : records) {
    if (std::abs(record.effect) < (locus ? 0.0005 : 0.005)) continue;  // nothing to see in print
    std::string where;
    if (!record.rows.empty() && record.rows.front().line != 0) {
      where = fmt::format(" ({}:{})", file_of(record), record.rows.front().line);
    }
    page.labelled(fmt::format("      {}  ", pad_left(effect_words(record, locus), 6)), 14,
                  printable(fmt::format("{}: {}{}", herd.ids[record.animal], what_word(record), where)));
  }
}

/// Sorted by what a keeper looks for first: those that show or carry it.
std::vector<std::size_t> of_note(const FaultsOfHerd& each, bool full) {
  std::vector<std::size_t> order;
  for (std::size_t a = 0; a < each.animals.size(); ++a) {
    if (full || each.too_many || !each.evidence[a].empty()) order.push_back(a);
  }
  const auto weight = [&](std::size_t a) {
    const AnimalFault& known = each.animals[a];
    const double carries = known.copies ? (*known.copies)[1] + (*known.copies)[2] : 0.0;
    return std::llround(1e6 * (known.shows + 0.5 * carries + 0.01 * known.liability_mean.value_or(0.0)));
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return weight(a) > weight(b); });
  return order;
}

std::string assumption(const FaultModel& model) {
  std::string text;
  if (model.kind == FaultKind::locus) {
    text = model.same_locus_as.empty()
               ? fmt::format("one gene; {} of 100 copies among founders",
                             fixed(100.0 * model.allele_frequency.other, 1))
               : fmt::format("the gene of {}", model.same_locus_as);
    if (!model.allele_frequency.named.empty()) text += " (by breed)";
  } else {
    text = fmt::format("many genes; heritability {}", fixed(model.heritability, 2));
  }
  if (model.assumed) text += "; assumed in part: see its source in faults.toml";
  return text;
}

void say_fault(Page& page, const Herd& herd, std::span<const Animal> animals,
               const FaultsOfHerd& each, bool full) {
  constexpr std::size_t most_lines = 15;
  const FaultModel& model = herd.faults[each.fault];
  const bool locus = model.kind == FaultKind::locus;
  page.heading(printable(model.name));
  page.paragraph(printable(assumption(model)) + ".", 2, 2);
  const std::vector<std::size_t> order = of_note(each, full);
  if (order.empty()) {
    page.paragraph("Nobody has looked, tested or counted: every animal is as any of its breed.", 2, 2);
    return;
  }
  std::vector<std::vector<std::string>> rows;
  const std::size_t shown = full ? order.size() : std::min(order.size(), most_lines);
  for (std::size_t i = 0; i < shown; ++i) {
    const AnimalFault& known = each.animals[order[i]];
    std::vector<std::string> row = {"  " + cut_to_width(short_name(herd, animals[order[i]]), 20),
                                    in_hundred(known.shows)};
    if (locus) {
      for (const double p : *known.copies) row.push_back(in_hundred(p));
    } else {
      row.push_back(fixed(*known.liability_mean, 2));
      row.push_back("+- " + fixed(*known.liability_sd, 2));
    }
    const std::string error = known.method == Method::sampled
                                  ? fmt::format(", give or take {:.0f}", std::ceil(200.0 * known.standard_error))
                                  : std::string();
    row.push_back(std::string(word(known.method)) + error);
    rows.push_back(std::move(row));
  }
  if (locus) {
    page.table({{"  in 100", Page::Align::left, 24},
                {"shows it", Page::Align::right},
                {"no copy", Page::Align::right},
                {"one", Page::Align::right},
                {"two", Page::Align::right},
                {"worked out", Page::Align::left}},
               rows);
  } else {
    page.table({{"  in 100", Page::Align::left, 24},
                {"shows it", Page::Align::right},
                {"liability", Page::Align::right},
                {"", Page::Align::right},
                {"worked out", Page::Align::left}},
               rows);
  }
  if (order.size() > shown) {
    page.paragraph(fmt::format("and {} more with something known: --format csv lists all.",
                               order.size() - shown),
                   2, 2);
  }
  if (!full && order.size() < animals.size()) {
    page.paragraph(fmt::format("Of {} animals nothing is known: as any of their breed.",
                               animals.size() - order.size()),
                   2, 2);
  }
  if (!full) return;
  for (const std::size_t a : order) {
    if (each.evidence[a].empty()) continue;
    page.paragraph(
        fmt::format("What moved {} ({}), with the record less without it:",
                    short_name(herd, animals[a]),
                    locus ? "chance to carry, in 100" : "liability"),
        2, 4);
    say_evidence_lines(page, herd, each.evidence[a], locus);
  }
  if (each.too_many) {
    const bool drawn = std::any_of(each.animals.begin(), each.animals.end(), [](const AnimalFault& known) {
      return known.method == Method::sampled;
    });
    page.paragraph(drawn ? "What each record moved is not worked out where chances are drawn (sampled)."
                         : "What each record moved was not worked out: too many records at once. Name "
                           "animals with --doe or --sire.",
                   2, 2);
  }
}

void say_proof(Page& page, const Herd& herd, const ProofOfSire& of) {
  const FaultModel& model = herd.faults[of.fault];
  if (!of.proof.prior) {
    page.headline(fmt::format("{}: many genes. No number of clear kids proves {}; each one lowers his "
                              "kids' chance a little, and one that shows it raises it much.",
                              printable(model.name), long_name(herd, of.sire)));
    return;
  }
  page.headline(fmt::format("{}: {} in 100 that {} carries it, as things stand.",
                            printable(model.name), in_hundred(*of.proof.prior),
                            long_name(herd, of.sire)));
  std::vector<std::vector<std::string>> rows;
  for (std::size_t g = 0; g + 1 < of.proof.mates.size(); g += 2) {
    const auto kids = [](const std::optional<std::uint32_t>& count) {
      return count ? std::to_string(*count) : std::string("none do");
    };
    const ProvingGoal& at95 = of.proof.mates[g];
    const ProvingGoal& at99 = of.proof.mates[g + 1];
    rows.push_back({std::string(word(at95.mate)), kids(at95.kids), kids(at99.kids),
                    kids(at95.kids_classical), kids(at99.kids_classical)});
  }
  page.table({{"clear kids, one a mate", Page::Align::left, 24},
              {"95 %", Page::Align::right},
              {"99 %", Page::Align::right},
              {"textbook 95 %", Page::Align::right},
              {"99 %", Page::Align::right}},
             rows);
  page.paragraph(
      "The first two columns begin from what is known of him; the textbook's from nothing. Every kid "
      "must have been looked at, at an age at which it shows. A kid that shows it settles the matter.");
  if (of.proof.after_clear) {
    page.paragraph(fmt::format("One gene test that reads clear: from {} to {} in 100.",
                               fixed(100.0 * *of.proof.before, 1),
                               fixed(100.0 * *of.proof.after_clear, 2)));
  }
  page.paragraph(
      "Do not breed for sick kids to prove a sire: a test is kinder. Ask a veterinarian which one.");
}

}  // namespace

void report_faults(Sink& out, Format format, const Preamble& preamble, const Herd& herd,
                   std::span<const Animal> animals, const std::vector<FaultsOfHerd>& faults,
                   const std::optional<ProofOfSire>& proof, bool full) {
  if (format == Format::html) refuse_page("faults");
  if (format == Format::csv) return as_csv(out, herd, animals, faults);
  if (format == Format::json) return as_json(out, preamble, herd, animals, faults, proof);
  Page page(out, preamble.colour);
  const std::string aside = set_aside_words(preamble);
  if (!aside.empty()) page.headline(aside);
  if (proof) {
    say_proof(page, herd, *proof);
  } else {
    page.headline(fmt::format("What {} animals may show and carry, given every look, test and count.",
                              animals.size()));
    for (const FaultsOfHerd& each : faults) say_fault(page, herd, animals, each, full);
    page.blank();
    page.paragraph("A chance is of this animal by the records, not a finding: only a look or a test "
                   "finds. Not looked at is not the same as clear.");
  }
  say_inputs(page, preamble);
}

}  // namespace doewright
