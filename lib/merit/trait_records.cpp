// SPDX-License-Identifier: MIT
#include "trait_records.hpp"

#include <algorithm>
#include <compare>
#include <map>

#include <fmt/format.h>

#include <doewright/core/errors.hpp>

namespace doewright {

namespace {

/// What a level is ordered and told apart by.
struct LevelKey {
  enum Kind : std::uint8_t { number, text, made_up, blank } kind = blank;
  std::int64_t value = 0;
  std::string words = {};
  friend auto operator<=>(const LevelKey&, const LevelKey&) = default;
};

std::string level_name(const LevelKey& key) {
  switch (key.kind) {
    case LevelKey::number:
      return fmt::format("{}", key.value);
    case LevelKey::text:
    case LevelKey::made_up:
      return key.words;
    case LevelKey::blank:
      break;
  }
  return {};
}

LevelKey number_key(std::optional<std::int64_t> number) {
  return number ? LevelKey{LevelKey::number, *number} : LevelKey{};
}

RecordLevels levels(std::string effect, const std::vector<LevelKey>& keys) {
  RecordLevels result;
  result.effect = std::move(effect);
  std::map<LevelKey, std::uint32_t> place;
  for (const LevelKey& key : keys) place.emplace(key, 0);
  for (auto& [key, at] : place) {
    at = static_cast<std::uint32_t>(result.names.size());
    result.names.push_back(level_name(key));
  }
  result.records.assign(result.names.size(), 0);
  for (const LevelKey& key : keys) {
    result.of.push_back(place.at(key));
    ++result.records[result.of.back()];
  }
  return result;
}

/// One record before its levels are numbered.
struct PlainRecord {
  Animal animal;
  double value = 0.0;
  PartialDate date;
  std::string_view group;
  std::optional<std::int64_t> parity;
  std::optional<std::int32_t> age_days;
};

/// Kiddings of every doe by first possible day; undated ones last.
class KiddingsSoFar {
 public:
  explicit KiddingsSoFar(const Herd& herd) : herd_(herd) {
    for (std::uint32_t k = 0; k < herd.kiddings.size(); ++k) {
      of_[herd.kiddings[k].doe.position].push_back(k);
    }
    for (auto& [doe, list] : of_) {
      std::stable_sort(list.begin(), list.end(), [&](std::uint32_t a, std::uint32_t b) {
        const PartialDate x = herd.kiddings[a].date, y = herd.kiddings[b].date;
        if (!x.known() || !y.known()) return x.known() && !y.known();
        return x.earliest() < y.earliest();
      });
    }
  }

  /// Which kidding of hers it is; not known if it is undated and not her only one.
  std::optional<std::int64_t> number_of(std::uint32_t kidding) const {
    const auto& list = of_.at(herd_.kiddings[kidding].doe.position);
    if (!herd_.kiddings[kidding].date.known() && list.size() > 1) return std::nullopt;
    return std::find(list.begin(), list.end(), kidding) - list.begin() + 1;
  }

  /// Kiddings on or before a day; not known without the day.
  std::optional<std::int64_t> until(Animal doe, PartialDate date) const {
    if (!date.known()) return std::nullopt;
    const auto found = of_.find(doe.position);
    if (found == of_.end()) return 0;
    return std::count_if(found->second.begin(), found->second.end(), [&](std::uint32_t k) {
      const PartialDate kidded = herd_.kiddings[k].date;
      return kidded.known() && kidded.earliest() <= date.latest();
    });
  }

 private:
  const Herd& herd_;
  std::map<std::uint32_t, std::vector<std::uint32_t>> of_;
};

std::optional<double> value_of(const Kidding& kidding, std::string_view key) {
  if (key == "kids_born") return kidding.kids_born;
  if (key == "kids_raised") return kidding.kids_raised;
  switch (kidding.help) {
    case KiddingHelp::none:
      return 0.0;
    case KiddingHelp::some:
      return 1.0;
    case KiddingHelp::hard:
      return 2.0;
    case KiddingHelp::unknown:
      break;
  }
  return std::nullopt;
}

std::vector<PlainRecord> plain_records(const Herd& herd, TraitIndex index) {
  const Trait& trait = herd.traits[index];
  const bool asks_parity =
      std::find(trait.fixed.begin(), trait.fixed.end(), "parity") != trait.fixed.end();
  std::optional<KiddingsSoFar> kiddings;
  if (asks_parity) kiddings.emplace(herd);
  std::vector<PlainRecord> records;
  if (trait.from == RecordsFrom::kiddings) {
    for (std::uint32_t k = 0; k < herd.kiddings.size(); ++k) {
      const Kidding& each = herd.kiddings[k];
      const auto value = value_of(each, trait.key);
      if (!value) continue;
      PlainRecord record{each.doe, *value, each.date, {}, {}, {}};
      if (kiddings) record.parity = kiddings->number_of(k);
      records.push_back(record);
    }
    return records;
  }
  for (const Record& each : herd.records) {
    if (each.trait != index) continue;
    PlainRecord record{each.animal, each.value, each.date, each.group, each.parity, each.age_days};
    if (kiddings && !each.parity) record.parity = kiddings->until(each.animal, each.date);
    records.push_back(record);
  }
  return records;
}

/// Keys of one effect, record by record.
class EffectKeys {
 public:
  EffectKeys(const Herd& herd, const Trait& trait, const BirthLitters* litters)
      : herd_(herd), trait_(trait), litters_(litters) {}

  LevelKey key(std::string_view effect, const PlainRecord& record) const {
    if (effect == "sex") {
      const Sex sex = herd_.animals.sex[record.animal.position];
      if (sex == Sex::unknown) return {};
      return {LevelKey::text, 0, std::string(word(sex))};
    }
    if (effect == "group") return group(record);
    if (effect == "birth_type") {
      const auto& kids = litters_->kids[record.animal.position];
      return kids ? number_key(*kids) : LevelKey{};
    }
    if (effect == "parity") return number_key(record.parity);
    if (effect == "year") return number_key(year(record));
    throw UsageError("merit: a fixed effect that is not known: " + std::string(effect));
  }

  LevelKey group(const PlainRecord& record) const {
    if (!record.group.empty()) return {LevelKey::text, 0, std::string(record.group)};
    const std::string& owner = herd_.animals.owners[herd_.animals.owner[record.animal.position]];
    const PartialDate date = trait_.from == RecordsFrom::kiddings
                                 ? record.date
                                 : herd_.animals.born[record.animal.position];
    const std::string& herd = owner.empty() ? herd_.season.own_herd : owner;
    return {LevelKey::made_up, 0,
            date.known() ? fmt::format("{} {}", date.year(), herd) : fmt::format("? {}", herd)};
  }

 private:
  std::optional<std::int64_t> year(const PlainRecord& record) const {
    if (record.date.known()) return record.date.year();
    const PartialDate born = herd_.animals.born[record.animal.position];
    if (born.known()) return born.year();
    return std::nullopt;
  }

  const Herd& herd_;
  const Trait& trait_;
  const BirthLitters* litters_;
};

std::optional<double> age_of(const Herd& herd, const PlainRecord& record) {
  if (record.age_days) return *record.age_days;
  const PartialDate born = herd.animals.born[record.animal.position];
  if (!born.to_the_day() || !record.date.to_the_day()) return std::nullopt;
  return record.date.earliest() - born.earliest();
}

}  // namespace

TraitRecords trait_records(const Herd& herd, TraitIndex index, std::span<const double> f,
                           const BirthLitters* litters) {
  const Trait& trait = herd.traits[index];
  const std::vector<PlainRecord> plain = plain_records(herd, index);
  const EffectKeys effects(herd, trait, litters);
  TraitRecords records;
  for (const PlainRecord& each : plain) {
    records.animals.push_back(each.animal);
    records.values.push_back(each.value -
                             trait.per_percent_inbreeding * 100.0 * f[each.animal.position]);
  }
  std::vector<LevelKey> keys(plain.size());
  for (const std::string& effect : trait.fixed) {
    if (effect == "age_days") {
      records.with_age = true;
      for (const PlainRecord& each : plain) records.age.push_back(age_of(herd, each));
      continue;
    }
    for (std::size_t r = 0; r < plain.size(); ++r) keys[r] = effects.key(effect, plain[r]);
    records.fixed.push_back(levels(effect, keys));
  }
  for (std::size_t r = 0; r < plain.size(); ++r) keys[r] = effects.group(plain[r]);
  RecordLevels groups = levels("group", keys);
  records.group = std::move(groups.of);
  records.groups = static_cast<std::uint32_t>(groups.names.size());
  return records;
}

// Two animals are related if some node (themselves too) is an ancestor of both. A node whose
// recorded descendants stand in more than one group is "shared"; a group is linked if one of its
// recorded animals is, or descends from, a shared node.
std::vector<bool> linked_animals(const Pedigree& pedigree, const TraitRecords& records) {
  const std::size_t n = pedigree.size();
  constexpr std::uint32_t nobody = 0xFFFFFFFFu, several = 0xFFFFFFFEu;
  const auto join = [](std::uint32_t& into, std::uint32_t group) {
    if (group == nobody || into == several) return;
    into = into == nobody || into == group ? group : several;
  };
  std::vector<std::uint32_t> below(n, nobody);
  for (std::size_t r = 0; r < records.size(); ++r) {
    join(below[records.animals[r].position], records.group[r]);
  }
  for (std::size_t i = n; i-- > 0;) {
    const Animal kid{static_cast<std::uint32_t>(i)};
    for (const SireChance& each : pedigree.possible_sires(kid)) {
      join(below[each.sire.position], below[i]);
    }
    if (const auto dam = pedigree.dam(kid)) join(below[dam->position], below[i]);
  }
  std::vector<bool> shares(n, false);
  for (std::size_t i = 0; i < n; ++i) {
    const Animal kid{static_cast<std::uint32_t>(i)};
    shares[i] = below[i] == several;
    for (const SireChance& each : pedigree.possible_sires(kid)) {
      if (shares[each.sire.position]) shares[i] = true;
    }
    const auto dam = pedigree.dam(kid);
    if (dam && shares[dam->position]) shares[i] = true;
  }
  std::vector<bool> linked_group(records.groups, false), linked(n, false);
  for (std::size_t r = 0; r < records.size(); ++r) {
    if (shares[records.animals[r].position]) linked_group[records.group[r]] = true;
  }
  for (std::size_t r = 0; r < records.size(); ++r) {
    if (linked_group[records.group[r]]) linked[records.animals[r].position] = true;
  }
  return linked;
}

}  // namespace doewright
