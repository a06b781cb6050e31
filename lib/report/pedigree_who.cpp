// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <doewright/core/text.hpp>

#include "pedigree_looks.hpp"
#include "preamble.hpp"

namespace doewright {

namespace {

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

}  // namespace

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

}  // namespace doewright
