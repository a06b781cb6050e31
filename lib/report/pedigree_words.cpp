// SPDX-License-Identifier: MIT
#include "pedigree_words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "pedigree_looks.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

void say_cells(const Herd& herd, const PedigreeReport& report, PedigreeWords& words) {
  for (std::size_t p = 0; p < report.places.size(); ++p) {
    const PedigreePlace& place = report.places[p];
    PedigreeCell cell;
    cell.place = place.place;
    cell.recorded = !place.held.empty();
    cell.certain = place.held.size() == 1 && place.held.front().probability >= 1.0;
    if (cell.certain) {
      const Animal animal = place.held.front().sire;
      cell.name = short_name(herd, animal);
      const std::string id = printable(herd.ids[animal]);
      const PartialDate born = herd.animals.born[animal.position];
      std::vector<std::string> detail;
      if (id != cell.name) detail.push_back(id);
      detail.push_back(born.known() ? "born " + std::to_string(born.year())
                                    : std::string("birth not recorded"));
      cell.detail = joined(detail);
    } else if (cell.recorded) {
      std::vector<std::string> names;
      double sum = 0.0;
      for (const SireChance& each : place.held) {
        names.push_back(short_name(herd, each.sire) + " " + percent(each.probability, 0));
        sum += each.probability;
      }
      if (sum < 1.0 - 1e-9) names.push_back("not recorded " + percent(1.0 - sum, 0));
      cell.name = names.front();
      names.erase(names.begin());
      cell.detail = "or " + joined(names, " or ");
    } else {
      cell.name = "not recorded";
    }
    if (!place.found.empty()) {
      std::vector<std::string> found;
      for (const FaultIndex fault : place.found) found.push_back(printable(herd.faults[fault].key));
      cell.found = "found: " + joined(found);
    }
    for (std::size_t m = 0; m < report.shared.size(); ++m) {
      const auto& at = report.shared[m].places;
      if (std::find(at.begin(), at.end(), p) != at.end()) cell.marks.push_back(m);
    }
    words.cells.push_back(std::move(cell));
  }
}

}  // namespace

std::string places_counted(double value) {
  return std::abs(value - std::round(value)) < 1e-9 ? fixed(value, 0) : fixed(value, 1);
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
  std::string text;
  for (const std::string& part : parts) {
    if (!text.empty()) text += between;
    text += part;
  }
  return text;
}

std::string date_in_words(PartialDate date) {
  if (!date.known()) return "not recorded";
  if (date.to_the_day()) return day_in_words(date.earliest());
  if (date.month() == 0) return fmt::format("{} (day not recorded)", date.year());
  const std::string day = day_in_words(date.earliest());  // "1 March 2024"
  return day.substr(day.find(' ') + 1) + " (day not recorded)";
}

std::string seller_of(const Herd& herd, Animal animal) {
  const std::string& owner = herd.animals.owners[herd.animals.owner[animal.position]];
  if (!owner.empty()) return owner;
  // "own" is what the book calls the herd that has no name.
  return herd.season.own_herd == "own" ? std::string() : herd.season.own_herd;
}

std::string_view word(SampleAge age) noexcept {
  switch (age) {
    case SampleAge::told:
      return "told";
    case SampleAge::too_young:
      return "too young to tell";
    case SampleAge::not_known:
      return "age at the sample not known";
  }
  return "";
}

std::vector<std::string> gaps_in_words(const Herd& herd, const PedigreeReport& report) {
  std::vector<std::string> said;
  for (const PedigreeNotKnown& gap : report.not_known) {
    switch (gap.gap) {
      case PedigreeGap::birth_day:
        said.push_back("the day of birth");
        break;
      case PedigreeGap::sire:
        said.push_back("who the sire is");
        break;
      case PedigreeGap::sire_unsure:
        said.push_back("which of the possible sires it was");
        break;
      case PedigreeGap::dam:
        said.push_back("who the dam is");
        break;
      case PedigreeGap::places:
        said.push_back(fmt::format("who stood in {} of the {} places of the chart",
                                   places_counted(gap.count), report.places.size()));
        break;
      case PedigreeGap::horns:
        said.push_back("whether it was born with horns");
        break;
      case PedigreeGap::looks: {
        std::vector<std::string> names;
        for (const FaultIndex fault : gap.faults)
          names.push_back(printable(herd.faults[fault].name));
        said.push_back("whether these show, for nobody looked or it was too young: " +
                       joined(names, "; "));
        break;
      }
      case PedigreeGap::health_tests: {
        std::vector<std::string> names;
        for (const std::string& disease : gap.diseases) names.push_back(printable(disease));
        said.push_back("what a test that tells would say of: " + joined(names));
        break;
      }
      case PedigreeGap::records:
        said.push_back("what it yields: no record and no kidding of its own");
        break;
    }
  }
  return said;
}

std::vector<std::string> statement_in_words(const Herd& herd, const PedigreeReport& report) {
  (void)report;
  return {
      fmt::format("This says what the herd book holds on {}; it rests on these records alone.",
                  day_in_words(herd.as_of)),
      "What was worked out (inbreeding, chances, means) is not an observation. A result is a fact "
      "of its day and no promise. What nobody looked at is not known.",
      "Ask a veterinarian about disease. Terms of sale are a separate paper."};
}

PedigreeWords pedigree_words(const Preamble& preamble, const Herd& herd,
                             const PedigreeReport& report) {
  PedigreeWords words;
  words.title = long_name(herd, report.animal);
  say_who(herd, report, words);
  say_known(report, words);
  say_inbreeding(herd, report, words);
  say_shared(herd, report, words);
  say_cells(herd, report, words);
  say_looks(herd, report, words);
  say_tests(herd, report, words);
  say_records(herd, report, words);
  words.not_known = gaps_in_words(herd, report);
  words.statement = statement_in_words(herd, report);
  words.seller = printable(seller_of(herd, report.animal));
  words.headline =
      fmt::format("{}{}: inbreeding {}, {}. {} {}", set_aside_words(preamble), words.title,
                  words.inbreeding, words.closeness, words.looks_figure, words.looks);
  return words;
}

}  // namespace doewright
