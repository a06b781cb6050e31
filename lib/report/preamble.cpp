// SPDX-License-Identifier: MIT
#include "preamble.hpp"

#include <fmt/format.h>

#include <doewright/core/errors.hpp>
#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>
#include <doewright/timing/offer.hpp>

#include "plan_words.hpp"

namespace doewright {

namespace {

void write_list(JsonWriter& json, const std::vector<std::string>& texts) {
  json.begin_list();
  for (const std::string& text : texts) json.value(text);
  json.end_list();
}

void write_input(JsonWriter& json, const Input& input) {
  json.key(input.name);
  if (const auto* number = std::get_if<double>(&input.value)) {
    json.value(*number);
  } else if (const auto* text = std::get_if<std::string>(&input.value)) {
    json.value(*text);
  } else if (const auto* numbers = std::get_if<std::vector<double>>(&input.value)) {
    json.begin_list();
    for (const double each : *numbers) json.value(each);
    json.end_list();
  } else {
    write_list(json, std::get<std::vector<std::string>>(input.value));
  }
}

std::string input_words(const Input& input) {
  if (const auto* number = std::get_if<double>(&input.value)) {
    return input.name + " " + shortest(*number);
  }
  if (const auto* text = std::get_if<std::string>(&input.value)) return input.name + " " + *text;
  std::string list;
  if (const auto* numbers = std::get_if<std::vector<double>>(&input.value)) {
    for (const double each : *numbers) list += (list.empty() ? "" : "/") + shortest(each);
  } else {
    for (const std::string& each : std::get<std::vector<std::string>>(input.value)) {
      list += (list.empty() ? "" : "/") + each;
    }
  }
  return input.name + " " + list;
}

}  // namespace

std::vector<Input> defaults_used(const Season& season, InputsOf command) {
  std::vector<Input> result;
  const auto add = [&](const char* key, auto value) {
    // By breed: breed_inbreeding.nubian; once one of these is set, the figure is the keeper's.
    const auto next = season.set.lower_bound(key);
    const bool is_set =
        next != season.set.end() && (*next == key || next->starts_with(std::string(key) + "."));
    if (!is_set) result.push_back({key, std::move(value)});
  };
  const auto list = [](const auto& values) {
    return std::vector<double>(values.begin(), values.end());
  };
  if (command == InputsOf::none) return result;
  const auto add_doe_limits = [&] {
    add("limits.doe_months", list(season.limits.doe_months));
    add("limits.doe_weight_share", list(season.limits.doe_weight_share));
    add("limits.condition", list(season.limits.condition));
    add("limits.rest_days", season.limits.rest_days);
  };
  if (command == InputsOf::faults) {  // how many kids die of other things: evidence on lethal faults
    add("kid.survive", season.kid.survive);
    return result;
  }
  if (command == InputsOf::fitness) {
    add_doe_limits();
    return result;
  }
  if (command == InputsOf::timing) {
    add("settle.proven", season.settle.proven);
    add("settle.yearling", season.settle.yearling);
    add("settle.buck_kid", season.settle.buck_kid);
    add("settle.semen", season.settle.semen);
    add("settle.never", season.settle.never);
    add("settle.infertile_proven", season.settle.infertile_proven);
    add("settle.infertile_unproven", season.settle.infertile_unproven);
    add("settle.heat_noticed", season.settle.heat_noticed);
    add("settle.cycling", list(season.settle.cycling));
    const auto unknown = season.gestation.find("unknown");
    if (unknown != season.gestation.end()) {
      add("gestation.unknown", std::vector<double>{unknown->second.mean, unknown->second.sd});
    }
    add("papers.isolation_days", static_cast<double>(season.papers.isolation_days));
    return result;
  }
  add("breed_inbreeding", season.breed_inbreeding.other);
  add("unknown_kinship", season.unknown_kinship);
  if (command == InputsOf::kin) return result;
  add("limits.keep", list(season.limits.keep));
  add("limits.meat", list(season.limits.meat));
  add("limits.lethal", list(season.limits.lethal));
  add_doe_limits();
  add("papers.required", season.papers.required);
  add("papers.max_age_months", season.papers.max_age_months);
  add("rules.polled", std::string(word(season.polled_rule)));
  add("kid.value_keep", season.kid.value_keep);
  add("kid.value_meat", season.kid.value_meat);
  add("kid.litter_size", season.kid.litter_size);
  add("kid.litter_size_first", season.kid.litter_size_first);
  add("kid.survive", season.kid.survive);
  add("fate.keep.doe_kept", season.fate_keep.doe_kept);
  add("fate.keep.buck_kept", season.fate_keep.buck_kept);
  add("fate.either.doe_kept", season.fate_either.doe_kept);
  add("fate.either.buck_kept", season.fate_either.buck_kept);
  add("fate.meat.doe_kept", season.fate_meat.doe_kept);
  add("fate.meat.buck_kept", season.fate_meat.buck_kept);
  add("open.value", season.open_value);
  add("settle.proven", season.settle.proven);
  add("settle.yearling", season.settle.yearling);
  add("settle.buck_kid", season.settle.buck_kid);
  add("settle.semen", season.settle.semen);
  add("settle.never", season.settle.never);
  add("settle.infertile_proven", season.settle.infertile_proven);
  add("settle.infertile_unproven", season.settle.infertile_unproven);
  add("settle.heat_noticed", season.settle.heat_noticed);
  add("settle.cycling", list(season.settle.cycling));
  add("papers.isolation_days", double(season.papers.isolation_days));
  add("risk.loss_per_month", season.loss_per_month);
  return result;
}

void begin_document(JsonWriter& json, std::string_view schema, const Preamble& preamble,
                    bool with_warnings) {
  json.begin_object();
  json.field("schema", schema);
  json.field("as_of", to_text(preamble.as_of));
  json.field("herd", preamble.herd);
  if (with_warnings) {
    json.key("warnings");
    write_list(json, preamble.warnings);
  }
  json.key("inputs");
  json.begin_object();
  for (const Input& input : preamble.inputs) write_input(json, input);
  json.end_object();
  json.key("assumed");
  write_list(json, preamble.assumed);
}

std::string set_aside_words(const Preamble& preamble) {
  if (preamble.set_aside == 0) return {};
  return fmt::format("{} faulty {} set aside and read as not known. ", preamble.set_aside,
                     preamble.set_aside == 1 ? "record was" : "records were");
}

std::string inputs_words(const Preamble& preamble) {
  std::string text = "Defaults used; set your own in season.toml: ";
  for (std::size_t i = 0; i < preamble.inputs.size(); ++i) {
    if (i > 0) text += ", ";
    text += input_words(preamble.inputs[i]);
  }
  return text;
}

std::string past_days_words(const Herd& herd, std::span<const SireOffer> offers) {
  std::vector<std::string> past;
  for (const SireOffer& offer : offers) {
    const bool said = offer.from.known() || offer.to.known();
    if (!said || offer.terms == Terms::semen || last_day_of_stay(herd, offer) >= herd.as_of) continue;
    past.push_back(short_name(herd, offer.sire));
  }
  if (past.empty()) return {};
  return fmt::format(
      " The days of {} in sires.csv are over: the figures here are as if they were to come. Write new "
      "days.",
      listed_words(past));
}

void say_inputs(Page& page, const Preamble& preamble) {
  if (!preamble.assumed.empty()) {
    std::string names;
    for (const std::string& name : preamble.assumed) names += (names.empty() ? "" : ", ") + name;
    page.blank();
    page.paragraph("Assumed, with no source, and it decides something here: " + names + ".");
  }
  if (preamble.inputs.empty()) return;
  page.blank();
  page.paragraph(inputs_words(preamble) + ".");
}

void refuse_page(std::string_view command) {
  throw UsageError(fmt::format("{}: there is no page of this report", command));
}

std::string short_name(const Herd& herd, Animal animal) {
  const std::string_view name = herd.animals.name[animal];
  return printable(name.empty() ? herd.ids[animal] : name);
}

std::string long_name(const Herd& herd, Animal animal) {
  return printable(display_name(herd, animal));
}

}  // namespace doewright
