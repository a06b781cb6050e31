// SPDX-License-Identifier: MIT
#include <doewright/pairing/one_animal.hpp>

#include <algorithm>
#include <optional>
#include <string>

#include <doewright/herd/alike_names.hpp>
#include <doewright/kinship/kinship.hpp>
#include <doewright/pairing/reason_codes.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

namespace doewright {

namespace {

constexpr std::size_t most_asked = 2;   // of a pair
constexpr std::size_t most_joined = 8;  // second pedigrees

/// The animals and all their ancestors, in order.
std::vector<Animal> with_ancestors(const Pedigree& pedigree, std::span<const Animal> animals) {
  return ancestors_only(pedigree, animals).original;
}

bool is_among(const std::vector<Animal>& sorted, Animal animal) {
  return std::binary_search(sorted.begin(), sorted.end(), animal,
                            [](Animal a, Animal b) { return a.position < b.position; });
}

bool of_two_sexes(const Herd& herd, const AlikeNames& names) {
  const Sex a = sex_or_use(herd, names.first), b = sex_or_use(herd, names.second);
  return a != Sex::unknown && b != Sex::unknown && (a == Sex::doe) != (b == Sex::doe);
}

/// The pedigree of these animals in which the two are one; nothing where that cannot be.
class JoinedPedigree {
 public:
  JoinedPedigree(const Herd& herd, const std::vector<Animal>& animals, const AlikeNames& names)
      : herd_(herd), names_(names) {
    PedigreeBuilder builder;
    for (const Animal animal : animals) {
      if (animal != names.second) add(builder, animal);
    }
    built_ = std::move(builder).build();
  }
  bool stands() const {
    return std::none_of(built_.findings.begin(), built_.findings.end(), [](const Finding& finding) {
      return finding.code == "loop" || finding.code == "own-parent" ||
             finding.code == "both-roles" || finding.code == "same-parent-twice" ||
             finding.code == "sire-and-possible";
    });
  }
  const Pedigree& pedigree() const { return built_.pedigree; }
  Animal of(Animal animal) const { return *built_.ids.find(id_of(animal)); }

 private:
  std::string_view id_of(Animal animal) const {
    return herd_.ids[animal == names_.second ? names_.first : animal];
  }
  void add(PedigreeBuilder& builder, Animal animal) const {
    const Pedigree& pedigree = herd_.pedigree;
    const bool joined = animal == names_.first;
    Animal sire_from = animal, dam_from = animal;
    if (joined && pedigree.possible_sires(animal).empty()) sire_from = names_.second;
    if (joined && !pedigree.dam(animal)) dam_from = names_.second;
    const auto sire = pedigree.sire(sire_from), dam = pedigree.dam(dam_from);
    builder.add(id_of(animal), sire ? id_of(*sire) : std::string_view(),
                dam ? id_of(*dam) : std::string_view());
    const std::uint32_t slot = pedigree.sire_slots()[sire_from.position];
    if (!Pedigree::is_stand_in(slot)) return;
    std::vector<NamedChance> chances;
    for (const SireChance& chance : pedigree.possible_sires(sire_from)) {
      chances.push_back({id_of(chance.sire), chance.probability});
    }
    builder.add_possible_sires(id_of(animal), std::to_string(Pedigree::stand_in_of(slot)), chances);
  }

  const Herd& herd_;
  AlikeNames names_;
  BuiltPedigree built_;
};

/// Kinship of every sire with every doe if the two were one; nothing where that cannot be.
std::optional<Grid<double>> kinship_if_one(const Herd& herd, const std::vector<Animal>& everybody,
                                           const AlikeNames& names, std::span<const Animal> sires,
                                           std::span<const Animal> does) {
  const JoinedPedigree joined(herd, everybody, names);
  if (!joined.stands()) return std::nullopt;
  std::vector<Animal> rows, columns;
  for (const Animal sire : sires) rows.push_back(joined.of(sire));
  for (const Animal doe : does) columns.push_back(joined.of(doe));
  return Kinship(joined.pedigree()).block(rows, columns);
}

}  // namespace

Grid<std::vector<Reason>> ask_if_one_animal(const Herd& herd, std::span<const Animal> sires,
                                            std::span<const Animal> does) {
  Grid<std::vector<Reason>> result(sires.size(), does.size());
  std::vector<Animal> asked(sires.begin(), sires.end());
  asked.insert(asked.end(), does.begin(), does.end());
  if (sires.empty() || does.empty()) return result;
  const std::vector<Animal> everybody = with_ancestors(herd.pedigree, asked);
  std::vector<AlikeNames> alike = alike_names(herd, everybody);
  std::erase_if(alike, [&](const AlikeNames& names) { return of_two_sexes(herd, names); });
  if (alike.empty()) return result;

  std::vector<std::vector<Animal>> lines;  // of each one asked for
  for (const Animal animal : asked) lines.push_back(with_ancestors(herd.pedigree, {&animal, 1}));
  std::size_t joined = 0;
  for (const AlikeNames& names : alike) {
    std::vector<std::pair<std::size_t, std::size_t>> across;
    for (std::size_t s = 0; s < sires.size(); ++s) {
      const bool his_first = is_among(lines[s], names.first),
                 his_second = is_among(lines[s], names.second);
      for (std::size_t d = 0; d < does.size() && (his_first || his_second); ++d) {
        const auto& hers = lines[sires.size() + d];
        const bool both = (his_first && is_among(hers, names.second)) ||
                          (his_second && is_among(hers, names.first));
        if (both) across.emplace_back(s, d);
      }
    }
    if (across.empty()) continue;
    std::optional<Grid<double>> kinship;
    if (joined++ < most_joined) kinship = kinship_if_one(herd, everybody, names, sires, does);
    for (const auto& [s, d] : across) {
      const double f = kinship ? (*kinship)(s, d) : -1.0;
      result(s, d).push_back(Reason{.code = reason::ask_one_animal,
                                    .effect = std::max(f, 0.0),
                                    .animals = {names.first, names.second},
                                    .numbers = {f, 0.0},
                                    .records = {}});
    }
  }
  for (std::vector<Reason>& questions : result.cells) {
    std::stable_sort(questions.begin(), questions.end(),
                     [](const Reason& a, const Reason& b) { return a.effect > b.effect; });
    if (questions.size() > most_asked) questions.resize(most_asked);
  }
  return result;
}

std::vector<Reason> each_once(const Grid<std::vector<Reason>>& questions) {
  std::vector<Reason> result;
  for (const std::vector<Reason>& of_pair : questions.cells) {
    for (const Reason& question : of_pair) {
      const auto same = std::find_if(result.begin(), result.end(), [&](const Reason& each) {
        return each.animals == question.animals;
      });
      if (same == result.end()) {
        result.push_back(question);
        continue;
      }
      same->numbers[1] = 1.0;  // of several pairs: the largest
      if (question.numbers[0] > same->numbers[0]) {
        same->numbers[0] = question.numbers[0];
        same->effect = question.effect;
      }
    }
  }
  std::stable_sort(result.begin(), result.end(),
                   [](const Reason& a, const Reason& b) { return a.effect > b.effect; });
  return result;
}

}  // namespace doewright
