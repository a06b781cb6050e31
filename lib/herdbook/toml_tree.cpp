// SPDX-License-Identifier: MIT
#include "toml_tree.hpp"

#include <algorithm>
#include <string>
#include <utility>

// Header-only and without exceptions: a broken file is an ordinary result here.
// Its own assertions must not end a debug build on a faulty file: it goes on and says what is
// wrong.
#define TOML_ASSERT(...) static_cast<void>(0)
#define TOML_HEADER_ONLY 1
#define TOML_EXCEPTIONS 0
#define TOML_ENABLE_FORMATTERS 0
#include <toml++/toml.h>

namespace doewright {
namespace {

TomlPlace place_of(const toml::source_region& source) {
  return {source.begin.line, source.begin.column};
}

TomlValue value_of(const toml::node& node);

void fill_table(const toml::table& table, TomlValue& value) {
  value.entries.reserve(table.size());
  for (const auto& [key, node] : table) {
    value.entries.push_back({std::string(key.str()), place_of(key.source()), value_of(node)});
  }
  // The parser keeps keys by name; complaints and entries follow the file.
  std::stable_sort(value.entries.begin(), value.entries.end(),
                   [](const TomlEntry& a, const TomlEntry& b) {
                     if (a.place.line != b.place.line) return a.place.line < b.place.line;
                     return a.place.column < b.place.column;
                   });
}

TomlValue value_of(const toml::node& node) {
  TomlValue value;
  value.place = place_of(node.source());
  if (const toml::table* table = node.as_table()) {
    value.kind = TomlKind::table;
    fill_table(*table, value);
  } else if (const toml::array* array = node.as_array()) {
    value.kind = TomlKind::array;
    value.items.reserve(array->size());
    for (const toml::node& item : *array) value.items.push_back(value_of(item));
  } else if (const auto* text = node.as_string()) {
    value.kind = TomlKind::text;
    value.text = text->get();
  } else if (const auto* integer = node.as_integer()) {
    value.kind = TomlKind::integer;
    value.integer = integer->get();
    value.number = static_cast<double>(integer->get());
  } else if (const auto* number = node.as_floating_point()) {
    value.kind = TomlKind::number;
    value.number = number->get();
  } else if (const auto* flag = node.as_boolean()) {
    value.kind = TomlKind::flag;
    value.flag = flag->get();
  } else if (const auto* date = node.as_date()) {
    value.kind = TomlKind::date;
    value.date = date_of(date->get().year, date->get().month, date->get().day);
  }
  return value;  // times and dates with times stay `other`: no key of ours takes them
}

// A key of thousands of dotted parts nests as deep, and the parser walks it by recursion. Nobody
// writes one on purpose; refused before the stack runs out.
constexpr int most_dots = 1000;

std::optional<TomlPlace> endless_key(std::string_view text) {
  int dots = 0;
  TomlPlace place{1, 1};
  for (const char c : text) {
    if (c == '.' && ++dots > most_dots) return place;
    if (c == '=' || c == ',' || c == '{' || c == '}' || c == '[' || c == ']' || c == '\n') dots = 0;
    if (c == '\n') ++place.line;
  }
  return std::nullopt;
}

/// Walks over a text as TOML has it: which characters stand outside texts in quotes and comments.
class OutsideQuotes {
 public:
  explicit OutsideQuotes(std::string_view text) : text_(text) {
    if (text.starts_with("\xEF\xBB\xBF")) at_ = 3;  // byte-order mark
  }

  /// The first character beyond ASCII outside them.
  std::optional<TomlPlace> first_beyond_ascii() {
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '#') {
        while (at_ < text_.size() && text_[at_] != '\n') step();
      } else if (c == '"' || c == '\'') {
        pass_quoted(c);
      } else if (static_cast<unsigned char>(c) >= 0x80) {
        // What begins no character is no text at all, which the parser says better.
        const auto first = static_cast<unsigned char>(c);
        return first >= 0xC2 && first <= 0xF4 ? std::optional(place_) : std::nullopt;
      } else {
        step();
      }
    }
    return std::nullopt;
  }

 private:
  void step() {
    const char c = text_[at_++];
    if (c == '\n') {
      ++place_.line;
      place_.column = 1;
    } else if ((static_cast<unsigned char>(c) & 0xC0) != 0x80) {  // columns count characters
      ++place_.column;
    }
  }

  bool stands_here(std::string_view mark) const { return text_.substr(at_).starts_with(mark); }

  /// To behind the closing mark; a text on one line that is not closed ends with the line.
  void pass_quoted(char quote) {
    const std::string three(3, quote);
    const bool is_long = stands_here(three);
    const std::string_view mark = std::string_view(three).substr(0, is_long ? 3 : 1);
    for (std::size_t i = 0; i < mark.size(); ++i) step();
    while (at_ < text_.size()) {
      if (!is_long && text_[at_] == '\n') return;
      if (quote == '"' && text_[at_] == '\\') {
        step();
        if (at_ < text_.size() && text_[at_] != '\n') step();
        continue;
      }
      if (stands_here(mark)) {
        for (std::size_t i = 0; i < mark.size(); ++i) step();
        while (is_long && at_ < text_.size() && text_[at_] == quote)
          step();  // """" ends with a quote
        return;
      }
      step();
    }
  }

  std::string_view text_;
  std::size_t at_ = 0;
  TomlPlace place_{1, 1};
};

constexpr std::size_t most_keys = 10'000;

/// Where a table with more keys than any herd has breeds begins.
std::optional<TomlPlace> endless_table(const TomlValue& value) {
  if (value.entries.size() > most_keys) return value.place;
  for (const TomlEntry& entry : value.entries) {
    if (const auto place = endless_table(entry.value)) return place;
  }
  for (const TomlValue& item : value.items) {
    if (const auto place = endless_table(item)) return place;
  }
  return std::nullopt;
}

Problem not_toml(std::string_view file, TomlPlace place, std::string_view what) {
  Problem problem;
  problem.severity = Severity::error;
  problem.code = "toml-form";
  problem.file = file;
  problem.line = place.line;
  problem.column = place.column;
  problem.message = "this is not readable as TOML: " + std::string(what);
  problem.remedy =
      "correct this line: key = value, texts between double quotes, decimals with a point (0.5), "
      "dates as 2027-02-01, lists between [ and ], each key once; what follows is read after that";
  return problem;
}

}  // namespace

std::string_view word(TomlKind kind) noexcept {
  switch (kind) {
    case TomlKind::table:
      return "a table";
    case TomlKind::array:
      return "a list";
    case TomlKind::text:
      return "a text";
    case TomlKind::integer:
      return "a whole number";
    case TomlKind::number:
      return "a number";
    case TomlKind::flag:
      return "true or false";
    case TomlKind::date:
      return "a date";
    case TomlKind::other:
      break;
  }
  return "a time";
}

std::optional<TomlValue> parse_toml(std::string_view text, std::string_view file,
                                    std::vector<Problem>& problems) {
  if (const auto place = endless_key(text)) {
    problems.push_back(not_toml(file, *place, "a key with more than 1000 dots"));
    return std::nullopt;
  }
  // Refused here: the parser's own look at such a key has no defined behaviour.
  if (const auto place = OutsideQuotes(text).first_beyond_ascii()) {
    Problem problem = not_toml(file, *place, "a letter beyond plain ASCII outside quotes");
    problem.remedy =
        "put names with such letters between double quotes, as \"zo\u00EB\" = 1; what follows is "
        "read "
        "after that";
    problems.push_back(std::move(problem));
    return std::nullopt;
  }
  const toml::parse_result result = toml::parse(text);
  if (result) {
    TomlValue tree = value_of(result.table());
    const auto place = endless_table(tree);
    if (!place) return tree;
    problems.push_back(not_toml(file, *place, "a table with more than 10000 keys"));
    return std::nullopt;
  }
  const toml::parse_error& error = result.error();
  problems.push_back(not_toml(file, place_of(error.source()), error.description()));
  return std::nullopt;
}

}  // namespace doewright
