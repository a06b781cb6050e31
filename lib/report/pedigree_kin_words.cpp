// SPDX-License-Identifier: MIT
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

}  // namespace

/// Of 14, 30 or 62 places of the chart: how many are filled.
void say_known(const PedigreeReport& report, PedigreeWords& words) {
  double filled = 0.0;
  for (const PedigreePlace& place : report.places) {
    for (const SireChance& each : place.held) filled += each.probability;
  }
  words.known_figure = fmt::format("{} of {}", places_counted(filled), report.places.size());
  words.known = fmt::format(
      "ancestors known to {} generations. By generation: {}. Complete on both sides over five "
      "generations: {}; {} generations known in all.",
      report.chart_generations, places_in_words(report.known), percent(report.completeness, 0),
      fixed(report.known.generations, 2));
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

}  // namespace doewright
