// SPDX-License-Identifier: MIT
#include "health_words.hpp"

#include <fmt/format.h>

namespace doewright {

namespace {

std::string result_words(const std::string& result, PartialDate date) {
  return fmt::format("{}, {}", result.empty() ? std::string("result not recorded") : result,
                     date.known() ? to_text(date) : std::string("day not recorded"));
}

}  // namespace

std::string positive_words(const HealthPositive& positive) {
  std::string text = positive.disease + ": " + result_words(positive.result, positive.date);
  if (!positive.negative_since) return text;
  const PartialDate negative = *positive.negative_since;
  if (!positive.date.known()) return text + "; negative " + to_text(negative);
  return text + ", negative since" +
         (negative.known() ? " (" + to_text(negative) + ")" : std::string());
}

std::string positives_words(const std::vector<HealthPositive>& positives) {
  std::string text;
  for (const HealthPositive& each : positives)
    text += (text.empty() ? "" : "; ") + positive_words(each);
  return text.empty() ? text : text + ": ask your veterinarian";
}

std::string paper_words(const Paper& paper) {
  if (paper.state != PaperState::not_negative)
    return paper.disease + ": " + std::string(word(paper.state));
  return paper.disease + ": " + result_words(paper.result, paper.date);
}

std::string papers_to_ask(const std::vector<Paper>& papers) {
  std::string text;
  for (const Paper& paper : papers) {
    if (paper.state == PaperState::in_order || paper.state == PaperState::not_negative) continue;
    text += (text.empty() ? "" : "; ") + paper_words(paper);
  }
  return text;
}

}  // namespace doewright
