// SPDX-License-Identifier: MIT
#pragma once
/// Small herds for tests, written as a keeper would say them: rows of ids, then facts by id.
#include <algorithm>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <doctest/doctest.h>
#include <doewright/core/date.hpp>
#include <doewright/herd/herd.hpp>
#include <doewright/pedigree/pedigree_builder.hpp>

namespace doewright::testing {

/// One row of animals.csv: parents empty if not known.
struct AnimalRow {
  std::string_view id;
  std::string_view sire = {};
  std::string_view dam = {};
  Sex sex = Sex::unknown;
  PartialDate born = {};
};

/// Reads "2024", "2024-03" or "2024-03-07".
inline PartialDate date(std::string_view text) {
  const auto number = [&](std::size_t from, std::size_t length) {
    unsigned value = 0;
    for (const char c : text.substr(from, length))
      value = value * 10 + static_cast<unsigned>(c - '0');
    return value;
  };
  const int year = static_cast<int>(number(0, 4));
  const unsigned month = text.size() >= 7 ? number(5, 2) : 0;
  const unsigned day = text.size() >= 10 ? number(8, 2) : 0;
  return PartialDate::of(year, month, day).value();
}

/// One possible sire of a kid.
struct ListedSire {
  std::string_view kid, sire;
  double probability;
};

/// The herd of these rows; row k stands on line k + 2 of animals.csv, list k on line k + 2 of
/// possible_sires.csv. As-of 2026-09-15.
inline Herd herd_of(std::initializer_list<AnimalRow> rows,
                    std::initializer_list<ListedSire> possible = {}) {
  PedigreeBuilder builder;
  std::uint32_t line = 2;
  for (const AnimalRow& row : rows)
    builder.add(row.id, row.sire, row.dam, {Table::animals, line++});
  line = 2;
  for (const ListedSire& entry : possible) {
    const NamedChance chance{entry.sire, entry.probability, {Table::possible_sires, line}};
    builder.add_possible_sires(entry.kid, "", {&chance, 1}, {Table::possible_sires, line});
    ++line;
  }
  BuiltPedigree built = std::move(builder).build();
  Herd herd;
  herd.pedigree = built.pedigree;
  herd.ids = built.ids;
  const std::size_t n = herd.pedigree.size();
  AnimalFacts& facts = herd.animals;
  facts.line = built.line_of;
  facts.sex.resize(n);
  facts.born.resize(n);
  facts.horns.resize(n);
  facts.gone.resize(n);
  facts.left.resize(n);
  facts.left_why.resize(n);
  facts.breed_mixes = {{}};
  facts.breed_mix.resize(n);
  facts.owners = {""};
  facts.owner.resize(n);
  std::size_t k = 0;
  for (const AnimalRow& row : rows) {
    const std::uint32_t position = built.animal_of_row[k++].position;
    facts.sex[position] = row.sex;
    facts.born[position] = row.born;
  }
  line = 2;
  for (const ListedSire& entry : possible) {
    herd.possible_sires.push_back({herd.ids.find(entry.kid).value(),
                                   herd.ids.find(entry.sire).value(),
                                   entry.probability,
                                   "",
                                   {Table::possible_sires, line++}});
  }
  herd.as_of = date("2026-09-15").earliest();
  herd.as_of_set = true;
  return herd;
}

inline Animal animal(const Herd& herd, std::string_view id) {
  return herd.ids.find(id).value();
}

/// The animal left the herd.
inline void leaves(Herd& herd, std::string_view id, PartialDate day, LeftWhy why) {
  const std::uint32_t position = animal(herd, id).position;
  herd.animals.gone[position] = true;
  herd.animals.left[position] = day;
  herd.animals.left_why[position] = why;
}

/// Texts by id, in any order.
inline void write(TextColumn& column, const Herd& herd,
                  std::vector<std::pair<std::string_view, std::string_view>> texts) {
  std::sort(texts.begin(), texts.end(), [&](const auto& a, const auto& b) {
    return animal(herd, a.first) < animal(herd, b.first);
  });
  std::vector<std::uint32_t> positions;
  std::vector<std::string_view> values;
  for (const auto& [id, text] : texts) {
    positions.push_back(animal(herd, id).position);
    values.push_back(text);
  }
  column.assign(positions, values);
}

inline void breed(Herd& herd, std::string_view id, std::vector<BreedShare> mix) {
  herd.animals.breed_mixes.push_back(std::move(mix));
  herd.animals.breed_mix[animal(herd, id).position] =
      static_cast<std::uint32_t>(herd.animals.breed_mixes.size() - 1);
}

inline void owned_by(Herd& herd, std::string_view id, std::string_view owner) {
  herd.animals.owners.emplace_back(owner);
  herd.animals.owner[animal(herd, id).position] =
      static_cast<std::uint32_t>(herd.animals.owners.size() - 1);
}

/// Problems as "code file:line animal", in the order found.
inline std::vector<std::string> told(const std::vector<Problem>& problems) {
  std::vector<std::string> lines;
  for (const Problem& problem : problems) {
    lines.push_back(problem.code + " " + problem.file + ":" + std::to_string(problem.line) + " " +
                    problem.animal);
  }
  return lines;
}

}  // namespace doewright::testing

/// A failed comparison of lists shows the lists.
template <>
struct doctest::StringMaker<std::vector<std::string>> {
  static String convert(const std::vector<std::string>& lines) {
    std::string text = "{";
    for (const std::string& line : lines) text += " [" + line + "]";
    return (text + " }").c_str();
  }
};
