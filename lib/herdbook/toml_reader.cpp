// SPDX-License-Identifier: MIT
#include "toml_reader.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/core.h>
#include <fmt/ranges.h>

#include <doewright/core/text.hpp>

namespace doewright {

bool Bounds::hold(double x) const noexcept {
  if (!std::isfinite(x)) return false;
  return (low_open ? x > low : x >= low) && (high_open ? x < high : x <= high);
}

std::string Bounds::words() const {
  const bool has_low = std::isfinite(low);
  const bool has_high = std::isfinite(high);
  if (!has_low && !has_high) return "an ordinary number";
  if (!has_high) {
    if (low_open) return fmt::format("a number above {}", shortest(low));
    return fmt::format("a number of at least {}", shortest(low));
  }
  if (!low_open && !high_open) {
    return fmt::format("a number from {} to {}", shortest(low), shortest(high));
  }
  return fmt::format("a number {} {} and {} {}", low_open ? "above" : "from", shortest(low),
                     high_open ? "below" : "up to", shortest(high));
}

void TomlComplaints::wrong(TomlPlace place, std::string message, std::string remedy) {
  problems.push_back({Severity::error, "key-form", file, place.line, place.column, "",
                      std::move(message), std::move(remedy)});
}

void TomlComplaints::unused(TomlPlace place, std::string message, std::string remedy) {
  problems.push_back({Severity::warning, "key-unknown", file, place.line, place.column, "",
                      std::move(message), std::move(remedy)});
}

std::string one_of(std::string_view found, std::span<const std::string_view> words) {
  if (const auto near = nearest(found, words)) return fmt::format("did you mean \"{}\"?", *near);
  return fmt::format("write one of: {}", fmt::join(words, ", "));
}

std::string TomlTable::dotted(std::string_view key) const {
  return path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key);
}

const TomlEntry* TomlTable::entry(std::string_view key) const {
  for (const TomlEntry& entry : value_->entries) {
    if (entry.key == key) return &entry;
  }
  return nullptr;
}

const TomlEntry* TomlTable::ask(std::string_view key) {
  asked_.insert(std::string(key));
  return entry(key);
}

TomlPlace TomlTable::place_of(std::string_view key) const {
  const TomlEntry* found = entry(key);
  return found ? found->value.place : value_->place;
}

void TomlTable::wrong(std::string_view key, std::string message, std::string remedy) const {
  complaints_->wrong(place_of(key), std::move(message), std::move(remedy));
}

void TomlTable::unused(std::string_view key, std::string message, std::string remedy) const {
  const TomlEntry* found = entry(key);
  complaints_->unused(found ? found->place : value_->place, std::move(message), std::move(remedy));
}

void TomlTable::missing(std::string_view key, std::string remedy) const {
  complaints_->wrong(value_->place, fmt::format("{} is missing", dotted(key)), std::move(remedy));
}

void TomlTable::wrong_type(const TomlEntry& entry, std::string_view wanted) const {
  complaints_->wrong(
      entry.value.place,
      fmt::format("{} is {}, not {}", dotted(entry.key), word(entry.value.kind), wanted),
      fmt::format("write {} as {}", entry.key, wanted));
}

bool TomlTable::number_is_good(std::string_view name, const TomlValue& value,
                               const Bounds& bounds) const {
  if (value.kind != TomlKind::number && value.kind != TomlKind::integer) {
    complaints_->wrong(
        value.place, fmt::format("{} is {}, not a number", name, word(value.kind)),
        fmt::format("write {}, without quotes and with a decimal point", bounds.words()));
    return false;
  }
  if (bounds.hold(value.number)) return true;
  const std::string shown =
      std::isfinite(value.number) ? shortest(value.number) : std::string("not an ordinary number");
  complaints_->wrong(value.place, fmt::format("{} is {}", name, shown),
                     fmt::format("write {}", bounds.words()));
  return false;
}

std::optional<double> TomlTable::number(std::string_view key, const Bounds& bounds) {
  const TomlEntry* found = ask(key);
  if (!found || !number_is_good(dotted(key), found->value, bounds)) return std::nullopt;
  good.insert(dotted(key));
  return found->value.number + 0.0;  // -0 becomes 0
}

std::optional<std::uint32_t> TomlTable::count(std::string_view key) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  const TomlValue& value = found->value;
  constexpr std::int64_t most = 1'000'000'000;
  if (value.kind != TomlKind::integer || value.integer < 0 || value.integer > most) {
    const std::string shown = value.kind == TomlKind::integer ? fmt::format("{}", value.integer)
                                                              : std::string(word(value.kind));
    wrong(key, fmt::format("{} is {}, not a count", dotted(key), shown),
          "write a whole number of at least 0, without quotes");
    return std::nullopt;
  }
  good.insert(dotted(key));
  return static_cast<std::uint32_t>(value.integer);
}

std::optional<std::string> TomlTable::text(std::string_view key) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::text) {
    wrong_type(*found, "a text between double quotes");
    return std::nullopt;
  }
  good.insert(dotted(key));
  return found->value.text;
}

std::optional<bool> TomlTable::flag(std::string_view key) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::flag) {
    wrong_type(*found, "true or false, without quotes");
    return std::nullopt;
  }
  good.insert(dotted(key));
  return found->value.flag;
}

std::optional<Date> TomlTable::date(std::string_view key) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::date || !found->value.date) {
    wrong_type(*found, "a whole day like 2027-02-01, without quotes");
    return std::nullopt;
  }
  good.insert(dotted(key));
  return found->value.date;
}

std::optional<std::size_t> TomlTable::choice(std::string_view key,
                                             std::span<const std::string_view> words) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::text) {
    wrong_type(*found, fmt::format("one of \"{}\"", fmt::join(words, "\", \"")));
    return std::nullopt;
  }
  const auto at = std::find(words.begin(), words.end(), found->value.text);
  if (at == words.end()) {
    wrong(key, fmt::format("{} is \"{}\"", dotted(key), found->value.text),
          one_of(found->value.text, words));
    return std::nullopt;
  }
  good.insert(dotted(key));
  return static_cast<std::size_t>(at - words.begin());
}

std::optional<std::vector<double>> TomlTable::numbers(std::string_view key, const Bounds& bounds) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::array) {
    wrong_type(*found, "a list of numbers between [ and ]");
    return std::nullopt;
  }
  std::vector<double> list;
  std::size_t position = 0;
  for (const TomlValue& item : found->value.items) {
    ++position;
    if (!number_is_good(fmt::format("number {} of {}", position, dotted(key)), item, bounds)) {
      return std::nullopt;
    }
    list.push_back(item.number + 0.0);
  }
  good.insert(dotted(key));
  return list;
}

std::optional<std::vector<std::vector<double>>> TomlTable::rows(std::string_view key) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::array) {
    wrong_type(*found, "a list of lists, such as [[1, 0], [0, 1]]");
    return std::nullopt;
  }
  std::vector<std::vector<double>> rows;
  for (const TomlValue& line : found->value.items) {
    if (line.kind != TomlKind::array) {
      complaints_->wrong(
          line.place, fmt::format("{} has {} where a list should be", dotted(key), word(line.kind)),
          "write a list of lists, such as [[1, 0], [0, 1]]");
      return std::nullopt;
    }
    std::vector<double>& row = rows.emplace_back();
    for (const TomlValue& item : line.items) {
      if (!number_is_good(fmt::format("a number of {}", dotted(key)), item, not_negative)) {
        return std::nullopt;
      }
      row.push_back(item.number + 0.0);
    }
  }
  good.insert(dotted(key));
  return rows;
}

std::optional<std::vector<std::string>> TomlTable::texts(std::string_view key) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::array) {
    wrong_type(*found, "a list of texts, such as [\"one\", \"two\"]");
    return std::nullopt;
  }
  std::vector<std::string> list;
  for (const TomlValue& item : found->value.items) {
    if (item.kind != TomlKind::text || trimmed(item.text).empty() || has_control(item.text)) {
      complaints_->wrong(item.place,
                         fmt::format("{} holds something that is not a plain text", dotted(key)),
                         "write each item between double quotes, not blank");
      return std::nullopt;
    }
    list.push_back(item.text);
  }
  good.insert(dotted(key));
  return list;
}

std::optional<TomlTable> TomlTable::table(std::string_view key) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::table) {
    wrong_type(*found, fmt::format("a table: a line [{}] with keys below it", dotted(key)));
    return std::nullopt;
  }
  return TomlTable(found->value, dotted(key), *complaints_);
}

std::optional<ByBreed> TomlTable::by_breed(std::string_view key, const Bounds& bounds,
                                           std::optional<double> other) {
  const TomlEntry* found = ask(key);
  if (!found) return std::nullopt;
  if (found->value.kind != TomlKind::table) {
    const auto one = number(key, bounds);
    if (!one) return std::nullopt;
    return ByBreed{*one, {}};
  }
  TomlTable breeds(found->value, dotted(key), *complaints_);
  ByBreed values;
  bool all_good = true;
  for (const TomlEntry& breed : found->value.entries) {
    const auto value = breeds.number(breed.key, bounds);
    if (!value) {
      all_good = false;
      continue;
    }
    const std::string name = lower_ascii(trimmed(breed.key));
    if (name == "other") {
      other = value;
    } else if (!values.named.emplace(name, *value).second) {
      breeds.wrong(breed.key, fmt::format("{} names the breed {} twice", dotted(key), name),
                   "keep one of the two (capital letters make no difference)");
      all_good = false;
    }
  }
  if (all_good && !other) {
    wrong(key, fmt::format("{} does not say what holds for other breeds", dotted(key)),
          fmt::format("write {}.other = ... beside it", key));
  }
  if (!all_good || !other) return std::nullopt;
  good.merge(breeds.good);
  values.other = *other;
  return values;
}

std::vector<const TomlEntry*> TomlTable::all_entries() {
  std::vector<const TomlEntry*> entries;
  for (const TomlEntry& entry : value_->entries) {
    asked_.insert(entry.key);
    entries.push_back(&entry);
  }
  return entries;
}

void TomlTable::report_unknown(std::span<const std::string_view> known,
                               std::span<const std::string_view> elsewhere) const {
  for (const TomlEntry& entry : value_->entries) {
    if (asked_.contains(entry.key)) continue;
    std::string remedy;
    const auto home = std::find_if(elsewhere.begin(), elsewhere.end(), [&](std::string_view name) {
      return name == entry.key || name.ends_with(fmt::format(".{}", entry.key));
    });
    if (const auto near = nearest(entry.key, known)) {
      remedy = fmt::format("did you mean \"{}\"? As it stands the line changes nothing", *near);
    } else if (home != elsewhere.end() && home->find('.') == std::string_view::npos) {
      remedy =
          fmt::format("{} belongs at the top of the file, before the first line in [ ]", entry.key);
    } else if (home != elsewhere.end()) {
      remedy = fmt::format("{} belongs under [{}]", entry.key, home->substr(0, home->rfind('.')));
    } else {
      remedy = "take it out, or put # before it: as it stands the line changes nothing";
    }
    complaints_->unused(entry.place, fmt::format("{} is no key known here", dotted(entry.key)),
                        std::move(remedy));
  }
}

}  // namespace doewright
