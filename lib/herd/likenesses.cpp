// SPDX-License-Identifier: MIT
// Likenesses are found by sorting hashes: nothing is compared pair by pair. Of a group of alike
// animals each one is held against the first, so that a thousand tags "none" are a thousand
// questions, not a million.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include <doewright/core/text.hpp>
#include <doewright/herd/alike_names.hpp>

#include "breeds.hpp"
#include "checks.hpp"

namespace doewright {

namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// The name with case, blanks, punctuation and accents put aside, but digits keep their borders:
/// "1-12" and "11-2" are different numbers. What folds to nothing stays as it is.
std::string likeness_key(std::string_view name) {
  std::string key;
  std::size_t at = 0;
  while (at < name.size()) {
    // A piece ends where the next character is an ASCII mark or blank.
    std::size_t end = at;
    const auto is_mark = [&](std::size_t k) {
      const auto c = static_cast<unsigned char>(name[k]);
      const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c >= 0x80;
      return !letter && !is_digit(name[k]);
    };
    while (end < name.size() && !is_mark(end)) ++end;
    const std::string piece = folded(name.substr(at, end - at));
    if (!piece.empty()) {
      if (!key.empty() && is_digit(key.back()) && is_digit(piece.front())) key += '-';
      key += piece;
    }
    at = end + 1;
  }
  return key.empty() ? std::string(name) : key;
}

std::uint64_t hash_of(std::string_view text) noexcept {
  std::uint64_t hash = 0xcbf29ce484222325u;  // FNV-1a: the same on every machine
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3u;
  return hash;
}

enum class NameKind : std::uint8_t { id, tag, registration, also };

std::string_view kind_word(NameKind kind) {
  switch (kind) {
    case NameKind::id:
      return "id";
    case NameKind::tag:
      return "tag";
    case NameKind::registration:
      return "registration";
    case NameKind::also:
      return "other name";
  }
  return "";
}

struct NameEntry {
  std::uint64_t hash;
  std::uint32_t animal;
  NameKind kind;
  std::uint8_t part;  ///< Which of the names between ";"; more than 256 are not looked at.
};

constexpr std::size_t most_parts = 256;

/// Calls take(part, text) for the texts between ";", trimmed, blanks left out.
template <class Take>
void each_part(std::string_view list, Take take) {
  for (std::size_t part = 0; part < most_parts && !list.empty(); ++part) {
    const std::size_t end = std::min(list.find(';'), list.size());
    if (const std::string_view text = trimmed(list.substr(0, end)); !text.empty()) take(part, text);
    list.remove_prefix(std::min(end + 1, list.size()));
  }
}

class Names {
 public:
  explicit Names(const Herd& herd) : herd_(herd) {}

  /// Of these animals alone.
  std::vector<AlikeNames> among(std::span<const Animal> animals) {
    for (const Animal animal : animals) collect(animal);
    std::vector<AlikeNames> result;
    pairs_ = &result;
    find_alike({});
    pairs_ = nullptr;
    return result;
  }

  /// The first name of `first` that is also one of `second`, ids against ids apart.
  std::string in_common(Animal first, Animal second) {
    collect(first);
    const std::size_t of_first = entries_.size();
    collect(second);
    for (std::size_t k = 0; k < of_first; ++k) {
      for (std::size_t m = of_first; m < entries_.size(); ++m) {
        const NameEntry &a = entries_[k], &b = entries_[m];
        if (a.kind == NameKind::id && b.kind == NameKind::id) continue;
        if (a.hash != b.hash || likeness_key(text(a)) != likeness_key(text(b))) continue;
        const NameKind kind = a.kind == NameKind::id ? b.kind : a.kind;
        return fmt::format("{} {}", kind == NameKind::also ? "name" : kind_word(kind), text(a));
      }
    }
    return {};
  }

  void find(const SayProblem& say) {
    collect();
    find_alike(say);
  }

 private:
  void find_alike(const SayProblem& say) {
    std::sort(entries_.begin(), entries_.end(), [&](const NameEntry& a, const NameEntry& b) {
      return std::tuple(a.hash, line(a), a.animal, a.kind, a.part) <
             std::tuple(b.hash, line(b), b.animal, b.kind, b.part);
    });
    for (std::size_t begin = 0; begin < entries_.size();) {
      std::size_t end = begin + 1;
      while (end < entries_.size() && entries_[end].hash == entries_[begin].hash) ++end;
      if (end - begin > 1) tell_group(begin, end, say);
      begin = end;
    }
  }

  std::uint32_t line(const NameEntry& entry) const { return herd_.animals.line[entry.animal]; }

  void collect() {
    for (std::uint32_t i = 0; i < herd_.pedigree.size(); ++i) collect(Animal{i});
  }

  void collect(Animal animal) {
    const AnimalFacts& facts = herd_.animals;
    add(animal, NameKind::id, 0, herd_.ids[animal]);
    add_list(animal, NameKind::tag, facts.tags);
    add_list(animal, NameKind::registration, facts.registration);
    add_list(animal, NameKind::also, facts.also);
  }

  void add_list(Animal animal, NameKind kind, const TextColumn& column) {
    if (column.empty()) return;
    each_part(column[animal],
              [&](std::size_t part, std::string_view text) { add(animal, kind, part, text); });
  }

  void add(Animal animal, NameKind kind, std::size_t part, std::string_view text) {
    entries_.push_back(
        {hash_of(likeness_key(text)), animal.position, kind, static_cast<std::uint8_t>(part)});
  }

  std::string_view text(const NameEntry& entry) const {
    const Animal animal{entry.animal};
    const AnimalFacts& facts = herd_.animals;
    if (entry.kind == NameKind::id) return herd_.ids[animal];
    const std::string_view list = entry.kind == NameKind::tag ? facts.tags[animal]
                                  : entry.kind == NameKind::registration
                                      ? facts.registration[animal]
                                      : facts.also[animal];
    std::string_view found;
    each_part(list, [&](std::size_t part, std::string_view name) {
      if (part == entry.part) found = name;
    });
    return found;
  }

  /// Entries of one hash, by line: the first is held against each other animal. Ids against ids are
  /// near, anything else is shared; an animal is asked about once.
  void tell_group(std::size_t begin, std::size_t end, const SayProblem& say) const {
    const std::string key = likeness_key(text(entries_[begin]));
    const NameEntry* first = nullptr;  // of all
    const NameEntry* first_id = nullptr;
    const NameEntry* first_other = nullptr;  // tag, registration, other name
    const NameEntry* told = nullptr;         // last entry that was asked about
    for (std::size_t k = begin; k < end; ++k) {
      const NameEntry& entry = entries_[k];
      // Two names with one hash that are not alike: one in 10^19, and then no question.
      if (likeness_key(text(entry)) != key) continue;
      const bool is_id = entry.kind == NameKind::id;
      if (is_id && first_id != nullptr && first_id->animal != entry.animal) {
        tell("id-near", *first_id, entry, say);
        told = &entry;
      }
      const NameEntry* against = is_id ? first_other : first;
      const bool again = told != nullptr && told->animal == entry.animal;
      if (against != nullptr && against->animal != entry.animal && !again) {
        tell("name-shared", *against, entry, say);
        told = &entry;
      }
      if (first == nullptr) first = &entry;
      if (is_id && first_id == nullptr) first_id = &entry;
      if (!is_id && first_other == nullptr) first_other = &entry;
    }
  }

  void tell(std::string_view code, const NameEntry& first, const NameEntry& second,
            const SayProblem& say) const {
    const Animal a{first.animal};
    const Animal b{second.animal};
    if (pairs_ != nullptr) return pairs_->push_back({a, b});
    const auto who = [&](const NameEntry& entry, Animal animal) {
      const std::string_view id = herd_.ids[animal];
      return entry.kind == NameKind::id
                 ? fmt::format("the id {}{}", id, line_text(herd_, animal))
                 : fmt::format("the {} \"{}\" of {}{}", kind_word(entry.kind), text(entry), id,
                               line_text(herd_, animal));
    };
    say(problem_at(Severity::question, code, row_of(herd_, b), herd_.ids[b],
                   fmt::format("{} is like {}", who(second, b), who(first, a)),
                   "one animal or two? If it is one, write it in one row with one id everywhere"));
  }

  const Herd& herd_;
  std::vector<NameEntry> entries_;
  std::vector<AlikeNames>* pairs_ = nullptr;  ///< If set, pairs go there and nothing is said.
};

/// What must be alike for two rows to look like one animal.
using BirthKey = std::tuple<PartialDate, Sex, std::uint32_t /*breeds*/, std::uint32_t /*sire*/>;

/// A number for each recorded mix: the same for the same breeds, however they were written.
std::vector<std::uint32_t> numbers_of_mixes(const AnimalFacts& facts) {
  std::map<std::vector<std::pair<std::uint16_t, double>>, std::uint32_t> number_of;
  std::vector<std::uint32_t> numbers;
  for (const auto& recorded : facts.breed_mixes) {
    std::vector<std::pair<std::uint16_t, double>> mix;
    for (const BreedShare& share : normal_mix(recorded)) mix.emplace_back(share.breed, share.share);
    const auto next = static_cast<std::uint32_t>(number_of.size());
    numbers.push_back(number_of.try_emplace(std::move(mix), next).first->second);
  }
  return numbers;
}

void find_born_alike(const Herd& herd, const SayProblem& say) {
  const AnimalFacts& facts = herd.animals;
  const auto sires = herd.pedigree.sire_slots();
  const auto dams = herd.pedigree.dam_slots();
  std::vector<std::uint32_t> candidates;
  for (std::uint32_t i = 0; i < herd.pedigree.size(); ++i) {
    // Kids of one dam born on one day are a litter.
    if (facts.born[i].to_the_day() && dams[i] == Pedigree::none) candidates.push_back(i);
  }
  if (candidates.size() < 2) return;

  const std::vector<std::uint32_t> mix = numbers_of_mixes(facts);
  const auto key = [&](std::uint32_t i) {
    return BirthKey{facts.born[i], facts.sex[i], mix.at(facts.breed_mix[i]), sires[i]};
  };
  std::sort(candidates.begin(), candidates.end(), [&](std::uint32_t a, std::uint32_t b) {
    return std::tuple(key(a), facts.line[a], a) < std::tuple(key(b), facts.line[b], b);
  });
  std::uint32_t first = candidates.front();
  for (std::size_t k = 1; k < candidates.size(); ++k) {
    const std::uint32_t i = candidates[k];
    if (key(i) != key(first)) {
      first = i;
      continue;
    }
    const std::string_view id = herd.ids[Animal{i}];
    say(problem_at(
        Severity::question, "born-alike", row_of(herd, Animal{i}), id,
        fmt::format(
            "{} and {}{} are born on {}, of one sex, breed and sire as far as recorded, and "
            "of neither the dam is known",
            id, herd.ids[Animal{first}], line_text(herd, Animal{first}), to_text(facts.born[i])),
        "one animal or two? If it is one, keep one row and use its id everywhere"));
  }
}

}  // namespace

std::vector<AlikeNames> alike_names(const Herd& herd, std::span<const Animal> among) {
  return Names(herd).among(among);
}

std::string name_in_common(const Herd& herd, Animal first, Animal second) {
  return Names(herd).in_common(first, second);
}

void likenesses(const Herd& herd, const SayProblem& say) {
  Names(herd).find(say);
  find_born_alike(herd, say);
}

std::vector<Problem> likenesses(const Herd& herd) {
  std::vector<Problem> questions;
  likenesses(herd, [&](Problem&& question) { questions.push_back(std::move(question)); });
  return questions;
}

}  // namespace doewright
