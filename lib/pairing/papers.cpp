// SPDX-License-Identifier: MIT
#include <doewright/pairing/papers.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <doewright/core/text.hpp>

namespace doewright {

namespace {

/// Antibodies drunk with the colostrum hide the truth under this age (facts of the trade: blood
/// tests say little under six months; common practice, no source).
constexpr int months_too_young = 6;

bool plainly_negative(std::string_view result) {
  static constexpr std::array<std::string_view, 4> words = {"negative", "neg", "not detected", "-"};
  const std::string low = lower_ascii(trimmed(result));
  return std::find(words.begin(), words.end(), low) != words.end();
}

PaperState age_state(PartialDate born, PartialDate sample) {
  if (!born.known()) return PaperState::age_unknown;
  const int oldest = months_between(born.earliest(), sample.latest());
  const int youngest = months_between(born.latest(), sample.earliest());
  if (oldest < months_too_young) return PaperState::too_young;
  return youngest < months_too_young ? PaperState::age_unknown : PaperState::in_order;
}

PaperState state_of(const Herd& herd, const HealthTest& test) {
  if (!plainly_negative(test.result)) return PaperState::not_negative;
  if (!test.date.known()) return PaperState::undated;
  const int months = static_cast<int>(std::floor(herd.season.papers.max_age_months));
  if (add_months(test.date.earliest(), months) < herd.as_of) return PaperState::too_old;
  return age_state(herd.animals.born[test.animal.position], test.date);
}

/// The newer of two tests: undated ones are the oldest; of the same day the later row.
bool newer(const HealthTest& a, const HealthTest& b) {
  if (a.date.known() != b.date.known()) return a.date.known();
  if (a.date.known() && a.date.latest() != b.date.latest())
    return a.date.latest() > b.date.latest();
  return a.row > b.row;
}

}  // namespace

std::string_view word(PaperState state) noexcept {
  switch (state) {
    case PaperState::in_order:
      return "in order";
    case PaperState::missing:
      return "not recorded";
    case PaperState::too_old:
      return "too old";
    case PaperState::undated:
      return "day of the sample not recorded";
    case PaperState::too_young:
      return "taken too young to tell";
    case PaperState::age_unknown:
      return "his age at the sample is not known";
    case PaperState::not_negative:
      return "not plainly negative: ask a veterinarian";
  }
  return "";
}

std::vector<Paper> papers(const Herd& herd, Animal sire) {
  std::vector<Paper> result;
  for (const std::string& disease : herd.season.papers.required) {
    const HealthTest* newest = nullptr;
    const std::string wanted = lower_ascii(trimmed(disease));
    for (const HealthTest& test : herd.health_tests) {
      if (test.animal != sire || lower_ascii(trimmed(test.disease)) != wanted) continue;
      if (newest == nullptr || newer(test, *newest)) newest = &test;
    }
    Paper paper{
        .disease = disease, .state = PaperState::missing, .date = {}, .result = {}, .row = {}};
    if (newest != nullptr) {
      paper.state = state_of(herd, *newest);
      paper.date = newest->date;
      paper.result = newest->result;
      paper.row = newest->row;
    }
    result.push_back(std::move(paper));
  }
  return result;
}

std::vector<HealthPositive> positives(const Herd& herd, Animal animal) {
  struct OfDisease {
    std::string disease;
    const HealthTest* newest;
    const HealthTest* positive;  // the newest that is not plainly negative, or null
  };
  std::vector<OfDisease> found;
  for (const HealthTest& test : herd.health_tests) {
    if (test.animal != animal) continue;
    const std::string disease = lower_ascii(trimmed(test.disease));
    auto each = std::find_if(found.begin(), found.end(),
                             [&](const OfDisease& one) { return one.disease == disease; });
    if (each == found.end()) each = found.insert(found.end(), {disease, &test, nullptr});
    if (newer(test, *each->newest)) each->newest = &test;
    const bool counts = !plainly_negative(test.result);
    if (counts && (each->positive == nullptr || newer(test, *each->positive))) each->positive = &test;
  }
  std::vector<HealthPositive> result;
  for (const OfDisease& each : found) {
    if (each.positive == nullptr) continue;
    HealthPositive entry;
    entry.disease = std::string(trimmed(each.positive->disease));
    entry.result = std::string(trimmed(each.positive->result));
    entry.date = each.positive->date;
    entry.row = each.positive->row;
    if (each.newest != each.positive) entry.negative_since = each.newest->date;
    result.push_back(std::move(entry));
  }
  std::stable_partition(result.begin(), result.end(),
                        [](const HealthPositive& each) { return each.stands(); });
  return result;
}

bool papers_needed(const Herd& herd, const SireOffer& offer) {
  if (offer.terms != Terms::own && offer.terms != Terms::unknown) return true;
  const auto foreign = [&](std::string_view owner) {
    return !owner.empty() && owner != herd.season.own_herd;
  };
  const AnimalFacts& facts = herd.animals;
  return foreign(offer.owner) || foreign(facts.owners[facts.owner[offer.sire.position]]);
}

}  // namespace doewright
