// SPDX-License-Identifier: MIT
#include "narrowed.hpp"

#include <algorithm>

#include <fmt/format.h>

#include <doewright/core/text.hpp>

using namespace doewright;

namespace {

template <class Row>
Animal on_the_list(const Session& session, const Herd& herd, const std::string& id,
                   const std::vector<Row>& rows, Animal Row::*animal_of, const char* not_there) {
  const Animal animal = session.find(herd, id);
  const bool listed = std::any_of(rows.begin(), rows.end(),
                                  [&](const Row& row) { return row.*animal_of == animal; });
  if (!listed) throw Ending{status_wrong_command, fmt::format("{} {}", printable(id), not_there)};
  return animal;
}

}  // namespace

ScoreOptions narrowed(const Session& session, const Herd& herd) {
  const CommonOptions& options = session.line().common;
  ScoreOptions narrow;
  for (const std::string& id : options.does) {
    narrow.only_does.push_back(on_the_list(session, herd, id, herd.does, &DoeForward::doe,
                                           "is not put forward this season: add her to does.csv"));
  }
  for (const std::string& id : options.sires) {
    narrow.only_sires.push_back(on_the_list(session, herd, id, herd.sires, &SireOffer::sire,
                                            "is not on offer this season: add him to sires.csv"));
  }
  narrow.seed = session.seed();
  return narrow;
}

std::vector<Animal> animals_named(const Session& session, const Herd& herd) {
  std::vector<Animal> animals;
  for (const auto* ids : {&session.line().common.does, &session.line().common.sires}) {
    for (const std::string& id : *ids) animals.push_back(session.find(herd, id));
  }
  std::sort(animals.begin(), animals.end());
  animals.erase(std::unique(animals.begin(), animals.end()), animals.end());
  if (!animals.empty()) return animals;
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) animals.push_back(Animal{i});
  return animals;
}
