// SPDX-License-Identifier: MIT
#include "plan_worth.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "preamble.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_said = 6;

std::string what_words(const Herd& herd, const WorthOfKnowing& worth, const std::string& sire) {
  switch (worth.what) {
    case FindOut::gene_test:
      return fmt::format("a gene test of {} for {}", sire,
                         printable(herd.faults[*worth.fault].name));
    case FindOut::kids:
      return fmt::format("a look at {} of {}'s earlier kids for {}", worth.kids, sire,
                         printable(herd.faults[*worth.fault].name));
    case FindOut::papers:
      return fmt::format("more of {}'s papers, if nobody in them is related to a doe", sire);
  }
  return {};
}

std::optional<double> costs_of(const Herd& herd, FindOut what) {
  switch (what) {
    case FindOut::gene_test:
      return herd.season.find_out.gene_test;
    case FindOut::kids:
      return herd.season.find_out.kids;
    case FindOut::papers:
      return herd.season.find_out.papers;
  }
  return {};
}

/// ", which costs 35 EUR", and whether that is more than it is worth at the most.
std::string cost_words(const Herd& herd, const WorthOfKnowing& worth) {
  const auto costs = costs_of(herd, worth.what);
  if (!costs) return {};
  const std::string sum = fmt::format("{} {}", fixed(*costs, 0), printable(herd.season.currency));
  if (*costs > worth.worth) return fmt::format(", which costs {}: not worth it for this season", sum);
  return fmt::format(", which costs {}", sum);
}

}  // namespace

std::vector<WorthWords> worth_words(const Herd& herd, const PairingTable& table,
                                    std::span<const WorthOfKnowing> worth) {
  std::vector<WorthWords> result;
  for (const WorthOfKnowing& one : worth.first(std::min(worth.size(), most_said))) {
    const std::string sire = short_name(herd, table.sires[one.sire].offer.sire);
    result.push_back({fmt::format("up to {} {}", fixed(one.worth, 0), printable(herd.season.currency)),
                      what_words(herd, one, sire) + cost_words(herd, one)});
  }
  return result;
}

std::string_view worth_caption() {
  return "What the best plan gains on average by knowing it first, whom to hire included; each by "
         "itself. It pays where finding out costs less.";
}

void say_worth(Page& page, const Herd& herd, const PairingTable& table,
               std::span<const WorthOfKnowing> worth) {
  if (worth.empty()) return;
  page.heading("Worth finding out");
  for (const WorthWords& one : worth_words(herd, table, worth)) {
    page.labelled("  " + one.amount, 18, one.what);
  }
  page.paragraph(std::string(worth_caption()));
}

void write_worth(JsonWriter& json, const Herd& herd, const PairingTable& table,
                 std::span<const WorthOfKnowing> worth) {
  json.key("worth_knowing");
  json.begin_list();
  for (const WorthOfKnowing& one : worth) {
    json.begin_object();
    json.field("sire", herd.ids[table.sires[one.sire].offer.sire]);
    json.field("what", word(one.what));
    json.key("fault");
    one.fault ? json.value(herd.faults[*one.fault].key) : json.null();
    json.field("worth", one.worth);
    json.key("costs");
    const auto costs = costs_of(herd, one.what);
    costs ? json.value(*costs) : json.null();
    json.field("at_most", one.what == FindOut::papers);
    json.field_count("kids", one.kids);
    json.key("answers");
    json.begin_list();
    for (const PossibleAnswer& answer : one.answers) {
      json.begin_object();
      json.field_count("found", answer.found);
      json.field("chance", answer.chance);
      json.key("objective");
      json.whole(answer.objective);
      json.key("kept");
      json.whole(answer.kept);
      json.end_object();
    }
    json.end_list();
    json.end_object();
  }
  json.end_list();
}

}  // namespace doewright
