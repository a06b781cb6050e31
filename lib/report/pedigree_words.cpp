// SPDX-License-Identifier: MIT
#include "pedigree_words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/report/words.hpp>

#include "kin_parts.hpp"
#include "pedigree_looks.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

struct Pronouns {
  const char *subject, *possessive, *object;
};

Pronouns pronouns(const Herd& herd, Animal animal) {
  switch (sex_or_use(herd, animal)) {
    case Sex::doe:
      return {"she", "her", "her"};
    case Sex::buck:
    case Sex::wether:
      return {"he", "his", "him"};
    default:
      return {"it", "its", "it"};
  }
}

/// Counts of places are whole but for uncertain sires.
std::string places(double value) {
  return std::abs(value - std::round(value)) < 1e-9 ? fixed(value, 0) : fixed(value, 1);
}

std::string joined(const std::vector<std::string>& parts, std::string_view between = ", ") {
  std::string text;
  for (const std::string& part : parts) {
    if (!text.empty()) text += between;
    text += part;
  }
  return text;
}

std::string recorded_or_not(std::string_view text) {
  return text.empty() ? "not recorded" : printable(text);
}

std::string parent_in_words(const Herd& herd, const std::vector<SireChance>& held) {
  if (held.empty()) return "not recorded";
  std::string text;
  double sum = 0.0;
  for (const SireChance& each : held) {
    text += text.empty() ? "" : " or ";
    text += long_name(herd, each.sire);
    if (held.size() > 1 || each.probability < 1.0) {
      text += fmt::format(" ({})", percent(each.probability, 0));
    }
    sum += each.probability;
  }
  if (sum < 1.0 - 1e-9) text += fmt::format(" or another, not recorded ({})", percent(1 - sum, 0));
  return text;
}

std::string breed_in_words(const Herd& herd, Animal animal) {
  const auto& recorded = herd.animals.breed_mixes[herd.animals.breed_mix[animal.position]];
  const auto shares = recorded.empty() ? breed_shares(herd)[animal.position] : recorded;
  if (shares.empty()) return "not recorded";
  std::vector<std::string> parts;
  for (const BreedShare& share : shares) {
    std::string part = printable(herd.animals.breed_names[share.breed]);
    if (shares.size() > 1 || share.share < 1.0) part += " " + percent(share.share, 1);
    parts.push_back(std::move(part));
  }
  return joined(parts) + (recorded.empty() ? " (from the parents)" : "");
}

std::string birth_in_words(const Herd& herd, Animal animal) {
  const std::string_view litter = herd.animals.litter[animal];
  std::string text = date_in_words(herd.animals.born[animal.position]);
  if (!litter.empty()) text += ", litter " + printable(litter);
  return text;
}

std::string horns_in_words(const Herd& herd, Animal animal) {
  const Horns own = herd.animals.horns[animal.position];
  if (own == Horns::unknown) return "not recorded";
  std::string text(word(own));
  if (own != Horns::polled) return text + " as born";
  const auto of = [&](std::optional<Animal> parent) {
    const Horns horns = parent ? herd.animals.horns[parent->position] : Horns::unknown;
    return horns == Horns::unknown ? std::string("not recorded") : std::string(word(horns));
  };
  return fmt::format("{} as born; sire {}, dam {}", text, of(herd.pedigree.sire(animal)),
                     of(herd.pedigree.dam(animal)));
}

void say_who(const Herd& herd, const PedigreeReport& report, PedigreeWords& words) {
  const Animal animal = report.animal;
  const AnimalFacts& facts = herd.animals;
  const auto add = [&](const char* label, std::string value) {
    words.facts.emplace_back(label, std::move(value));
  };
  const Sex sex = sex_or_use(herd, animal);
  add("sex", sex == Sex::unknown ? "not recorded" : std::string(word(sex)));
  add("born", birth_in_words(herd, animal));
  add("breed", breed_in_words(herd, animal));
  add("horns", horns_in_words(herd, animal));
  if (!facts.colour[animal].empty()) add("colour", printable(facts.colour[animal]));
  add("tags", recorded_or_not(facts.tags[animal]));
  add("registration", recorded_or_not(facts.registration[animal]));
  if (!facts.also[animal].empty()) add("also called", printable(facts.also[animal]));
  add("breeder", recorded_or_not(facts.breeder[animal]));
  add("sire", parent_in_words(herd, report.places.front().held));
  const auto dam = herd.pedigree.dam(animal);
  add("dam", dam ? long_name(herd, *dam) : "not recorded");
  if (facts.gone[animal.position]) {
    const std::string why(word(facts.left_why[animal.position]));
    add("left", (why.empty() ? std::string("left the herd") : why) + ", " +
                    date_in_words(facts.left[animal.position]));
  }
  words.tags.push_back(printable(herd.ids[animal]));
}

/// Of 14, 30 or 62 places of the chart: how many are filled.
void say_known(const PedigreeReport& report, PedigreeWords& words) {
  double filled = 0.0;
  for (const PedigreePlace& place : report.places) {
    for (const SireChance& each : place.held) filled += each.probability;
  }
  words.known_figure = fmt::format("{} of {}", places(filled), report.places.size());
  words.known = fmt::format(
      "ancestors known to {} generations. By generation: {}. Complete on both sides over five "
      "generations: {}; {} generations known in all.",
      report.chart_generations, places_in_words(report.known), percent(report.completeness, 0),
      fixed(report.known.generations, 2));
}

/// A guess must not turn into a fact by being printed: the highest first.
std::string average_in_words(const Herd& herd, const PedigreeReport& report) {
  std::vector<std::string> parts;
  for (const PedigreeIfSire& each : report.if_sire) {
    parts.push_back(fmt::format("{} if {} is the sire ({})", percent(each.inbreeding, 2),
                                short_name(herd, each.sire.sire),
                                percent(each.sire.probability, 0)));
  }
  return "an average, for the sire is not certain: " + joined(parts);
}

bool rests_on_unsure_sires(const PedigreeReport& report) {
  return std::any_of(report.places.begin(), report.places.end(), [](const PedigreePlace& place) {
    return !place.held.empty() && place.held.front().probability < 1.0;
  });
}

void say_inbreeding(const Herd& herd, const PedigreeReport& report, PedigreeWords& words) {
  const Pronouns who = pronouns(herd, report.animal);
  words.inbreeding = percent(report.inbreeding, 2);
  const bool parents = !report.if_sire.empty();
  if (!parents) {
    words.inbreeding = "not known";  // 0 as recorded, which would sound like good news
    words.closeness = fmt::format(
        "{} parents are not both recorded: whether they were related is not known", who.possessive);
  } else if (report.if_sire.size() > 1 || report.if_sire.front().sire.probability < 1.0) {
    words.closeness = average_in_words(herd, report);
  } else if (report.shared.empty()) {
    words.closeness =
        fmt::format("no common ancestor of {} parents found; {} places of the chart are known",
                    who.possessive, words.known_figure);
  } else {
    words.closeness =
        fmt::format("{} parents are {}", who.possessive, closeness_in_words(report.inbreeding));
  }
  words.rests_on = fmt::format(
      "Counted over every ancestor in the book; {} are known to {} "
      "generations. What is not recorded counts as unrelated: a floor.",
      words.known_figure, report.chart_generations);
  if (rests_on_unsure_sires(report)) {
    words.rests_on += " Where a sire is not certain it is an average over the possible ones.";
  }
  if (report.if_sire.size() > 1) {
    for (const PedigreeIfSire& each : report.if_sire) {
      words.readings.push_back(fmt::format("{} if {} is the sire ({})", percent(each.inbreeding, 2),
                                           long_name(herd, each.sire.sire),
                                           percent(each.sire.probability, 0)));
    }
  }
  if (report.readings) {
    const KidInbreeding& kid = *report.readings;
    if (kid.unknowns_as_breed > kid.as_recorded) {
      words.readings.push_back(
          fmt::format("{} if the blanks are as close as the breed on average ({})",
                      percent(kid.unknowns_as_breed, 2), percent(kid.breed_inbreeding, 2)));
    }
    if (kid.worst > kid.as_recorded) {
      words.readings.push_back(
          fmt::format("{} at worst, {}", percent(kid.worst, 2), assumes_in_words(herd, kid)));
    }
  }
}

std::string where_in_words(const PedigreeReport& report, const PedigreeSharedAncestor& shared) {
  std::vector<std::string> sire_side, dam_side;
  for (const std::size_t p : shared.places) {
    const std::string& place = report.places[p].place;
    (place.front() == 's' ? sire_side : dam_side).push_back(place_in_words(place));
  }
  const auto side = [](const std::vector<std::string>& all, const char* whose) {
    return all.empty() ? fmt::format("deeper than this chart on the {} side", whose)
                       : fmt::format("{} on the {} side", joined(all), whose);
  };
  return side(sire_side, "sire's") + "; " + side(dam_side, "dam's");
}

/// "Alder - [Rowan] - Bryony: 3 animals, 1/8" with the ancestor's own F where it has one.
std::string how_in_words(const Herd& herd, const PedigreeSharedAncestor& shared) {
  constexpr std::size_t shown = 3;
  std::string text;
  for (std::size_t i = 0; i < std::min(shown, shared.paths.size()); ++i) {
    const Path& path = shared.paths[i];
    std::string way;
    for (const Animal animal : path.animals) {
      if (!way.empty()) way += " - ";
      const std::string name = short_name(herd, animal);
      way += path.ancestor == animal ? "[" + name + "]" : name;
    }
    if (!text.empty()) text += "; ";
    text +=
        fmt::format("{}: {} animals, {}", way, path.animals.size(), percent(path.contribution, 3));
  }
  if (shared.paths.size() > shown)
    text += fmt::format("; {} more paths", shared.paths.size() - shown);
  if (shared.own_inbreeding > 0.0) {
    text += fmt::format("; times 1 + {}, the ancestor's own inbreeding",
                        shortest(std::round(shared.own_inbreeding * 1e6) / 1e6));
  }
  return text;
}

void say_shared(const Herd& herd, const PedigreeReport& report, PedigreeWords& words) {
  std::vector<std::string> deeper;
  for (const PedigreeSharedAncestor& each : report.shared) {
    PedigreeMark mark;
    if (words.marks.size() < 26) mark.letter = static_cast<char>('A' + words.marks.size());
    mark.name = each.ancestor ? long_name(herd, *each.ancestor) : "a sire not on the list";
    mark.adds = percent(each.contribution, 3);
    mark.where = where_in_words(report, each);
    mark.how = how_in_words(herd, each);
    if (each.beyond_chart) deeper.push_back(mark.name);
    words.marks.push_back(std::move(mark));
  }
  if (words.marks.empty()) return;
  words.recompute =
      "To work it out again: of every way from the sire up to a common ancestor and down to the "
      "dam count the animals, the parents and the ancestor among them; each animal halves it. "
      "Add up.";
  if (rests_on_unsure_sires(report)) {
    words.recompute += " A way through a sire who is not certain counts times his chance.";
  }
  if (!deeper.empty()) {
    words.recompute += fmt::format(" Deeper than this chart enter: {}.", joined(deeper));
  }
  if (report.paths_left_out > 0.0) {
    words.recompute += fmt::format(" Ways too many to list are worth {} together.",
                                   percent(report.paths_left_out, 2));
  }
}

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
                                   places(gap.count), report.places.size()));
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
