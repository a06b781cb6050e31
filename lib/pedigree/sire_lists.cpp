// SPDX-License-Identifier: MIT
// Lists of possible sires: from entries to chances, and from chances to stand-ins.
#include <algorithm>
#include <tuple>
#include <utility>

#include "collected.hpp"

namespace doewright {

namespace {

constexpr double sum_tolerance = 1e-9;       // thirds written with few digits are not "above 1"
constexpr double certain_tolerance = 1e-12;  // DEFINITIONS: a list that comes to one buck

/// The chances of one kid's list by ascending number of the sire, each sire once. What is not in
/// the book is left out. \pre entries are not empty.
struct Chances {
  std::vector<Choice> choices;
  bool above_one = false;
};

Chances chances_of(std::span<const ListEntry> entries, std::uint32_t first_entry) {
  std::vector<Choice> all;
  std::size_t blanks = 0;
  for (std::uint32_t i = 0; i < entries.size(); ++i) {
    all.push_back({entries[i].sire, first_entry + i, entries[i].probability});
    if (entries[i].is_blank()) ++blanks;
  }
  // In an order that does not hang on the order of the entries, so that equal lists have equal
  // sums.
  std::sort(all.begin(), all.end(), [](const Choice& a, const Choice& b) {
    if (a.sire != b.sire) return a.sire < b.sire;
    const auto key = [](const Choice& c) {
      return std::isnan(c.probability) ? -1.0 : c.probability;
    };
    return std::pair(key(a), a.entry) < std::pair(key(b), b.entry);
  });
  double sum = 0.0;
  for (const Choice& choice : all) {
    if (!std::isnan(choice.probability)) sum += choice.probability;
  }
  const double share = sum < 1.0 && blanks > 0 ? (1.0 - sum) / static_cast<double>(blanks) : 0.0;
  Chances result;
  result.above_one = sum > 1.0 + sum_tolerance;
  for (const Choice& choice : all) {
    double probability = std::isnan(choice.probability) ? share : choice.probability;
    if (sum > 1.0) probability /= sum;
    if (choice.sire == ParentGraph::none || probability <= 0.0) continue;
    if (!result.choices.empty() && result.choices.back().sire == choice.sire) {
      Choice& same = result.choices.back();
      same.probability = std::min(1.0, same.probability + probability);
      same.entry = std::min(same.entry, choice.entry);
    } else {
      result.choices.push_back({choice.sire, choice.entry, std::min(1.0, probability)});
    }
  }
  return result;
}

void note_list(Collected& book, std::string_view code, std::uint32_t kid,
               std::initializer_list<Row> rows) {
  book.findings.push_back({.code = code, .animals = {Animal{kid}}, .rows = rows});
}

}  // namespace

void make_choices(Collected& book) {
  std::vector<ListEntry>& entries = book.entries;
  if (entries.empty()) return;
  std::stable_sort(entries.begin(), entries.end(),
                   [](const ListEntry& a, const ListEntry& b) { return a.kid < b.kid; });
  std::vector<std::uint32_t> first_choice(book.graph.size() + std::size_t{1});
  std::vector<Choice> choices;
  for (std::uint32_t begin = 0, end = 0; begin < entries.size(); begin = end) {
    const ListEntry& first = entries[begin];
    while (end < entries.size() && entries[end].kid == first.kid) ++end;
    if (book.graph.sire[first.kid] != Collected::none) {
      note_list(book, "sire-and-possible", first.kid, {book.row_of(first.kid), first.from});
      continue;
    }
    Chances list = chances_of(std::span(entries).subspan(begin, end - begin), begin);
    if (list.above_one) note_list(book, "chance-sum", first.kid, {first.from});
    choices.insert(choices.end(), list.choices.begin(), list.choices.end());
    first_choice[first.kid + 1] = static_cast<std::uint32_t>(list.choices.size());
  }
  for (std::size_t i = 1; i < first_choice.size(); ++i) first_choice[i] += first_choice[i - 1];
  book.graph.first_choice = std::move(first_choice);
  book.graph.choices = std::move(choices);
}

namespace {

/// A kid and its finished list: who shares it?
struct KidList {
  std::uint32_t litter;
  std::uint32_t position;
  Row from;
  std::vector<SireChance> list;
};

/// Lists are compared chance by chance, to the bit: equal entries give equal chances.
int compare(const std::vector<SireChance>& a, const std::vector<SireChance>& b) {
  const auto less = [](const SireChance& x, const SireChance& y) {
    return std::tie(x.sire, x.probability) < std::tie(y.sire, y.probability);
  };
  if (std::lexicographical_compare(a.begin(), a.end(), b.begin(), b.end(), less)) return -1;
  return std::lexicographical_compare(b.begin(), b.end(), a.begin(), a.end(), less) ? 1 : 0;
}

bool share_an_entry(const KidList& a, const KidList& b) {
  return a.litter != Collected::none && a.litter == b.litter;
}

std::vector<SireChance> by_position(std::span<const Choice> choices,
                                    std::span<const std::uint32_t> position_of) {
  std::vector<SireChance> list;
  for (const Choice& choice : choices) {
    if (choice.sire == Collected::none) continue;
    list.push_back({Animal{position_of[choice.sire]}, choice.probability});
  }
  std::sort(list.begin(), list.end(),
            [](const SireChance& a, const SireChance& b) { return a.sire < b.sire; });
  return list;
}

/// All kids that have a list of which something is left.
std::vector<KidList> finished_lists(const Collected& book,
                                    std::span<const std::uint32_t> position_of) {
  std::vector<KidList> kids;
  const std::vector<ListEntry>& entries = book.entries;
  for (std::size_t begin = 0, end = 0; begin < entries.size(); begin = end) {
    const std::uint32_t kid = entries[begin].kid;
    std::uint32_t litter = Collected::none;
    for (end = begin; end < entries.size() && entries[end].kid == kid; ++end) {
      if (litter == Collected::none) litter = entries[end].litter;
    }
    std::vector<SireChance> list = by_position(book.graph.choices_of(kid), position_of);
    if (list.empty()) continue;
    kids.push_back({litter, position_of[kid], entries[begin].from, std::move(list)});
  }
  return kids;
}

/// For each kid of `kids` the first of those that share its list (itself, if it shares with
/// nobody). \pre kids are sorted by litter, list, position.
std::vector<std::uint32_t> leaders_of(Collected& book, const std::vector<KidList>& kids,
                                      std::span<const std::uint32_t> order) {
  std::vector<std::uint32_t> leader(kids.size());
  bool litter_is_noted = false;
  for (std::uint32_t i = 0; i < kids.size(); ++i) {
    leader[i] = i;
    if (i == 0 || !share_an_entry(kids[i - 1], kids[i])) {
      litter_is_noted = false;
    } else if (compare(kids[i - 1].list, kids[i].list) == 0) {
      leader[i] = leader[i - 1];
    } else if (!std::exchange(litter_is_noted, true)) {
      const KidList& a = kids[i - 1];
      const KidList& b = kids[i];
      book.findings.push_back(
          {.code = "litter-lists",
           .animals = {Animal{order[a.position]}, Animal{order[b.position]}},  // numbers, as yet
           .rows = {a.from, b.from}});
    }
  }
  return leader;
}

}  // namespace

StandIns make_stand_ins(Collected& book, std::span<const std::uint32_t> order,
                        std::span<const std::uint32_t> position_of) {
  StandIns result;
  std::vector<KidList> kids = finished_lists(book, position_of);
  if (kids.empty()) return result;
  std::sort(kids.begin(), kids.end(), [](const KidList& a, const KidList& b) {
    if (a.litter != b.litter) return a.litter < b.litter;
    const int lists = compare(a.list, b.list);
    return lists != 0 ? lists < 0 : a.position < b.position;
  });
  const std::vector<std::uint32_t> leader = leaders_of(book, kids, order);

  // Stand-ins are numbered in the order of their first kids, which stand first among those that
  // share.
  std::vector<std::uint32_t> by_kid(kids.size());
  for (std::uint32_t i = 0; i < kids.size(); ++i) by_kid[i] = i;
  std::sort(by_kid.begin(), by_kid.end(),
            [&](std::uint32_t a, std::uint32_t b) { return kids[a].position < kids[b].position; });
  result.of.assign(order.size(), Pedigree::none);
  result.certain_sire.assign(order.size(), Pedigree::none);
  for (const std::uint32_t i : by_kid) {
    KidList& kid = kids[i];
    const KidList& first = kids[leader[i]];
    if (leader[i] != i) {
      result.of[kid.position] = result.of[first.position];
      result.certain_sire[kid.position] = result.certain_sire[first.position];
    } else if (kid.list.size() == 1 && kid.list[0].probability >= 1.0 - certain_tolerance) {
      result.certain_sire[kid.position] = kid.list[0].sire.position;
    } else {
      result.of[kid.position] = static_cast<std::uint32_t>(result.lists.size());
      result.lists.push_back(std::move(kid.list));
    }
  }
  return result;
}

}  // namespace doewright
