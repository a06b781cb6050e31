// SPDX-License-Identifier: MIT
#include "plan_gaps.hpp"

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "plan_phrases.hpp"
#include "plan_words.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

constexpr std::size_t most_named = 6;

std::string does_words(const Herd& herd, const std::vector<Animal>& does) {
  std::vector<std::string> names;
  for (const Animal doe : does) names.push_back(short_name(herd, doe));
  if (names.size() <= most_named) return listed_words(names);
  return fmt::format("{} does", names.size());
}

std::string between_words(int days) {
  if (days < 0) return fmt::format("{} {} with both", -days, days == -1 ? "day" : "days");
  if (days == 0) return "no day between";
  return fmt::format("{} {} between", days, days == 1 ? "day" : "days");
}

/// "D4 was with A until 2026-10-20 and with C from 2026-10-21: no day between."
std::string one_gap(const Herd& herd, const BuckGap& gap) {
  const std::string before = short_name(herd, gap.before), after = short_name(herd, gap.after);
  const std::string to = to_text(gap.before_to), from = to_text(gap.after_from);
  const std::string days = between_words(gap.days);
  if (gap.does.empty()) {
    return fmt::format(
        "{} leaves on {} and {} comes on {}, {}: kids of a doe who is with both may be of either, "
        "in {} "
        "of 100 kiddings the day will not tell. {} days between would do.",
        before, to, after, from, days, hundred(gap.unclear), enough_gap_days);
  }
  const bool one = gap.does.size() == 1;
  return fmt::format(
      "{} {} with {} until {} and with {} from {}, {}: {} kids may be of either, in {} of 100 "
      "kiddings "
      "the day will not tell (`whose` weighs it; {} days between would have done).",
      does_words(herd, gap.does), one ? "was" : "were", before, to, after, from, days,
      one ? "her" : "their", hundred(gap.unclear), enough_gap_days);
}

}  // namespace

std::vector<std::string> gap_words(const Herd& herd, const std::vector<BuckGap>& gaps) {
  std::vector<std::string> said;
  for (const BuckGap& gap : gaps) said.push_back(one_gap(herd, gap));
  return said;
}

void write_gaps(JsonWriter& json, const Herd& herd, const std::vector<BuckGap>& gaps) {
  json.key("gaps");
  json.begin_list();
  for (const BuckGap& gap : gaps) {
    json.begin_object();
    json.field("before", herd.ids[gap.before]);
    json.field("after", herd.ids[gap.after]);
    json.field("before_to", to_text(gap.before_to));
    json.field("after_from", to_text(gap.after_from));
    json.key("days");
    json.whole(gap.days);
    json.field("unclear_probability", gap.unclear);
    json.key("enough_days");
    json.whole(enough_gap_days);
    json.key("does");
    json.begin_list();
    for (const Animal doe : gap.does) json.value(herd.ids[doe]);
    json.end_list();
    json.end_object();
  }
  json.end_list();
}

}  // namespace doewright
