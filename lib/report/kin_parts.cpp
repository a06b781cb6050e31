// SPDX-License-Identifier: MIT
#include "kin_parts.hpp"

#include <cmath>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "preamble.hpp"

namespace doewright {

std::string_view word(UnknownsBy by) noexcept {
  return by == UnknownsBy::breed ? "breed" : "breed_and_years";
}

std::string_view unknowns_in_words(UnknownsBy by) noexcept {
  return by == UnknownsBy::breed ? "as the breed" : "as their breed and birth year";
}

void write_readings(JsonWriter& json, const Herd& herd, const KidInbreeding& kid) {
  json.field("kid_inbreeding", kid.as_recorded);
  json.field("kid_inbreeding_used", kid.used);
  json.field("kid_inbreeding_unknowns_as_breed", kid.unknowns_as_breed);
  json.field("kid_inbreeding_worst", kid.worst);
  json.field("worst_all_settled", kid.worst_all_settled);
  json.key("worst_assumes");
  json.begin_list();
  for (const Assumption& assumption : kid.worst_assumes) {
    json.begin_object();
    json.field("animal", herd.ids[assumption.animal]);
    json.field("parent", assumption.parent == ParentRole::sire ? "sire" : "dam");
    json.field("taken_as", herd.ids[assumption.taken_as]);
    json.end_object();
  }
  json.end_list();
}

void write_common_ancestors(JsonWriter& json, const Herd& herd,
                            const std::vector<AncestorShare>& ancestors, double kinship) {
  json.key("common_ancestors");
  json.begin_list();
  for (const AncestorShare& each : ancestors) {
    json.begin_object();
    json.key("id");
    each.ancestor ? json.value(herd.ids[*each.ancestor]) : json.null();
    json.field("contribution", each.contribution);
    json.field("share", kinship > 0.0 ? each.contribution / kinship : 0.0);
    json.end_object();
  }
  json.end_list();
}

std::string assumes_in_words(const Herd& herd, const KidInbreeding& kid) {
  std::string text;
  for (const Assumption& a : kid.worst_assumes) {
    text += fmt::format("{}{} were the {} of {}", text.empty() ? "if " : " and ",
                        long_name(herd, a.taken_as), a.parent == ParentRole::sire ? "sire" : "dam",
                        long_name(herd, a.animal));
  }
  if (!kid.worst_all_settled) {
    text += text.empty() ? "" : "; ";
    text += "too many unsure sires to try all together: it may be higher";
  }
  return text;
}

std::string places_in_words(const Known& known) {
  std::string text;
  for (std::size_t g = 0; g < known.places.size(); ++g) {
    const double places = known.places[g];
    const bool whole = std::abs(places - std::round(places)) < 1e-9;
    text += fmt::format("{}{}/{}", text.empty() ? "" : ", ", fixed(places, whole ? 0 : 1), 2u << g);
  }
  return text;
}

std::string closeness_in_words(double kinship) {
  struct Landmark {
    double kinship;
    const char* words;
  };
  static constexpr Landmark landmarks[] = {
      {0.25, "as parent and offspring, or full brother and sister"},
      {0.125, "as half brother and sister"},
      {0.0625, "as first cousins"},
      {0.03125, "as half cousins"},
  };
  constexpr double same = 1e-9;
  if (kinship <= same) return "not related as far as the book knows";
  for (const Landmark& landmark : landmarks) {
    if (std::abs(kinship - landmark.kinship) <= same) {
      return std::string("related ") + landmark.words;
    }
    if (kinship > landmark.kinship)
      return std::string("more closely related than") + (landmark.words + 2);
  }
  return "less closely related than half cousins";
}

}  // namespace doewright
