// SPDX-License-Identifier: MIT
#include "pedigree_chart.hpp"

#include <algorithm>

#include <doewright/kinship/known.hpp>

namespace doewright {

namespace {

constexpr std::size_t paths_listed = 200;

void add_chance(std::vector<SireChance>& held, Animal animal, double probability) {
  const auto there = std::find_if(held.begin(), held.end(),
                                  [&](const SireChance& each) { return each.sire == animal; });
  if (there == held.end()) {
    held.push_back({animal, probability});
  } else {
    there->probability += probability;
  }
}

/// Who may stand in the place of the sire (dam) of whoever stands in a place.
std::vector<SireChance> parents_in(const Herd& herd, const std::vector<SireChance>& kids,
                                   bool sires) {
  std::vector<SireChance> held;
  for (const SireChance& kid : kids) {
    if (sires) {
      for (const SireChance& sire : herd.pedigree.possible_sires(kid.sire)) {
        add_chance(held, sire.sire, kid.probability * sire.probability);
      }
    } else if (const auto dam = herd.pedigree.dam(kid.sire)) {
      add_chance(held, *dam, kid.probability);
    }
  }
  std::sort(held.begin(), held.end(), [&](const SireChance& a, const SireChance& b) {
    if (a.probability != b.probability) return a.probability > b.probability;
    return herd.ids[a.sire] < herd.ids[b.sire];
  });
  return held;
}

/// Contributions under each possible sire, weighted: what an ancestor adds is linear in the sire.
class SharedAncestors {
 public:
  SharedAncestors(const Herd& herd, const Kinship& kinship, PedigreeReport& report)
      : herd_(herd), kinship_(kinship), report_(report) {}

  void add(const SireChance& sire, Animal dam) {
    const Why why = kinship_.why(sire.sire, dam, paths_listed);
    for (const AncestorShare& share : why.ancestors) {
      entry(share.ancestor).contribution += sire.probability * share.contribution;
    }
    for (const Path& path : why.paths) add_path(path, sire.probability);
    report_.paths_left_out += sire.probability * why.paths_left_out;
  }

  void finish() {
    std::stable_sort(report_.shared.begin(), report_.shared.end(),
                     [&](const PedigreeSharedAncestor& a, const PedigreeSharedAncestor& b) {
                       if (a.contribution != b.contribution) return a.contribution > b.contribution;
                       return id(a) < id(b);
                     });
    for (PedigreeSharedAncestor& each : report_.shared) finish(each);
  }

 private:
  std::string_view id(const PedigreeSharedAncestor& each) const {
    return each.ancestor ? herd_.ids[*each.ancestor] : std::string_view();
  }

  PedigreeSharedAncestor& entry(std::optional<Animal> ancestor) {
    for (PedigreeSharedAncestor& each : report_.shared) {
      if (each.ancestor == ancestor) return each;
    }
    report_.shared.emplace_back().ancestor = ancestor;
    return report_.shared.back();
  }

  void add_path(Path path, double probability) {
    PedigreeSharedAncestor& shared = entry(path.ancestor);
    path.contribution *= probability;
    const auto top = path.ancestor
                         ? std::find(path.animals.begin(), path.animals.end(), *path.ancestor)
                         : path.animals.end();
    if (top != path.animals.end()) {
      // The path's first animal is the sire, one generation back; its last the dam.
      const auto sire_side = static_cast<std::size_t>(top - path.animals.begin()) + 1;
      const auto dam_side = static_cast<std::size_t>(path.animals.end() - top);
      shared.deepest = std::max({shared.deepest, sire_side, dam_side});
    }
    shared.paths.push_back(std::move(path));
  }

  void finish(PedigreeSharedAncestor& each) const {
    each.beyond_chart = each.deepest > static_cast<std::size_t>(report_.chart_generations);
    if (!each.ancestor) return;
    each.own_inbreeding = kinship_.inbreeding()[each.ancestor->position];
    for (std::size_t p = 0; p < report_.places.size(); ++p) {
      for (const SireChance& held : report_.places[p].held) {
        if (held.sire == *each.ancestor) each.places.push_back(p);
      }
    }
  }

  const Herd& herd_;
  const Kinship& kinship_;
  PedigreeReport& report_;
};

}  // namespace

std::vector<PedigreePlace> chart_places(const Herd& herd, Animal animal, int generations) {
  std::vector<PedigreePlace> places;
  std::vector<PedigreePlace> row = {{"", {{animal, 1.0}}, {}, {}, 0}};
  for (int g = 1; g <= generations; ++g) {
    std::vector<PedigreePlace> older;
    for (const PedigreePlace& kid : row) {
      older.push_back({kid.place + "s", parents_in(herd, kid.held, true), {}, {}, 0});
      older.push_back({kid.place + "d", parents_in(herd, kid.held, false), {}, {}, 0});
    }
    places.insert(places.end(), older.begin(), older.end());
    row = std::move(older);
  }
  return places;
}

void fill_inbreeding(const Herd& herd, const Kinship& kinship, PedigreeReport& report) {
  const Animal animal = report.animal;
  report.inbreeding = kinship.inbreeding()[animal.position];
  report.known = kinship.known(animal);
  for (PedigreePlace& place : report.places) {
    for (const SireChance& held : place.held) {
      place.inbreeding.push_back(kinship.inbreeding()[held.sire.position]);
    }
  }
  const AncestorPedigree own = ancestors_only(herd.pedigree, {&animal, 1});
  report.completeness = completeness(own.pedigree).at(own.asked.front().position);

  const std::vector<SireChance> sires = herd.pedigree.possible_sires(animal);
  const auto dam = herd.pedigree.dam(animal);
  if (!dam) return;
  SharedAncestors shared(herd, kinship, report);
  for (const SireChance& sire : sires) {
    shared.add(sire, *dam);
    report.if_sire.push_back({sire, kinship.of(sire.sire, *dam)});
  }
  shared.finish();
  std::sort(report.if_sire.begin(), report.if_sire.end(),
            [&](const PedigreeIfSire& a, const PedigreeIfSire& b) {
              if (a.inbreeding != b.inbreeding) return a.inbreeding > b.inbreeding;
              return herd.ids[a.sire.sire] < herd.ids[b.sire.sire];
            });
  if (const auto sire = herd.pedigree.sire(animal)) {
    report.readings = kinship.kid({.sire = *sire, .doe = *dam});
  }
}

}  // namespace doewright
